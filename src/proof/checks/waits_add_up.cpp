#include "proof/check.h"

namespace benchleaf::proof::checks {

namespace {

void find_waits_add_up(Moment& now, const Check& self) {
    const linked::Item& item = now.it().is;
    if (!item.threadlock.known()) return;
    const auto& time = now.of(item.threadlock).figures.sets_in;
    if (!time) return;
    const double most = units::value_in(time->value.quantity, units::Unit::second);
    const Way wet = now.when(now.at, [](const Standing& s) { return s.locker_is_wet(); });
    const auto set = now.some(
        now.thread(now.at), [&](const Standing& s) { return s.on > 0 && static_cast<double>(s.on) >= most; }, wet);
    if (!set) return;
    Finding& finding =
        now.report(self, "the thread-locker on {item} has set{sides} before it is " + std::string(now.done()), set);
    finding.more.push_back({time->span, "takes this long; the steps since it was put on take longer"});
    if (set->standing.coated != nullptr) finding.more.push_back({head_span(*set->standing.coated), "put on here"});
    finding.help = "put it on later, or tighten before the time is up: turned once it has set, thread-locker "
                   "holds no more";
}

} // namespace

extern const Check waits_add_up{{"waits-add-up", messages::Level::error,
                                 "the waits since thread-locker was put on come to more than it takes to set"},
                                When::demand,
                                model::Demand::locker_in_time,
                                find_waits_add_up};

} // namespace benchleaf::proof::checks
