#include "base/text.h"
#include "linked/look_over.h"
#include "linked/reports.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <set>

namespace benchleaf::linked {

namespace {

void find_looked_at_under_dust(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::looked_at_under_dust = {{"looked-at-under-dust", messages::Level::warning,
                                             "a brake part is looked at for cracks before the dust is washed off it"},
                                            find_looked_at_under_dust};

namespace {

// A crack hides under dust; oil, rust and dry spots are looked for before they are washed away.
bool looks_for_cracks(const Linked& linked, const Step& step) {
    const auto& look_for = step.source->look_for;
    if (!look_for) return false;
    if (linked.shop != nullptr && linked.shop->language && !linked.shop->language->value.starts_with("en"))
        return false;
    const std::string words = base::small_letters(look_for->value);
    const auto says = [&](std::string_view word) { return words.find(word) != std::string::npos; };
    static constexpr std::string_view washed_away[] = {"oil",  "grease", "fluid", "leak", "wet",   "damp",
                                                       "rust", "dry",    "dust",  "dirt", "glaze", "soot"};
    return says("crack") && std::none_of(std::begin(washed_away), std::end(washed_away), says);
}

// Of the brake, or with a face that rubs.
bool gets_dusty(const Item& item) {
    if (item.sort != Sort::part) return false;
    if (item.part.system && item.part.system->value == model::System::brake) return true;
    return rubs(item);
}

bool washes(const Linked& linked, const Step& step) {
    const auto is_wet = [&](ConsumableId id) {
        if (!id.known()) return false;
        const auto& wets = linked.consumables[id.index()].figures.wets;
        return wets && wets->value;
    };
    return is_wet(step.consumable) || std::any_of(step.with_consumables.begin(), step.with_consumables.end(), is_wet);
}

void judge_looks(const Linked& linked, const Procedure& procedure, const Check& self, Messages& out) {
    std::map<ItemId, const Target*> looked; // and not washed, so far
    std::set<ItemId> clean;                 // washed, new, or seen before it was: told
    each_step(procedure, [&](const Step& step) {
        if (step.kind != StepKind::verb) return;
        using V = model::VerbName;
        for (const Target& target : step.targets) {
            if (!target.item.known() || clean.contains(target.item)) continue;
            const Item& item = linked.items[target.item.index()];
            if (step.verb == V::inspect && gets_dusty(item) && looks_for_cracks(linked, step))
                looked.emplace(target.item, &target);
            if (step.verb == V::renew || step.verb == V::fit) {
                clean.insert(target.item);
                continue;
            }
            if (step.verb != V::clean || !washes(linked, step)) continue;
            clean.insert(target.item);
            const auto before = looked.find(target.item);
            if (before == looked.end()) continue;
            messages::Message& message =
                out.add(self.rule, before->second->span,
                        "the " + item.name + " is looked at for cracks here, and washed only afterwards");
            message.labels.push_back({target.span, "washed here"});
            message.help = "wash it first: under the dust a crack is missed";
        }
    });
}

void find_looked_at_under_dust(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures) judge_looks(linked, procedure, self, out);
}

} // namespace
} // namespace benchleaf::linked
