#include "card/after.h"

#include "mechanics/date.h"
#include "model/verbs.h"

#include <utility>

namespace benchleaf::card {

namespace {

using model::Debt;

std::string next_service(const Speaker& s) {
    if (s.job == nullptr) return {};
    std::string text;
    if (s.job->next_service) {
        const units::Quantity next = s.job->next_service->value.quantity;
        if (!next.relative) {
            text = s.fill(Key::next_service_at, {s.say(next)});
        } else {
            units::Quantity way = next;
            way.relative = false;
            const auto at = s.job->meter ? units::add(s.job->meter->value.quantity, way) : std::nullopt;
            text = at ? s.fill(Key::next_service_at, {s.say(*at)}) : s.fill(Key::next_service_after, {s.say(way)});
        }
    }
    if (s.job->next_service_date) {
        const std::string& date = s.job->next_service_date->value;
        text = text.empty() ? s.fill(Key::next_service_on, {date}) : s.fill(Key::next_service_or, {text, date});
    }
    return text;
}

// Values of an item that the work left, said only where there is more than one on this vehicle.
std::string sides(const Speaker& s, const proof::Left& left) {
    const auto all = s.values(left.item);
    if (all.empty()) return {};
    std::vector<fitted::AxisValue> values;
    for (const auto value : left.values)
        if (value != fitted::no_value) values.push_back(value);
    return s.word(Key::list_comma) + s.sides(s.item(left.item).axis, values.empty() ? all : values);
}

std::string proofs_paid(const Speaker& s, std::uint64_t paid) {
    static constexpr std::pair<Debt, Key> words[] = {
        {Debt::fill, Key::paid_fill},     {Debt::bleed, Key::paid_bleed},
        {Debt::prime, Key::paid_prime},   {Debt::circulate, Key::paid_circulate},
        {Debt::level, Key::paid_level},   {Debt::leak_check, Key::paid_leak_check},
        {Debt::adjust, Key::paid_adjust}, {Debt::prove, Key::paid_prove},
    };
    std::vector<std::string> parts;
    for (const auto& [debt, key] : words)
        if ((paid & model::bit(debt)) != 0) parts.push_back(s.word(key));
    return s.listed(parts);
}

} // namespace

Findings make_findings(const Speaker& s, std::vector<Finding> lines) {
    Findings made;
    made.title = s.word(Key::findings);
    made.grades = {s.word(Key::grade_good), s.word(Key::grade_advise), s.word(Key::grade_act_now)};
    made.lines = std::move(lines);
    made.also_found = s.word(Key::also_found);
    made.declined = s.word(Key::declined);
    made.next_service = next_service(s);
    return made;
}

StopStrip make_stop_strip(const Speaker& s) {
    return {s.word(Key::stopped_here),
            {s.word(Key::time), s.word(Key::at_step), s.word(Key::vehicle_state)},
            s.word(Key::do_not_drive)};
}

CloseOut make_close_out(const Speaker& s, const fitted::Procedure& procedure, const std::vector<proof::Left>& all,
                        const std::map<linked::ItemId, std::string>& torques) {
    CloseOut made;
    made.title = s.word(Key::close_out);
    const auto at_rest = [&](const proof::Left& left) {
        return (left.place == 0 || s.item(left.item).rests_anywhere) && left.owes == 0;
    };
    // Critical torques.
    for (const proof::Left& left : all) {
        const linked::Item& item = s.item(left.item);
        if (!left.torqued || !item.critical || left.place != 0 || item.sort != linked::Sort::fastener) continue;
        const auto torque = torques.find(left.item);
        std::string text = torque == torques.end() ? item.name + ": " + s.word(Key::place_tight)
                                                   : s.fill(Key::torqued_to, {item.name, torque->second});
        made.lines.push_back({text + sides(s, left), ""});
    }
    // Pins and clips that hold what must not come away.
    for (const proof::Left& left : all) {
        const linked::Item& item = s.item(left.item);
        if (item.sort != linked::Sort::clip || !item.critical || !left.moved || left.place != 0) continue;
        made.lines.push_back({item.name + ": " + s.place(left.item, left.place) + sides(s, left), ""});
    }
    // Circuits and adjustments proved.
    for (const proof::Left& left : all) {
        const linked::Item& item = s.item(left.item);
        if (item.sort != linked::Sort::circuit && item.sort != linked::Sort::adjustment) continue;
        const std::string paid = proofs_paid(s, left.paid & ~left.owes);
        if (!paid.empty()) made.lines.push_back({item.name + ": " + paid + sides(s, left), ""});
    }
    // Settings back at rest.
    for (const proof::Left& left : all) {
        const linked::Item& item = s.item(left.item);
        if (item.sort != linked::Sort::setting || !left.moved || left.place != 0 || item.rests_anywhere) continue;
        made.lines.push_back({item.name + ": " + s.place(left.item, left.place) + sides(s, left), ""});
    }
    // Thread-locker that sets.
    std::vector<linked::ConsumableId> lockers;
    for (const proof::Left& left : all) {
        if (!left.locker.known()) continue;
        bool seen = false;
        for (const auto each : lockers) seen = seen || each == left.locker;
        if (seen) continue;
        lockers.push_back(left.locker);
        const linked::Consumable& locker = s.linked.consumables[left.locker.index()];
        std::vector<std::string> on;
        for (const proof::Left& other : all)
            if (other.locker == left.locker) on.push_back(s.name(other.item));
        CloseOutLine line{s.fill(Key::locker_on, {locker.name, s.listed(on)}), ""};
        if (locker.figures.sets_in) line.field = s.fill(Key::applied, {s.say(locker.figures.sets_in->value.quantity)});
        made.lines.push_back(std::move(line));
        if (locker.figures.full_in)
            made.later.push_back(s.fill(Key::full_after, {locker.name, s.say(locker.figures.full_in->value.quantity)}));
    }
    for (const proof::Left& left : all) {
        const linked::Item& item = s.item(left.item);
        // A nut that this card only rechecks has settled.
        if (!left.torqued || !left.moved || left.place != 0 || !item.fastener.recheck_after) continue;
        made.later.push_back(
            s.fill(Key::recheck_after, {s.say(item.fastener.recheck_after->value.quantity), item.name}) +
            sides(s, left));
    }
    // What another card of the job still has to do.
    for (const proof::Left& left : all) {
        if (at_rest(left)) continue;
        std::vector<std::string> says;
        if (left.place != 0) says.push_back(s.place(left.item, left.place));
        if (const std::string debts = owed(s, left.owes); !debts.empty())
            says.push_back(s.fill(Key::still_owed, {debts}));
        if (says.empty()) continue;
        made.later.push_back(s.fill(Key::left_open, {s.name(left.item) + ": " + s.listed(says) + sides(s, left)}));
    }
    // … and what this one found and left so.
    for (const linked::Entering& entering : procedure.ends_with) {
        if (!s.present(entering.item) || !entering.has_place || entering.place == 0 ||
            s.item(entering.item).rests_anywhere)
            continue;
        bool said = false;
        for (const proof::Left& left : all) said = said || left.item == entering.item;
        if (said) continue;
        made.later.push_back(s.fill(
            Key::left_open,
            {s.with_sides(s.name(entering.item) + ": " + s.place(entering.item, entering.place), entering.item)}));
    }
    made.signatures = {s.word(Key::done_by),    s.word(Key::checked_by), s.word(Key::wrench_used),
                       s.word(Key::gauge_used), s.word(Key::date),       s.word(Key::time)};
    return made;
}

} // namespace benchleaf::card
