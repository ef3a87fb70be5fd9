#include "linked/look_over.h"
#include "linked/reports.h"

#include <algorithm>
#include <set>

namespace benchleaf::linked {

namespace {

void find_brake_asked_for_nothing(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::brake_asked_for_nothing = {
    {"brake-asked-for-nothing", messages::Level::warning,
     "a question behind the proof of a brake, whose answer is only written down"},
    find_brake_asked_for_nothing};

namespace {

bool only_writes(const Steps& steps) {
    return std::all_of(steps.begin(), steps.end(), [](const Step& step) {
        return step.kind == StepKind::verb && step.verb == model::VerbName::record;
    });
}

// The circuit of a brake that the step proves, or bleeds.
const Item* proves_brake(const Linked& linked, const Step& step) {
    using Name = model::VerbName;
    if (step.kind != StepKind::verb) return nullptr;
    if (step.verb != Name::prime && step.verb != Name::leak_check && step.verb != Name::bleed) return nullptr;
    for (const Target& target : step.targets) {
        if (!target.item.known()) continue;
        const Item& item = linked.items[target.item.index()];
        const ItemId id = item.sort == Sort::circuit ? target.item : item.vents;
        if (!id.known()) continue;
        const Item& circuit = linked.items[id.index()];
        const bool brake = std::any_of(circuit.moves.begin(), circuit.moves.end(), [&](ItemId part) {
            return part.known() && bears_people(linked.items[part.index()]);
        });
        if (brake) return &circuit;
    }
    return nullptr;
}

// `proved`: by the step before, but for words, waits and torques.
void judge_questions(const Linked& linked, const Steps& steps, const std::set<StepId>& answered, const Item*& proved,
                     const Check& self, Messages& out) {
    for (const Step& step : steps) {
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise}) {
            const Item* none = nullptr;
            judge_questions(linked, *below, answered, none, self, out);
        }
        if (const Item* circuit = proves_brake(linked, step)) {
            proved = circuit;
            continue;
        }
        const bool passes = step.kind == StepKind::plain ||
                            (step.kind == StepKind::verb &&
                             (step.verb == model::VerbName::wait || step.verb == model::VerbName::torque ||
                              step.verb == model::VerbName::record));
        if (passes) continue;
        const bool written = step.kind == StepKind::ask && (!step.if_so.empty() || !step.if_not.empty()) &&
                             only_writes(step.if_so) && only_writes(step.if_not) && !answered.contains(step.id);
        if (proved != nullptr && written) {
            messages::Message& message = out.add(self.rule, step.source->ask->span,
                                                 "whatever the answer, it is only written down and the work goes on");
            message.labels.push_back({proved->declared, "this was proved right before; people rely on what it moves"});
            message.help =
                "say what is done where the answer is the bad one: bleed it once more, tighten the joint, or `stop`";
        }
        if (step.kind != StepKind::ask) proved = nullptr;
    }
}

void find_brake_asked_for_nothing(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures) {
        std::set<StepId> answered;
        each_step(procedure, [&](const Step& step) {
            for (const Answer& answer : step.answers) answered.insert(answer.question);
        });
        const Item* proved = nullptr;
        for (const Section& section : procedure.sections)
            judge_questions(linked, section.steps, answered, proved, self, out);
    }
}

} // namespace
} // namespace benchleaf::linked
