#include "model/words.h"
#include "proof/check.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// Where a step says which surfaces it is applied to, it touches no other.
bool comes_onto(const fitted::Row& row, std::string_view surface) {
    const auto& only = row.step->source->surface;
    return !only ||
           std::any_of(only->value.begin(), only->value.end(), [&](const auto& each) { return each.name == surface; });
}

// A part that does nothing but rub: there is no ear and no back for a lubricant to go on.
bool only_rubs(const linked::Item& item) {
    const auto& surfaces = item.part.surfaces->value;
    return !surfaces.empty() && std::all_of(surfaces.begin(), surfaces.end(), [](const auto& surface) {
        return surface.value.value == model::Surface::friction;
    });
}

bool is_lubricant(const linked::Consumable& what) {
    return what.figures.sort && what.figures.sort->value == model::ConsumableSort::lubricant;
}

void find_harms_surface(Moment& now, const Check& self) {
    const auto& surfaces = now.it().is.part.surfaces;
    if (!surfaces) return;
    for (const Moment::Used& used : now.used()) {
        const linked::Consumable& what = now.of(used.consumable);
        if (!what.figures.unsafe_on) {
            if (!is_lubricant(what) || !only_rubs(now.it().is)) continue;
            Finding& finding =
                now.report(self, fmt::format("the {} comes onto {{item}}{{sides}}, which only rubs", what.name));
            finding.at = used.span;
            finding.more.push_back({surfaces->value.front().value.span, "a friction surface, and nothing else"});
            finding.more.push_back({what.figures.sort->span, "a lubricant, which takes its grip away"});
            finding.help =
                "leave it out; where it goes on another of its surfaces, declare that and name it: `surface: …`";
            continue;
        }
        for (const auto& surface : surfaces->value) {
            if (now.row->step->consumable == used.consumable && !comes_onto(*now.row, surface.key.name)) continue;
            const auto& unsafe = what.figures.unsafe_on->value;
            const auto at = std::find_if(unsafe.begin(), unsafe.end(),
                                         [&](const auto& each) { return each.value == surface.value.value; });
            if (at == unsafe.end()) continue;
            const std::string_view kind = model::word(surface.value.value);
            Finding& finding = now.report(
                self, fmt::format("the {} comes onto {{item}}{{sides}}, which has a {} surface", what.name, kind));
            finding.at = used.span;
            finding.more.push_back({surface.value.span, fmt::format("its {}: a {} surface", surface.key.name, kind)});
            finding.more.push_back({at->span, "must never touch one"});
            finding.help =
                "take one that may touch it; where it goes on another of its surfaces, name that: `surface: …`";
            break;
        }
    }
}

} // namespace

extern const Check harms_surface{
    {"harms-surface", messages::Level::error, "a consumable comes onto a surface that it must never touch"},
    When::demand,
    model::Demand::surface_safe,
    find_harms_surface};

} // namespace benchleaf::proof::checks
