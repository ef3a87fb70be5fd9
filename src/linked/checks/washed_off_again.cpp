#include "linked/look_over.h"
#include "linked/reports.h"

#include <algorithm>
#include <map>

namespace benchleaf::linked {

namespace {

void find_washed_off_again(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::washed_off_again = {{"washed-off-again", messages::Level::warning,
                                         "grease or oil is put on, and washed off before anything is done with it"},
                                        find_washed_off_again};

namespace {

void judge_washing(const Linked& linked, const Steps& steps, const Check& self, Messages& out) {
    struct Greased {
        Span at;
        ConsumableId with;
    };
    std::map<ItemId, Greased> greased; // and nothing done with it since
    for (const Step& step : steps) {
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise})
            judge_washing(linked, *below, self, out);
        const bool apply = step.kind == StepKind::verb && step.verb == model::VerbName::apply;
        const bool wash = step.kind == StepKind::verb && step.verb == model::VerbName::clean &&
                          std::any_of(step.with_consumables.begin(), step.with_consumables.end(), [&](ConsumableId id) {
                              return is_of_sort(linked, id, model::ConsumableSort::solvent);
                          });
        // Time, words and other work may be what it was put on for: it creeps into rust, it is turned through.
        if (!apply && !wash) {
            greased.clear();
            continue;
        }
        if (apply && is_of_sort(linked, step.consumable, model::ConsumableSort::lubricant))
            for (std::size_t i = 0; i < step.to.size(); ++i)
                if (step.to[i].known())
                    greased.insert_or_assign(step.to[i], Greased{step.source->to->value[i].span, step.consumable});
        if (!wash) continue;
        for (const Target& target : step.targets) {
            const auto on = greased.find(target.item);
            if (on == greased.end()) continue;
            // The proof tells that the part is left without its lubricant.
            if (linked.items[target.item.index()].lubricant == on->second.with) continue;
            const std::string with = linked.consumables[on->second.with.index()].name;
            messages::Message& message = out.add(self.rule, target.span,
                                                 "the " + with + " on the " + linked.items[target.item.index()].name +
                                                     " is washed off again before anything is done with it");
            message.labels.push_back({on->second.at, "put on here"});
            message.help = "clean it first, and put the " + with + " on afterwards";
            greased.erase(on);
        }
    }
}

void find_washed_off_again(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures)
        for (const Section& section : procedure.sections) judge_washing(linked, section.steps, self, out);
}

} // namespace
} // namespace benchleaf::linked
