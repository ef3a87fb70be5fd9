#include "linked/look_over.h"
#include "linked/reports.h"

#include <algorithm>
#include <set>
#include <span>
#include <vector>

namespace benchleaf::linked {

namespace {

void find_inspected_for_nothing(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::inspected_for_nothing = {{"inspected-for-nothing", messages::Level::warning,
                                              "what people rely on is looked at, and nobody decides by what is seen"},
                                             find_inspected_for_nothing};

namespace {

using Verb = model::VerbName;

// Does anything come of it but words and looks?
bool leads_on(const Steps& steps) {
    return std::any_of(steps.begin(), steps.end(), [](const Step& step) {
        switch (step.kind) {
        case StepKind::plain:
            return false;
        case StepKind::verb:
            return step.verb != Verb::record && step.verb != Verb::inspect && step.verb != Verb::measure &&
                   step.verb != Verb::wait && step.verb != Verb::mark;
        case StepKind::ask:
        case StepKind::decide:
        case StepKind::if_answered:
            return leads_on(step.if_so) || leads_on(step.if_not) || leads_on(step.steps);
        default:
            return true;
        }
    });
}

// Is what was found asked for behind it, before anything else is done?
bool is_asked(std::span<const Step* const> after, const std::set<StepId>& answered) {
    for (const Step* step : after) {
        if (step->kind == StepKind::again || step->kind == StepKind::hole) return true;
        if (step->kind == StepKind::ask) {
            if (answered.contains(step->id) || leads_on(step->if_so) || leads_on(step->if_not)) return true;
            continue;
        }
        const bool passes =
            step->kind == StepKind::plain ||
            (step->kind == StepKind::verb &&
             (step->verb == Verb::inspect || step->verb == Verb::measure || step->verb == Verb::record));
        if (!passes) return false;
    }
    return false;
}

class ForNothing {
public:
    ForNothing(const Linked& linked, const Procedure& procedure) : linked_(linked), procedure_(procedure) {
        each_step(procedure_, [&](const Step& step) {
            for (const Basis& basis : step.basis) decided_.insert(basis.inspection);
            if (step.from.known()) gone_back_to_.insert(step.from);
            for (const Answer& answer : step.answers)
                if (leads_on(step.steps)) answered_.insert(answer.question);
        });
        for (const Section& section : procedure_.sections) gather_new(section.steps);
    }

    void judge(const Check& self, Messages& out) {
        std::vector<const Step*> all;
        for (const Section& section : procedure_.sections)
            for (const Step& step : section.steps) all.push_back(&step);
        walk(all, self, out);
    }

private:
    // Whatever is answered.
    void gather_new(const Steps& steps) {
        for (const Step& step : steps) {
            if (step.kind != StepKind::verb) continue;
            for (const Target& target : step.targets) {
                if (!target.item.known()) continue;
                const auto& reuse = linked_.items[target.item.index()].part.reuse;
                const bool never = reuse && reuse->value == model::Reuse::never;
                if (step.verb == Verb::renew || (step.verb == Verb::fit && never)) new_.insert(target.item);
            }
        }
    }

    void walk(const std::vector<const Step*>& steps, const Check& self, Messages& out) {
        for (std::size_t at = 0; at < steps.size(); ++at) {
            const Step& step = *steps[at];
            if (step.kind == StepKind::verb && step.verb == Verb::inspect && !decided_.contains(step.id) &&
                !is_asked(std::span(steps).subspan(at + 1), answered_))
                look(step, self, out);
            for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise}) {
                std::vector<const Step*> inner;
                for (const Step& each : *below) inner.push_back(&each);
                walk(inner, self, out);
            }
            if (step.kind != StepKind::verb) continue;
            const bool works = step.verb == Verb::fit || step.verb == Verb::torque || step.verb == Verb::adjust;
            for (const Target& target : step.targets)
                if (works) own_work_.insert(target.item);
        }
    }

    void look(const Step& step, const Check& self, Messages& out) const {
        for (const Target& target : step.targets) {
            if (!target.item.known()) continue;
            const Item& item = linked_.items[target.item.index()];
            // It has an `id`, which nothing names: a decision was to rest on it.
            const bool named = step.source->id && !gone_back_to_.contains(step.id);
            if (!named && (own_work_.contains(target.item) || new_.contains(target.item) || !people_rely_on(item)))
                continue;
            messages::Message& message =
                out.add(self.rule, target.span,
                        "nobody decides by this look at the " + item.name + ": what is bad goes on all the same");
            if (people_rely_on(item))
                message.labels.push_back(relied_on(item));
            else
                message.labels.push_back({step.source->id->span, "nothing names this"});
            message.help = named ? "name its `id` in the `decide` that rests on it, or take the `id` out"
                                 : "give the step an `id`, and add a `decide` that rests on it and says under `if-not` "
                                   "what is done; "
                                   "or ask right behind it what was found";
            return;
        }
    }

    const Linked& linked_;
    const Procedure& procedure_;
    std::set<StepId> decided_;
    std::set<StepId> gone_back_to_; // where a round begins
    std::set<StepId> answered_;     // questions of which something follows later
    std::set<ItemId> new_;          // made new in this procedure, whatever is seen
    std::set<ItemId> own_work_;     // so far: a look at it is part of that
};

void find_inspected_for_nothing(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures) ForNothing(linked, procedure).judge(self, out);
}

} // namespace
} // namespace benchleaf::linked
