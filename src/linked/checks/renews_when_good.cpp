#include "linked/look_over.h"
#include "linked/reports.h"

#include <algorithm>
#include <set>

namespace benchleaf::linked {

namespace {

void find_renews_when_good(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::renews_when_good = {
    {"renews-when-good", messages::Level::warning, "something is renewed where it is good, and stays where it is not"},
    find_renews_when_good};

namespace {

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
        std::set<StepId> answered_no; // what is bad is dealt with later
        each_step(procedure, [&](const Step& step) {
            looked.emplace(step.id, &step);
            for (const Answer& answer : step.answers)
                if (!answer.yes) answered_no.insert(answer.question);
        });
        each_step(procedure, [&](const Step& step) {
            if (step.kind != StepKind::decide || step.basis.empty()) return;
            if (deals_with_it(step.if_not) || answered_no.contains(step.id)) return;
            std::set<ItemId> items;
            for (const Basis& basis : step.basis) items.merge(rests_on(linked, basis, looked));
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
