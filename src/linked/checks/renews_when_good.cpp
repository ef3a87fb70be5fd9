#include "linked/reports.h"

#include <algorithm>
#include <functional>
#include <map>
#include <set>

namespace benchleaf::linked {

namespace {

void find_renews_when_good(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::renews_when_good = {
    {"renews-when-good", messages::Level::warning, "something is renewed where it is good, and stays where it is not"},
    find_renews_when_good};

namespace {

using Looked = std::map<StepId, const Step*>; // what each inspection looks at

void each_step(const Steps& steps, const std::function<void(const Step&)>& see) {
    for (const Step& step : steps) {
        see(step);
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise}) each_step(*below, see);
    }
}

std::set<ItemId> rests_on(const Linked& linked, const Step& decision, const Looked& looked) {
    std::set<ItemId> items;
    for (const Basis& basis : decision.basis) {
        if (basis.limit.known()) {
            const std::vector<ItemId>& of = linked.limits[basis.limit.index()].of;
            items.insert(of.begin(), of.end());
        }
        const auto at = looked.find(basis.inspection);
        if (at == looked.end()) continue;
        for (const Target& target : at->second->targets) items.insert(target.item);
    }
    items.erase(ItemId());
    return items;
}

// What is done where it is bad may be something else than a new one: it is set right, the work stops, or words say what.
bool deals_with_it(const Steps& steps) {
    bool deals = false;
    each_step(steps, [&](const Step& step) {
        deals = deals || step.kind != StepKind::verb || step.verb == model::VerbName::renew ||
                step.verb == model::VerbName::adjust || step.verb == model::VerbName::do_procedure ||
                step.verb == model::VerbName::record;
    });
    return deals;
}

void find_renews_when_good(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures) {
        Looked looked;
        const auto all = [&](const std::function<void(const Step&)>& see) {
            for (const Section& section : procedure.sections) each_step(section.steps, see);
        };
        std::set<StepId> answered_no; // what is bad is dealt with later
        all([&](const Step& step) {
            looked.emplace(step.id, &step);
            for (const Answer& answer : step.answers)
                if (!answer.yes) answered_no.insert(answer.question);
        });
        all([&](const Step& step) {
            if (step.kind != StepKind::decide || step.basis.empty()) return;
            if (deals_with_it(step.if_not) || answered_no.contains(step.id)) return;
            const std::set<ItemId> items = rests_on(linked, step, looked);
            for (const Step& renewing : step.if_so) {
                if (renewing.kind != StepKind::verb || renewing.verb != model::VerbName::renew) continue;
                const auto target = std::find_if(renewing.targets.begin(), renewing.targets.end(),
                                                 [&](const Target& each) { return items.contains(each.item); });
                if (target == renewing.targets.end()) continue;
                messages::Message& message = out.add(self.rule, target->span,
                                                     "the " + linked.items[target->item.index()].name +
                                                         " is renewed because it is good, and stays where it is not",
                                                     "reached with yes");
                message.labels.push_back(
                    {step.basis.front().span, "answered with yes when all that it rests on is good"});
                message.help = "if the two ways are swapped, put the `renew` under `if-not`; if it is always renewed, "
                               "put it behind the question";
                break;
            }
        });
    }
}

} // namespace
} // namespace benchleaf::linked
