#include "linked/swapped.h"

#include <algorithm>

namespace benchleaf::linked {

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

// What brings it right on every way through these steps. Another decision, and the `else` of a repeat, rest on a reading of their own.
void each_righting(const Steps& steps, const SeeStep& see) {
    for (const Step& step : steps) {
        if (step.kind == StepKind::verb &&
            (step.verb == model::VerbName::renew || step.verb == model::VerbName::adjust))
            see(step);
        if (step.kind != StepKind::ask && step.kind != StepKind::if_answered) continue;
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps}) each_righting(*below, see);
    }
}

bool stops(const Steps& steps) {
    return std::any_of(steps.begin(), steps.end(), [](const Step& step) {
        return step.kind == StepKind::stop || stops(step.if_so) || stops(step.if_not) || stops(step.steps) ||
               stops(step.otherwise);
    });
}

} // namespace

std::set<StepId> answered_with_no(const Procedure& procedure) {
    std::set<StepId> all;
    each_step(procedure, [&](const Step& step) {
        for (const Answer& answer : step.answers)
            if (!answer.yes) all.insert(answer.question);
    });
    return all;
}

Righted righted_when_good(const Linked& linked, const Step& decision, const Looked& looked,
                          const std::set<StepId>& answered_no) {
    Righted found;
    if (decision.kind != StepKind::decide || decision.basis.empty()) return found;
    if (deals_with_it(decision.if_not) || answered_no.contains(decision.id)) return found;
    std::set<ItemId> items;
    for (const Basis& basis : decision.basis) items.merge(brought_right(linked, basis, looked));
    each_righting(decision.if_so, [&](const Step& righting) {
        const auto target = std::find_if(righting.targets.begin(), righting.targets.end(),
                                         [&](const Target& each) { return items.contains(each.item); });
        if (found.step == nullptr && target != righting.targets.end()) found = {&righting, &*target};
    });
    return found;
}

const Step* stop_when_good(const Step& decision) {
    if (decision.kind != StepKind::decide || decision.basis.empty() || stops(decision.if_not)) return nullptr;
    const auto stop = std::find_if(decision.if_so.begin(), decision.if_so.end(),
                                   [](const Step& each) { return each.kind == StepKind::stop; });
    return stop == decision.if_so.end() ? nullptr : &*stop;
}

} // namespace benchleaf::linked
