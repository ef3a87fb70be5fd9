#include "linked/look_over.h"
#include "linked/reports.h"

#include <algorithm>
#include <map>
#include <optional>

namespace benchleaf::linked {

namespace {

void find_greased_too_late(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::greased_too_late = {
    {"greased-too-late", messages::Level::warning, "a part gets its grease or oil only once it is in its place"},
    find_greased_too_late};

namespace {

// Where a part was fitted that went in dry; nothing where it was greased before, or not on all ways.
using DryIn = std::map<ItemId, std::optional<Span>>;

// A chain is oiled where it runs, and a pin through its nipple: the declaration says so.
bool greased_in_place(ItemId id, const Item& item) {
    return std::any_of(item.whiles.begin(), item.whiles.end(), [&](const While& each) {
        return each.verb == model::VerbName::apply &&
               std::any_of(each.needs.begin(), each.needs.end(),
                           [&](const Need& need) { return need.item == id && need.place == 0; });
    });
}

void judge_greasing(const Linked& linked, const Steps& steps, DryIn& in, const Check& self, Messages& out) {
    for (const Step& step : steps) {
        const bool ways = !step.if_so.empty() || !step.if_not.empty() || !step.steps.empty() || !step.otherwise.empty();
        const DryIn before = ways ? in : DryIn();
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise}) {
            if (below->empty()) continue;
            DryIn now = before;
            judge_greasing(linked, *below, now, self, out);
            for (const auto& [item, fitted] : before)
                if (const auto is = now.find(item); is == now.end() || is->second != fitted) in[item].reset();
            for (const auto& [item, fitted] : now)
                if (!before.contains(item)) in[item].reset();
        }
        if (step.kind != StepKind::verb) continue;
        switch (step.verb) {
        case model::VerbName::remove:
        case model::VerbName::clean:
            for (const Target& target : step.targets) in.erase(target.item);
            break;
        case model::VerbName::fit:
            for (const Target& target : step.targets) in.try_emplace(target.item, target.span);
            break;
        case model::VerbName::apply:
            for (std::size_t i = 0; i < step.to.size(); ++i) {
                if (!step.to[i].known()) continue;
                const Item& item = linked.items[step.to[i].index()];
                const auto fitted = in.try_emplace(step.to[i]).first;
                if (!fitted->second || !item.lubricant.known() || item.lubricant != step.consumable ||
                    greased_in_place(step.to[i], item))
                    continue;
                const std::string with = linked.consumables[step.consumable.index()].id;
                messages::Message& message = out.add(self.rule, step.source->to->value[i].span,
                                                     "the " + linked.consumables[step.consumable.index()].name +
                                                         " is put on the " + item.name + " only after the `fit`");
                message.labels.push_back({*fitted->second, "goes in dry here"});
                message.help = "move `- apply: " + with + "` before `- fit: " + item.id +
                               "`; if it is greased in place, add `while: { apply: { " + item.id +
                               ": on } }` to its declaration";
                fitted->second.reset();
            }
            break;
        default:
            break;
        }
    }
}

void find_greased_too_late(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures) {
        DryIn in;
        for (const Section& section : procedure.sections) judge_greasing(linked, section.steps, in, self, out);
    }
}

} // namespace
} // namespace benchleaf::linked
