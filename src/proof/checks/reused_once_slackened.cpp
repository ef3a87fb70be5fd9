#include "proof/check.h"

namespace benchleaf::proof::checks {

namespace {

void find_reused_once_slackened(Moment& now, const Check& self) {
    const linked::Item& item = now.it().is;
    const Way loose = now.when(now.at, [](const Standing& s) { return s.place == 1 || s.place == 2; });
    if (loose == Ways::ended) return;
    const auto again = now.some(
        now.thread(now.at), [](const Standing& s) { return (s.bits & slackened_since) != 0; }, loose);
    if (!again) return;
    const auto& reuse = item.fastener.reuse;
    const bool never = reuse && reuse->value == model::Reuse::never;
    std::string names;
    for (const linked::ItemId with : item.renew_with)
        if (with.known() && now.of(with).present)
            names += (names.empty() ? "the " : " and the ") + std::string(now.name(with));
    if (!never && names.empty()) return;
    Finding& finding =
        now.report(self,
                   never ? "{item} is tightened a second time{sides}, and is never used again"
                         : "{item} is tightened a second time{sides} on " + names + " that it was tightened on before",
                   again);
    if (again->standing.placed != nullptr)
        finding.more.push_back({target_span(*again->standing.placed, now.item), "slackened here, and not off since"});
    finding.help = "add `- remove: " + item.id + "` and `- fit: " + item.id +
                   "` before this step: what is fitted is new" + (never ? "" : " under it, too");
}

} // namespace

extern const Check reused_once_slackened{
    {"reused-once-slackened", messages::Level::error, "what is only fit for one tightening is tightened a second time"},
    When::demand,
    model::Demand::first_tightening,
    find_reused_once_slackened};

} // namespace benchleaf::proof::checks
