#include "linked/reports.h"

#include <set>

namespace benchleaf::linked {

namespace {

void find_locker_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::locker_unsaid = {
    {"locker-unsaid", messages::Level::error, "a torque for threads with thread-locker, of a fastener that names none"},
    find_locker_unsaid};

namespace {

bool names_one(const Item& item) {
    return item.fastener.threadlock.has_value() || item.fastener.unread;
}

void find_locker_unsaid(const Linked& linked, const Check& self, Messages& out) {
    std::set<ItemId> named;
    for (const Vehicle& vehicle : linked.vehicles)
        for (const auto& [id, item] : vehicle.items)
            if (names_one(item)) named.insert(id);
    const auto judge = [&](const std::vector<Torque>& torques) {
        for (const Torque& torque : torques) {
            if (!torque.fastener.known() || !torque.figures.threads || named.contains(torque.fastener)) continue;
            if (torque.figures.threads->value != model::ThreadState::thread_locked) continue;
            const Item& item = linked.items[torque.fastener.index()];
            // One that is new each time may come with the locker on it.
            const bool comes_with_it = item.fastener.reuse && item.fastener.reuse->value == model::Reuse::never;
            if (names_one(item) || comes_with_it) continue;
            named.insert(torque.fastener); // told once
            messages::Message& message =
                out.add(self.rule, torque.figures.threads->span,
                        "the torque of the " + item.name + " is for threads with thread-locker on, and it names none",
                        "without it, it clamps otherwise and works loose");
            message.labels.push_back({item.declared, "has no `threadlock`"});
            message.help = "name its thread-locker in a `threadlock` of the " + item.name +
                           "; one that comes new with it on says `reuse: never`";
        }
    };
    for (const Catalogue& catalogue : linked.catalogues) judge(catalogue.torques);
    for (const Procedure& procedure : linked.procedures) judge(procedure.torques);
    for (const Vehicle& vehicle : linked.vehicles) judge(vehicle.torques);
    for (const Job& job : linked.jobs) judge(job.torques);
}

} // namespace
} // namespace benchleaf::linked
