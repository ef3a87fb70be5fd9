#include "report/due.h"

#include "report/forecast.h"

#include <algorithm>
#include <iterator>

namespace benchleaf::report {

namespace {

using mechanics::Date;
using units::Quantity;

NoDay why(mechanics::NoUse no) {
    switch (no) {
    case mechanics::NoUse::too_few:
        return NoDay::one_visit;
    case mechanics::NoUse::not_run:
        return NoDay::not_run;
    case mechanics::NoUse::other_units:
        return NoDay::other_units;
    }
    return NoDay::one_visit;
}

bool less(const Quantity& a, const Quantity& b) {
    return units::compare(a, b) == std::partial_ordering::less;
}

class OfVehicle {
public:
    OfVehicle(const history::Vehicle& vehicle, const Shop& shop, Date at, Dues& to)
        : vehicle_(vehicle), shop_(shop), to_(to), use_(use_of(vehicle)) {
        const model::Record& last = *vehicle.visits.back();
        base_.vehicle = last.name ? last.name->value : last.vehicle ? last.vehicle->value.name : std::string();
        if (!vehicle.identity.empty()) base_.identity = vehicle.identity.front().value.value;
        if (const auto* use = std::get_if<mechanics::Use>(&use_)) base_.meter = mechanics::meter_on(*use, at);
        next_service();
    }

    void add() {
        if (const model::Record* stopped = not_to_be_driven(vehicle_)) {
            Due made = base_;
            made.state = DueState::not_to_be_driven;
            made.record = stopped->id.value;
            made.read_on = stopped->date->value;
            if (stopped->meter) made.read_at = stopped->meter->value.quantity;
            to_.list.push_back(std::move(made));
        }
        for (const history::Series& each : vehicle_.series) thing(each);
        for (const history::Open& each : vehicle_.open) open(each);
        service();
    }

private:
    // What the last record says of it; an older one is about a service that this one was.
    void next_service() {
        const model::Record& last = *vehicle_.visits.back();
        base_.record = last.id.value;
        if (last.next_service) base_.next_service = last.next_service->value.quantity;
        if (last.next_service_date) base_.next_service_on = mechanics::parse_date(last.next_service_date->value);
    }

    // The day by which the meter stands there.
    void day_of(const Quantity& meter, Due& due) const {
        const auto* use = std::get_if<mechanics::Use>(&use_);
        if (use == nullptr) {
            const bool any = std::any_of(vehicle_.visits.begin(), vehicle_.visits.end(),
                                         [](const model::Record* each) { return each->meter.has_value(); });
            due.no_day = any ? why(std::get<mechanics::NoUse>(use_)) : NoDay::no_meter;
            return;
        }
        due.by = mechanics::day_of(*use, meter);
        if (!due.by)
            due.no_day = units::convertible(meter.unit, use->last.meter.unit) ? NoDay::far : NoDay::other_units;
    }

    void thing(const history::Series& series) {
        const Forecast found = forecast(shop_, series);
        if (found.last == nullptr) return;
        const model::Record& record = *found.last->record;
        const model::ReadFigure& figure = *found.last->figure;
        Due made = base_;
        made.record = record.id.value;
        made.limit = series.limit;
        made.item = series.item;
        made.at = series.at;
        made.thing = printed_name(shop_, record.vehicle ? record.vehicle->value.name : "", series.limit, series.item);
        made.read = found.last->size;
        made.read_on = record.date->value;
        if (record.meter) made.read_at = record.meter->value.quantity;
        if (figure.minimum) made.minimum = figure.minimum->value.quantity;
        if (figure.maximum) made.maximum = figure.maximum->value.quantity;
        if (figure.within) {
            made.minimum = figure.within->value.range.lower;
            made.maximum = figure.within->value.range.upper;
        }
        if (figure.uncertainty) made.uncertainty = figure.uncertainty->value.quantity;
        made.expected = found.reached.expected;
        made.soonest = found.reached.soonest;
        if (!made.expected && !made.soonest && figure.limit_at) made.expected = figure.limit_at->value.quantity;
        const std::optional<Quantity> first = made.soonest ? made.soonest : made.expected;
        if (first) day_of(*first, made);
        const auto verdict = figure.verdict ? std::optional(figure.verdict->value) : std::nullopt;
        if (verdict == model::Held::past)
            made.state = DueState::past_the_limit;
        else if (verdict == model::Held::doubtful)
            made.state = DueState::in_doubt;
        else if (verdict == model::Held::not_to_next_service || (first && before_service(*first, made)))
            made.state = DueState::before_service;
        else
            return;
        to_.list.push_back(std::move(made));
    }

