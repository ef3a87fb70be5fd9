#include "linked/reports.h"
#include "linked/swapped.h"

#include <algorithm>
#include <set>

namespace benchleaf::linked {

namespace {

void find_bad_leads_nowhere(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::bad_leads_nowhere = {
    {"bad-leads-nowhere", messages::Level::warning, "a decision of which a no leads to nothing, not even a word"},
    find_bad_leads_nowhere};

namespace {

// Told in other words, by the check that knows more.
bool told_otherwise(const Linked& linked, const Step& decision, const std::set<ItemId>& items) {
    if (std::any_of(items.begin(), items.end(),
                    [&](ItemId each) { return relied_on_for(linked, linked.items[each.index()]) != nullptr; }))
        return true;
    bool told = false;
    each_step(decision.if_so, [&](const Step& step) {
        told = told || step.kind == StepKind::stop || step.kind == StepKind::hole ||
               (step.kind == StepKind::verb && step.verb == model::VerbName::renew);
    });
    return told;
}

void find_bad_leads_nowhere(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures) {
        Looked looked;
        const std::set<StepId> answered_no = answered_with_no(procedure);
        std::set<std::pair<LimitId, StepId>> dealt; // by a decision whose no leads somewhere
        each_step(procedure, [&](const Step& step) { looked.emplace(step.id, &step); });
        const auto leads = [&](const Step& step) {
            return step.kind == StepKind::again || !step.if_not.empty() || answered_no.contains(step.id);
        };
        each_step(procedure, [&](const Step& step) {
            for (const Basis& basis : step.basis)
                if (leads(step)) dealt.insert({basis.limit, basis.inspection});
        });
        each_step(procedure, [&](const Step& step) {
            if (step.kind != StepKind::decide || step.basis.size() != step.source->decide->value.size() || leads(step))
                return; // or told
            std::set<ItemId> items;
            for (const Basis& basis : step.basis) {
                if (!basis.limit.known() && !basis.inspection.known()) return; // told
                if (basis.inspection.known() && basis.inspection.index() > step.id.index()) return;
                if (dealt.contains({basis.limit, basis.inspection})) return;
                items.merge(rests_on(linked, basis, looked));
            }
            if (items.empty() || told_otherwise(linked, step, items) ||
                righted_when_good(linked, step, looked, answered_no).step != nullptr)
                return;
            messages::Message& message = out.add(self.rule, step.basis.front().span,
                                                 "where the " + linked.items[items.begin()->index()].name +
                                                     " is bad, this card says nothing and the work goes on");
            message.help =
                "say under `if-not` what is done with a bad one, or who is told; a decision of which nothing "
                "follows can go";
        });
    }
}

} // namespace
} // namespace benchleaf::linked
