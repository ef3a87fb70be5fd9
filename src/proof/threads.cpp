#include "proof/machine.h"

namespace benchleaf::proof {

namespace {

std::uint64_t seconds(const units::Quantity& time) {
    const double value = units::value_in(time, units::Unit::second);
    return value > 0 && value < 1e9 ? static_cast<std::uint64_t>(value) : 0;
}

} // namespace

// 0: it has none, or nobody says how long it takes.
std::uint64_t Machine::sets_in(ItemId fastener) const {
    const linked::Item& item = fit_.items[fastener.index()].is;
    if (item.sort != linked::Sort::fastener || !item.threadlock.known()) return 0;
    const auto& time = linked_.consumables[item.threadlock.index()].figures.sets_in;
    return time ? seconds(time->value.quantity) : 0;
}

// On what is tight it sets as it should; on what still has to be tightened, the tightening would break it.
void Machine::let_lockers_set(const Row& row) {
    const auto& verb = row.step->source->verb;
    const auto sets = [&](linked::ConsumableId locker) {
        const auto& time = linked_.consumables[locker.index()].figures.sets_in;
        if (!time) return row.step->wait_for == locker;
        return verb && verb->time && units::compare(verb->time->value.quantity, time->value.quantity) >= 0;
    };
    const std::size_t found_before = findings_.size();
    std::vector<InstanceId> all;
    for (std::size_t i = 0; i < fit_.items.size(); ++i) {
        const fitted::Item& item = fit_.items.unnoted(i);
        if (!item.present || !item.is.threadlock.known() || !sets(item.is.threadlock)) continue;
        for (const InstanceId at : instances(ItemId(i), {}, nullptr)) {
            all.push_back(at);
            Moment now = moment_at(ItemId(i), at, head_span(row));
            ask("locker-sets-early", now);
        }
    }
    take_blame(found_before);
    for (const InstanceId at : all)
        set(at, ways_.changed(ways_.given(raw(at), path_), [](const Standing& before) {
            Standing after = before;
            if (after.place == 0) after.bits |= model::bit(Debt::locker_set);
            return after;
        }));
}

// At least what is written: the time of each wait, and what a step is said to take. It is counted no further than the locker takes to set.
void Machine::let_time_pass(const Row& row) {
    if (row.step == nullptr) return;
    const auto& verb = row.step->source->verb;
    std::uint64_t passed = verb && verb->time ? seconds(verb->time->value.quantity) : 0;
    if (const auto& minutes = row.step->source->minutes) passed = std::max(passed, seconds(minutes->value.quantity));
    if (passed == 0) return;
    for (std::size_t i = 0; i < fit_.items.size(); ++i) {
        if (const fitted::Item& item = fit_.items.unnoted(i); !item.present || !item.is.threadlock.known()) continue;
        const std::uint64_t most = sets_in(ItemId(i));
        if (most == 0) continue;
        for (const InstanceId at : instances(ItemId(i), {}, nullptr)) {
            // It was put on in this very step.
            const auto& to = row.step->to;
            if (row.verb == model::VerbName::apply && std::find(to.begin(), to.end(), ItemId(i)) != to.end()) continue;
            const Way wet = ways_.so(standing(at), [](const Standing& s) { return s.locker_is_wet(); });
            if (wet == Ways::ended) continue;
            change_slot(thread_slot(at), [&](Standing& s) {
                if (s.coated != nullptr) s.on = std::min(most, s.on + passed);
            });
        }
    }
}

void Machine::turn_thread(const Row& row, const model::Deed& deed, const Object& object, InstanceId at) {
    const linked::Item& item = fit_.items[object.item.index()].is;
    if (item.sort != linked::Sort::fastener) return;
    const auto has = [&](Effect effect) {
        return std::find(deed.effects.begin(), deed.effects.end(), effect) != deed.effects.end();
    };
    if (has(Effect::pay_locker) && object.consumable == item.threadlock)
        change_slot(thread_slot(at), [&](Standing& s) {
            s.on = 0;
            s.coated = &row;
        });
    const bool once =
        (item.fastener.reuse && item.fastener.reuse->value == model::Reuse::never) || !item.renew_with.empty();
    if (!once) return;
    if (deed.to == model::Leaves::off_place)
        change_slot(thread_slot(at), [](Standing& s) { s.bits = 0; });
    else if (deed.to == model::Leaves::loose && deed.from == model::Starts::tight_or_snug &&
             ways_.so(standing(at), [](const Standing& s) { return s.place == 0; }) != Ways::ended)
        change_slot(thread_slot(at), [&](Standing& s) {
            s.bits = slackened_since;
            s.placed = &row;
        });
}

// How long the locker has waited before the last round, when each takes as long as the first.
Way Machine::waited_in_rounds(InstanceId slot, Way from, Way end, const Row& row) {
    const std::uint64_t most = sets_in(fit_.instances[slot.index() - first_thread_].item);
    const auto more = static_cast<std::uint64_t>(std::max<std::int64_t>(row.at_most, 2) - 2);
    return ways_.join(from, end, [&](const Standing& x, const Standing& y) {
        Standing both = y;
        both.bits |= x.bits;
        both.on = std::max(x.on, y.on);
        if (y.on > x.on) both.on = std::min(most, y.on + std::min(more, most) * (y.on - x.on));
        return both;
    });
}

} // namespace benchleaf::proof
