#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// The one that hangs longest: one that nobody says clears, else that with the longest time.
linked::ConsumableId longest(const Moment& now, std::uint64_t bits) {
    linked::ConsumableId found;
    for (const linked::ConsumableId each : now.substances->named(bits)) {
        if (!now.substances->flammable(each)) continue;
        if (!found.known()) {
            found = each;
            continue;
        }
        const auto& until = now.of(found).figures.clears_in;
        const auto& other = now.of(each).figures.clears_in;
        if (until && (!other || units::compare(other->value.quantity, until->value.quantity) > 0)) found = each;
    }
    return found;
}

void find_flame_near_vapour(Moment& now, const Check& self) {
    const auto flames = now.tools([](const model::Tool& tool) { return tool.flame && tool.flame->value; });
    if (flames.empty()) return;
    std::uint64_t here = 0; // what is used in the same step
    for (const Moment::Used& used : now.used())
        if (now.substances->flammable(used.consumable)) here |= now.substances->bit(used.consumable);
    const auto bad = now.some(now.at, [&](const Standing& s) { return (s.on | here) != 0; });
    if (!bad) return;
    const std::uint64_t bits = bad->standing.on | here;
    const linked::ConsumableId vapour = longest(now, bits);
    if (!vapour.known()) return;
    const linked::Consumable& what = now.of(vapour);
    const linked::Tool& tool = now.linked.tools[flames.front().first.index()];
    Finding& finding = now.report(
        self,
        fmt::format("the {} makes a flame or sparks while vapour of the {} may hang in the air", tool.name, what.name),
        bad);
    finding.at = flames.front().second;
    if (bad->standing.coated != nullptr) finding.more.push_back({head_span(*bad->standing.coated), "it was used here"});
    for (const Moment::Used& used : now.used())
        if (used.consumable == vapour && bad->standing.on == 0) finding.more.push_back({used.span, "in the same step"});
    const auto& clears = what.figures.clears_in;
    if (clears) {
        const std::string time = units::print(clears->value.quantity);
        finding.more.push_back({clears->span, "clears in " + time + ", and no sooner"});
        finding.help = "add `- wait: " + units::print(clears->value.quantity, {.plain_spaces = true}) +
                       "` between the two, on every way; waits are not added up";
    } else {
        finding.more.push_back({what.declared, "flammable, and nobody says when its vapour is gone"});
        finding.help =
            "say `clears-in` in the catalogue, and `wait` as long; without it the vapour never counts as gone";
    }
    if (bad->standing.on == 0) return;
    finding.blamed.emplace_back(now.at, bad->standing);
    finding.told_on = bad->standing.on;
}

} // namespace

extern const Check flame_near_vapour{
    {"flame-near-vapour", messages::Level::error, "a flame is used before flammable vapour has cleared"},
    When::demand,
    model::Demand::vapour_clear,
    find_flame_near_vapour};

} // namespace benchleaf::proof::checks
