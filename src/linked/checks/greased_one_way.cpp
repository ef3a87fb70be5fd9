#include "linked/look_over.h"
#include "linked/reports.h"

#include <algorithm>
#include <map>

namespace benchleaf::linked {

namespace {

void find_greased_one_way(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::greased_one_way = {
    {"greased-one-way", messages::Level::warning, "what was washed gets its grease only where a new one goes in"},
    find_greased_one_way};

namespace {

bool is_of_sort(const Linked& linked, ConsumableId id, model::ConsumableSort sort) {
    if (!id.known()) return false;
    const auto& given = linked.consumables[id.index()].figures.sort;
    return given && given->value == sort;
}

bool greases(const Linked& linked, const Step& step, ItemId item) {
    return step.kind == StepKind::verb && step.verb == model::VerbName::apply &&
           is_of_sort(linked, step.consumable, model::ConsumableSort::lubricant) &&
           std::find(step.to.begin(), step.to.end(), item) != step.to.end();
}

const Step* greasing(const Linked& linked, const Steps& steps, ItemId item) {
    const Step* found = nullptr;
    each_step(steps, [&](const Step& step) {
        if (found == nullptr && greases(linked, step, item)) found = &step;
    });
    return found;
}

bool does_to(const Steps& steps, model::VerbName verb, ItemId item) {
    bool found = false;
    each_step(steps, [&](const Step& step) {
        found = found || (step.kind == StepKind::verb && step.verb == verb &&
                          std::any_of(step.targets.begin(), step.targets.end(),
                                      [&](const Target& target) { return target.item == item; }));
    });
    return found;
}

class WashedAndGreased {
public:
    WashedAndGreased(const Linked& linked, const Procedure& procedure) : linked_(linked), procedure_(procedure) {}

    // What is washed on every way, and a decision behind it.
    void judge(const Check& self, Messages& out) {
        for (const Section& section : procedure_.sections)
            for (const Step& step : section.steps) {
                if (step.kind == StepKind::verb && step.verb == model::VerbName::clean &&
                    std::any_of(step.with_consumables.begin(), step.with_consumables.end(), [&](ConsumableId with) {
                        return is_of_sort(linked_, with, model::ConsumableSort::solvent);
                    }))
                    for (const Target& target : step.targets)
                        if (target.item.known()) washed_.insert_or_assign(target.item, target.span);
                if (step.kind == StepKind::decide && !step.basis.empty()) judge_decision(step, self, out);
            }
    }

private:
    void judge_decision(const Step& decision, const Check& self, Messages& out) const {
        for (const auto& [item, washed] : washed_) {
            const Step* grease = greasing(linked_, decision.if_not, item);
            if (grease == nullptr || !does_to(decision.if_not, model::VerbName::renew, item)) continue;
            if (does_to(decision.if_so, model::VerbName::renew, item) || greased_elsewhere(decision, item)) continue;
            const std::string& name = linked_.items[item.index()].name;
            messages::Message& message =
                out.add(self.rule, grease->source->to->span,
                        "the " + name + " was washed, and gets its grease only where a new one goes in",
                        "the old one goes back dry");
            message.labels.push_back({washed, "washed here"});
            message.labels.push_back({decision.basis.front().span, "reached where this is bad"});
            message.help = "put the `apply` behind the question, where both ways come by";
        }
    }
    bool greased_elsewhere(const Step& decision, ItemId item) const {
        bool found = greasing(linked_, decision.if_so, item) != nullptr;
        for (const Section& section : procedure_.sections)
            for (const Step& step : section.steps)
                found = found || (&step != &decision && greasing(linked_, {step}, item) != nullptr);
        return found;
    }

    const Linked& linked_;
    const Procedure& procedure_;
    std::map<ItemId, Span> washed_;
};

void find_greased_one_way(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures) WashedAndGreased(linked, procedure).judge(self, out);
}

} // namespace
} // namespace benchleaf::linked
