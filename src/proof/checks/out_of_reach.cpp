#include "proof/check.h"
#include "proof/remedy.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_out_of_reach(Moment& now, const Check& self) {
    const linked::Item& item = now.it().is;
    // What is off lies on the bench, and its place on the vehicle is no matter; unless this puts it back.
    const bool puts_back = now.deed->from == model::Starts::off_place && now.deed->to != model::Leaves::same;
    const auto last = static_cast<linked::Place>(item.places.size() - 1);
    const bool can_be_off =
        item.sort == linked::Sort::part || item.sort == linked::Sort::fastener || item.sort == linked::Sort::clip;
    // Nor is it told of a hole, which something before was told of.
    const Way on = !can_be_off ? Ways::going : now.when(now.at, [&](const Standing& s) {
        return s.place_known() && (puts_back || s.place != last);
    });
    std::vector<linked::ItemId> covers = item.behind;
    if (item.inside.known()) covers.push_back(item.inside);
    for (const linked::ItemId cover : covers) {
        if (!cover.known() || !now.of(cover).present) continue;
        for (const fitted::InstanceId at : now.beside(cover)) {
            const auto bad = now.some(
                at, [](const Standing& s) { return !s.away(); }, on);
            if (!bad) continue;
            Finding& finding = now.report(
                self, fmt::format("{{item}} cannot be reached{{sides}}: the {} is still in the way", now.name(cover)),
                bad);
            now.blame(finding, at, bad->standing);
            const auto off = static_cast<linked::Place>(now.of(cover).is.places.size() - 1);
            const linked::Place away = now.remedies->moved_away(now, cover).value_or(off);
            const bool treats = now.deed->to == model::Leaves::same && now.row->verb != model::VerbName::adjust;
            const bool elsewhere_said =
                (puts_back && now.remedies->swap_with(now, finding, cover, bad->standing.placed)) ||
                (treats && now.remedies->treat_before(now, finding, cover, bad->standing));
            if (!elsewhere_said) now.remedies->before(now, finding, cover, bad->standing.place, away);
            // It was put back too early, and nobody takes it off once more for this.
            const fitted::Row* back = bad->standing.placed;
            if (!elsewhere_said && !treats && back != nullptr && back->verb == model::VerbName::fit &&
                finding.help.starts_with("add `- remove:")) {
                finding.help = fmt::format("move `- fit: {}` behind all that is done there, or {}", now.of(cover).is.id,
                                           finding.help);
                finding.mends.clear();
            }
            // What has no sides lies behind what has them, and is worked on one side.
            const std::vector<fitted::InstanceId> all = now.beside(cover);
            const bool elsewhere = std::any_of(all.begin(), all.end(), [&](fitted::InstanceId other) {
                return other != at && now.some(
                                             other, [](const Standing& s) { return s.away() && s.place_known(); }, on)
                                          .has_value();
            });
            if (elsewhere && now.of(cover).is.axis.known() && !now.it().is.axis.known()) {
                const std::string& axis = now.fit.axes[now.of(cover).is.axis.index()].name;
                finding.more.push_back(now.declared(now.item, fmt::format("without `each: {}`", axis)));
                finding.help = fmt::format("the {} is off on one side: where the {} is on each, say `each: {}` in its "
                                           "declaration; else {}",
                                           now.name(cover), now.name(now.item), axis, finding.help);
                finding.mends.clear();
            }
            // What only looks at it, or wets it, may get past what stands before it; what is inside is shut in.
            if (now.deed->to == model::Leaves::same && cover != item.inside && !elsewhere_said)
                finding.help +=
                    fmt::format("; or, if it can be {} past that, say in a `while` in place of `behind` which "
                                "work needs the {} away",
                                now.done(), now.name(cover));
            break;
        }
    }
}

} // namespace

extern const Check out_of_reach{
    {"out-of-reach", messages::Level::error, "something is worked on while what is in front of it is still there"},
    When::demand,
    model::Demand::reach,
    find_out_of_reach};

} // namespace benchleaf::proof::checks
