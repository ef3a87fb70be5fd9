#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_dry_dust_raised(Moment& now, const Check& self) {
    const auto blowing = now.tools([](const model::Tool& tool) { return tool.blows && tool.blows->value; });
    const auto brushing = now.tools([](const model::Tool& tool) { return tool.dry_brush && tool.dry_brush->value; });
    if (blowing.empty() && brushing.empty()) return;
    // A brush that is used with what wets is a wet brush. Air throws the drops about, and the dust with them.
    bool wet = false;
    for (const Moment::Used& used : now.used()) wet = wet || now.substances->wets(used.consumable);
    if (blowing.empty() && wet) return;
    const auto bad = now.some(now.at, [](const Standing& s) { return (s.on & dry_dust) != 0; });
    if (!bad) return;
    const bool blows = !blowing.empty();
    Finding& finding = now.report(
        self, fmt::format("{{item}} is {}{{sides}} while brake dust lies dry on it", blows ? "blown at" : "brushed"),
        bad);
    const auto& [tool, at] = blows ? blowing.front() : brushing.front();
    finding.at = at;
    finding.label = blows ? "blows the dust into the air" : "raises the dust";
    finding.more.push_back(now.declared(now.item, "has brake dust on it until it is wetted"));
    finding.blamed.emplace_back(now.at, bad->standing);
    finding.told_on = dry_dust;
    finding.help = "wet it first, on every way that leads here: `clean` it with what `wets`, then wipe it";
}

} // namespace

extern const Check dry_dust_raised{
    {"dry-dust-raised", messages::Level::error, "brake dust is blown or brushed into the air before it is wetted"},
    When::demand,
    model::Demand::dust_wetted,
    find_dry_dust_raised};

} // namespace benchleaf::proof::checks
