#include "report/forecast.h"

#include "history/order.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace benchleaf::report {

namespace {

using mechanics::WearLimit;
using units::Quantity;

// What a gauge that nobody described shows at least: the last figure that was written.
Quantity last_figure(const Quantity& size) {
    return {1, size.decimals, false, size.unit};
}

std::optional<LimitFacts> facts_of(const Shop& shop, const history::Series& series) {
    const model::Record& record = *series.readings.back().record;
    if (!shop.limit || !record.vehicle) return std::nullopt;
    return shop.limit(record.vehicle->value.name, series.limit);
}

bool wears(const std::optional<LimitFacts>& facts, const history::Series& series) {
    if (facts) return facts->wears;
    return std::any_of(series.readings.begin(), series.readings.end(),
                       [](const history::Taken& each) { return each.figure->keep || each.figure->limit_at; });
}

std::optional<WearLimit> limit_of(const history::Taken& taken, const std::optional<LimitFacts>& facts) {
    const model::ReadFigure& figure = *taken.figure;
    if (figure.within || figure.minimum.has_value() == figure.maximum.has_value()) return std::nullopt;
    WearLimit limit;
    limit.sort = figure.minimum ? WearLimit::Sort::minimum : WearLimit::Sort::maximum;
    limit.limit = (figure.minimum ? *figure.minimum : *figure.maximum).value.quantity;
    limit.reads_to = facts && facts->reads_to ? *facts->reads_to : last_figure(taken.size);
    if (figure.uncertainty) limit.uncertainty = figure.uncertainty->value.quantity;
    return limit;
}

std::optional<Quantity> interval_of(const model::Record& record) {
    if (!record.next_service || !record.meter) return std::nullopt;
    const auto back = units::multiply(record.meter->value.quantity, -1);
    return back ? units::add(record.next_service->value.quantity, *back) : std::nullopt;
}

} // namespace

double guarded(const WearLimit& limit) {
    const double band = limit.uncertainty ? units::value_in(*limit.uncertainty, limit.limit.unit) : 0;
    const double at = units::value_in(limit.limit, limit.limit.unit);
    return limit.sort == WearLimit::Sort::minimum ? at + band : at - band;
}

Forecast forecast(const Shop& shop, const history::Series& series) {
    Forecast made;
    if (series.readings.empty()) {
        made.none = NoForecast::renewed_since;
        return made;
    }
    const auto facts = facts_of(shop, series);
    const auto current = series.current();
    if (current.empty()) {
        made.none = wears(facts, series) ? NoForecast::renewed_since : NoForecast::does_not_wear;
        return made;
    }
    made.last = &current.back();
    made.limit = limit_of(*made.last, facts);
    if (!wears(facts, series) || !made.limit) {
        made.none = NoForecast::does_not_wear;
        return made;
    }
    const model::Record& record = *made.last->record;
    if (!record.meter) {
        made.none = NoForecast::no_meter;
        return made;
    }
    const mechanics::WearReading read{record.meter->value.quantity, made.last->size};
    if (facts && facts->as_new) made.past.as_new = facts->as_new;
    // A new meter says nothing of when the part was new, unless it was renewed since.
    const bool meter_back =
        series.counts_from > 0 && (series.renewals.empty() || series.renewals.back().before < series.counts_from);
    if (meter_back)
        made.past.new_at.reset();
    else if (series.renewals.empty())
        made.past.new_at = Quantity{0, 0, false, read.meter.unit};
    else if (series.renewals.back().record->meter)
        made.past.new_at = series.renewals.back().record->meter->value.quantity;
    std::vector<mechanics::WearReading> all;
    for (const history::Taken& each : current)
        if (each.record->meter) all.push_back({each.record->meter->value.quantity, each.size});
    for (std::size_t i = 1; i < all.size(); ++i) {
        const auto order = units::compare(all[i].meter, all[i - 1].meter);
        if (order == std::partial_ordering::unordered) made.none = NoForecast::other_units;
        if (order == std::partial_ordering::less) made.none = NoForecast::meter_back;
        if (made.none) return made;
    }
    made.past.readings.assign(all.begin(), all.end() - 1);
    const auto line = mechanics::wear_line(*made.limit, all);
    if (const auto* found = std::get_if<mechanics::WearLine>(&line)) made.line = *found;
    made.reached = mechanics::limit_reached(*made.limit, made.past, read, interval_of(record), shop.margin);
    if (made.reached.expected || made.reached.soonest) return made;
    const bool known = made.line || !made.past.readings.empty() || (made.past.as_new && made.past.new_at);
    made.none = known ? NoForecast::no_wear : meter_back ? NoForecast::meter_back : NoForecast::one_size;
    return made;
}

std::variant<mechanics::Use, mechanics::NoUse> use_of(const history::Vehicle& vehicle) {
    std::vector<mechanics::Stand> stands;
    for (const model::Record* each : vehicle.visits)
        if (each->meter) stands.push_back({each->date->value, each->meter->value.quantity});
    return mechanics::use_of(stands);
}

std::string printed_name(const Shop& shop, std::string_view vehicle, std::string_view limit, std::string_view item) {
    const auto facts = shop.limit ? shop.limit(vehicle, limit) : std::nullopt;
    std::string name = shop.item && !item.empty() ? shop.item(item) : std::string();
    if (name.empty()) name = item;
    const std::string of = facts ? facts->name : std::string(limit);
    if (name.empty()) return of.empty() ? std::string(limit) : of;
    return of.empty() ? name : name + " – " + of;
}

const model::Record* not_to_be_driven(const history::Vehicle& vehicle) {
    const auto finished = [](const model::Record& record) {
        return record.outcome && record.outcome->value == model::Outcome::finished;
    };
    const auto has = [](const model::Record& record, std::string_view procedure) {
        return record.cards &&
               std::any_of(record.cards->value.begin(), record.cards->value.end(),
                           [&](const auto& card) { return card.card && card.card->value.name == procedure; });
    };
    for (auto each = vehicle.visits.rbegin(); each != vehicle.visits.rend(); ++each) {
        const model::Record& record = **each;
        if (finished(record)) continue;
        // The card that it stopped on is its last; those before it (wheels off, front end up) are part of other work, too.
        const bool named = record.cards && !record.cards->value.empty() && record.cards->value.back().card;
        // One of which nothing but its name says that it is the later one lifts nothing.
        const bool done_since =
            named && std::any_of(vehicle.visits.begin(), vehicle.visits.end(), [&](const model::Record* later) {
                return finished(*later) && history::surely_earlier(record, *later) &&
                       has(*later, record.cards->value.back().card->value.name);
            });
        if (!done_since) return &record;
    }
    return nullptr;
}

} // namespace benchleaf::report
