#include "linked/reports.h"

#include <algorithm>

namespace benchleaf::linked {

namespace {

void find_second_check_refused(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::second_check_refused = {
    {"second-check-refused", messages::Level::error,
     "a step that tightens or secures something critical and wants no second check"},
    find_second_check_refused};

namespace {

// In a catalogue, or on a vehicle.
const Item* critical_somewhere(const Linked& linked, ItemId id) {
    if (!id.known()) return nullptr;
    if (linked.items[id.index()].critical) return &linked.items[id.index()];
    for (const Vehicle& vehicle : linked.vehicles)
        for (const auto& [own, item] : vehicle.items)
            if (own == id && item.critical) return &item;
    return nullptr;
}

void judge_second_checks(const Linked& linked, const Steps& steps, const Check& self, Messages& out) {
    for (const Step& step : steps) {
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise})
            judge_second_checks(linked, *below, self, out);
        const bool tightens = step.verb == model::VerbName::torque;
        if (step.kind != StepKind::verb || (!tightens && step.verb != model::VerbName::fit)) continue;
        const auto& said = step.source->second_check;
        if (!said || said->value) continue;
        for (const Target& target : step.targets) {
            const Item* item = critical_somewhere(linked, target.item);
            if (item == nullptr || (!tightens && item->sort != Sort::clip)) continue;
            messages::Message& message =
                out.add(self.rule, said->span,
                        "the " + item->name + " is critical, and " +
                            (tightens ? "its torque has" : "that it is in has") + " to be checked by a second one",
                        "the card prints the second check all the same");
            message.labels.push_back({target.span, tightens ? "tightened here" : "fitted here"});
            if (item->fastener.critical) message.labels.push_back({item->fastener.critical->span, "critical"});
            message.help =
                "leave it out; what hurts nobody when it comes loose says so in its catalogue: `not-critical: …`";
            break;
        }
    }
}

void find_second_check_refused(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures)
        for (const Section& section : procedure.sections) judge_second_checks(linked, section.steps, self, out);
}

} // namespace
} // namespace benchleaf::linked
