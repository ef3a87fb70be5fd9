#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// On a thread that has yet to be cleaned it does no harm, and on one that is in it does not get in between.
void find_lubricant_under_locker(Moment& now, const Check& self) {
    if (!now.it().is.threadlock.known() || !now.consumable.known() || now.consumable == now.it().is.threadlock) return;
    const auto& sort = now.of(now.consumable).figures.sort;
    if (!sort || (sort->value != model::ConsumableSort::lubricant && sort->value != model::ConsumableSort::fluid))
        return;
    const auto off = static_cast<linked::Place>(now.it().is.places.size() - 1);
    const auto bad =
        now.some(now.at, [off](const Standing& s) { return s.place == off && !s.owes(model::Debt::degrease); });
    if (!bad) return;
    Finding& finding =
        now.report(self,
                   bad->standing.owes(model::Debt::locker)
                       ? "{item}{sides} is treated with {what} after it was cleaned for its thread-locker"
                       : "{item}{sides} is treated with {what} over its thread-locker",
                   bad);
    const std::string& what = now.of(now.consumable).name;
    finding.what.replace(finding.what.find("{what}"), 6, what);
    finding.more.push_back({now.it().is.fastener.threadlock->span, "thread-locker holds only on a clean, dry thread"});
    finding.blamed.emplace_back(now.at, bad->standing);
    finding.told_debts = model::bit(model::Debt::locker);
    finding.help = fmt::format("leave the {} off it; what slides beside the thread is a part of its own", what);
}

} // namespace

extern const Check lubricant_under_locker{
    {"lubricant-under-locker", messages::Level::error, "a lubricant goes on a thread that thread-locker has to hold"},
    When::demand,
    model::Demand::thread_dry,
    find_lubricant_under_locker};

} // namespace benchleaf::proof::checks