    void open(const history::Open& of) {
        Due made = base_;
        made.record = of.record->id.value;
        made.read_on = of.record->date->value;
        if (of.record->meter) made.read_at = of.record->meter->value.quantity;
        if (of.graded != nullptr) {
            made.state = of.graded->found->value == model::Grade::act_now ? DueState::act_now : DueState::advised;
            made.item = of.graded->of->value.name;
            if (of.graded->at) made.at = of.graded->at->value.name;
            made.thing = printed_name(shop_, "", "", made.item);
        } else {
            made.state = !of.recheck.empty()    ? DueState::recheck
                         : !of.declined.empty() ? DueState::declined
                                                : DueState::also_found;
            made.text = of.also_found + of.declined + of.recheck; // one of them
        }
        to_.list.push_back(std::move(made));
    }

    // By the meter where both are told by it, and by the day where that can be told.
    static bool before_service(const Quantity& first, const Due& of) {
        if (of.next_service && less(first, *of.next_service)) return true;
        return of.next_service_on && of.by && *of.by < *of.next_service_on;
    }

    void service() {
        Due made = base_;
        made.state = DueState::service_due;
        std::optional<Date> by = made.next_service_on;
        if (made.next_service) {
            day_of(*made.next_service, made);
            if (made.by && (!by || *made.by < *by)) by = made.by;
        }
        made.by = by;
        const bool met = made.next_service && made.meter && !less(*made.meter, *made.next_service);
        if (met || (by && *by <= to_.at))
            to_.list.push_back(std::move(made));
        else if (made.next_service && made.no_day && *made.no_day != NoDay::far)
            to_.unknown.push_back(std::move(made));
    }

    const history::Vehicle& vehicle_;
    const Shop& shop_;
    Dues& to_;
    std::variant<mechanics::Use, mechanics::NoUse> use_;
    Due base_;
};

int rank(DueState state) {
    switch (state) {
    case DueState::not_to_be_driven:
        return 0;
    case DueState::past_the_limit:
    case DueState::act_now:
        return 1;
    case DueState::in_doubt:
        return 2;
    case DueState::before_service:
    case DueState::service_due:
        return 3;
    case DueState::advised:
    case DueState::also_found:
    case DueState::declined:
    case DueState::recheck:
        return 4;
    }
    return 4;
}

} // namespace

std::string_view name(DueState state) {
    switch (state) {
    case DueState::not_to_be_driven:
        return "NOT TO BE DRIVEN";
    case DueState::past_the_limit:
        return "past the limit";
    case DueState::in_doubt:
        return "in doubt";
    case DueState::before_service:
        return "before the next service";
    case DueState::service_due:
        return "service due";
    case DueState::act_now:
        return "act now";
    case DueState::advised:
        return "advised";
    case DueState::also_found:
        return "also found";
    case DueState::declined:
        return "declined by the customer";
    case DueState::recheck:
        return "not recorded as done";
    }
    return {};
}

std::string_view name(NoDay why) {
    switch (why) {
    case NoDay::one_visit:
        return "one visit only";
    case NoDay::not_run:
        return "its meter did not go on";
    case NoDay::other_units:
        return "its meter counts something else";
    case NoDay::no_meter:
        return "no meter reading";
    case NoDay::far:
        return "not in a hundred years";
    }
    return {};
}

Dues due(const history::History& history, const Shop& shop, Date at) {
    Dues made{at, {}, {}};
    for (const history::Vehicle& each : history.vehicles) OfVehicle(each, shop, at, made).add();
    std::stable_sort(made.list.begin(), made.list.end(), [](const Due& a, const Due& b) {
        if (rank(a.state) != rank(b.state)) return rank(a.state) < rank(b.state);
        if (a.by.has_value() != b.by.has_value()) return a.by.has_value();
        return a.by && *a.by < *b.by;
    });
    return made;
}

} // namespace benchleaf::report
