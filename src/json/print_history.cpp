// A vehicle's readings over time, and what is due, as JSON: figures, not words.
#include "json/json.h"

#include "mechanics/date.h"
#include "model/words.h"
#include "report/forecast.h"

#include <cmath>
#include <nlohmann/json.hpp>

namespace benchleaf::json {

namespace {

using Json = nlohmann::ordered_json;

Json figure(const units::Quantity& quantity) {
    return {{"value", units::value_in(quantity, quantity.unit)}, {"unit", units::symbol(quantity.unit)}};
}
void put_figure(Json& to, const char* key, const std::optional<units::Quantity>& quantity) {
    if (quantity) to[key] = figure(*quantity);
}
template <units::Wanted W>
void put_figure(Json& to, const char* key, const model::Given<model::Measure<W>>& given) {
    if (given) to[key] = figure(given->value.quantity);
}
void put_text(Json& to, const char* key, const std::string& text) {
    if (!text.empty()) to[key] = text;
}

constexpr const char* outcomes[] = {"finished", "stopped", "not-to-be-driven"};
constexpr const char* verdicts[] = {"within", "not-to-next-service", "doubtful", "past"};
constexpr const char* reasons[] = {"does-not-wear", "renewed-since", "no-meter",   "meter-back",
                                   "one-size",      "no-wear",       "other-units"};

Json visit(const model::Record& record) {
    Json made;
    made["record"] = record.id.value;
    made["date"] = mechanics::print(record.date->value);
    put_figure(made, "meter", record.meter);
    return made;
}

Json series_of(const history::Series& series, const report::Shop& shop) {
    Json made;
    put_text(made, "at", series.at);
    Json readings = Json::array();
    for (const history::Taken& each : series.readings) {
        Json one = visit(*each.record);
        one["read"] = figure(each.size);
        put_figure(one, "minimum", each.figure->minimum);
        put_figure(one, "maximum", each.figure->maximum);
        if (each.figure->within) {
            one["minimum"] = figure(each.figure->within->value.range.lower);
            one["maximum"] = figure(each.figure->within->value.range.upper);
        }
        put_figure(one, "uncertainty", each.figure->uncertainty);
        put_figure(one, "keep", each.figure->keep);
        if (each.figure->verdict) one["verdict"] = verdicts[static_cast<std::size_t>(each.figure->verdict->value)];
        put_figure(one, "limit-at", each.figure->limit_at);
        readings.push_back(std::move(one));
    }
    made["readings"] = std::move(readings);
    if (!series.renewals.empty()) {
        Json renewals = Json::array();
        for (const history::Renewal& each : series.renewals) {
            Json one = visit(*each.record);
            one["before-reading"] = each.before;
            put_text(one, "batch", each.batch);
            renewals.push_back(std::move(one));
        }
        made["renewals"] = std::move(renewals);
    }
    const report::Forecast found = report::forecast(shop, series);
    Json forecast;
    if (found.line) {
        const mechanics::WearLine& line = *found.line;
        forecast["line"] = {{"points", line.line.points},       {"meter", units::symbol(line.meter)},
                            {"size", units::symbol(line.size)}, {"slope", line.line.slope},
                            {"intercept", line.line.intercept}, {"slope-error", line.line.slope_error},
                            {"deviation", line.line.deviation}, {"rate", line.rate},
                            {"rate-bound", line.rate_bound}};
    }
    put_figure(forecast, "expected", found.reached.expected);
    put_figure(forecast, "soonest", found.reached.soonest);
    if (found.none) forecast["none"] = reasons[static_cast<std::size_t>(*found.none)];
    made["forecast"] = std::move(forecast);
    return made;
}

Json due_of(const report::Due& due) {
    static constexpr const char* states[] = {"not-to-be-driven", "past-the-limit", "in-doubt", "before-next-service",
                                             "service-due",      "act-now",        "advised",  "also-found",
                                             "declined",         "recheck"};
    static constexpr const char* no_days[] = {"one-visit", "not-run", "other-units", "no-meter", "far"};
    Json made;
    made["state"] = states[static_cast<std::size_t>(due.state)];
    made["vehicle"] = due.vehicle;
    put_text(made, "identity", due.identity);
    put_text(made, "record", due.record);
    put_text(made, "thing", due.thing);
    put_text(made, "text", due.text);
    put_text(made, "limit", due.limit);
    put_text(made, "item", due.item);
    put_text(made, "at", due.at);
    put_figure(made, "read", due.read);
    if (due.read_on) made["read-on"] = mechanics::print(*due.read_on);
    put_figure(made, "read-at", due.read_at);
    put_figure(made, "minimum", due.minimum);
    put_figure(made, "maximum", due.maximum);
    put_figure(made, "uncertainty", due.uncertainty);
    put_figure(made, "expected", due.expected);
    put_figure(made, "soonest", due.soonest);
    put_figure(made, "next-service", due.next_service);
    if (due.next_service_on) made["next-service-date"] = mechanics::print(*due.next_service_on);
    put_figure(made, "meter", due.meter);
    if (due.by) made["by"] = mechanics::print(*due.by);
    if (!due.by && due.no_day) made["no-day"] = no_days[static_cast<std::size_t>(*due.no_day)];
    return made;
}

Json open_of(const history::Open& open) {
    Json made = visit(*open.record);
    if (open.graded != nullptr) {
        made["item"] = open.graded->of->value.name;
        if (open.graded->at) made["at"] = open.graded->at->value.name;
        made["found"] = model::word(open.graded->found->value);
    }
    put_text(made, "also-found", open.also_found);
    put_text(made, "declined", open.declined);
    put_text(made, "recheck", open.recheck);
    return made;
}

} // namespace

std::string print(const history::Vehicle& vehicle, const report::Shop& shop) {
    Json made;
    const model::Record& last = *vehicle.visits.back();
    const std::string model = last.vehicle ? last.vehicle->value.name : std::string();
    put_text(made, "vehicle", model);
    if (last.name) made["name"] = last.name->value;
    Json identity;
    for (const auto& each : vehicle.identity) identity[each.key.name] = each.value.value;
    made["identity"] = std::move(identity);
    if (const model::Record* record = report::not_to_be_driven(vehicle)) made["not-to-be-driven"] = record->id.value;
    put_figure(made, "next-service", last.next_service);
    if (last.next_service_date) made["next-service-date"] = last.next_service_date->value;
    Json visits = Json::array();
    for (const model::Record* each : vehicle.visits) {
        Json one = visit(*each);
        if (each->outcome) one["outcome"] = outcomes[static_cast<std::size_t>(each->outcome->value)];
        visits.push_back(std::move(one));
    }
    made["visits"] = std::move(visits);
    Json open = Json::array();
    for (const history::Open& each : vehicle.open) open.push_back(open_of(each));
    made["open"] = std::move(open);
    Json things = Json::array();
    for (const history::Series& each : vehicle.series) {
        if (each.readings.empty()) continue;
        Json one;
        one["limit"] = each.limit;
        put_text(one, "item", each.item);
        one["name"] = report::printed_name(shop, model, each.limit, each.item);
        one.update(series_of(each, shop));
        things.push_back(std::move(one));
    }
    made["things"] = std::move(things);
    return made.dump(2) + "\n";
}

std::string print(const report::Dues& dues) {
    Json made;
    made["at"] = mechanics::print(dues.at);
    made["due"] = Json::array();
    for (const report::Due& each : dues.list) made["due"].push_back(due_of(each));
    made["unknown"] = Json::array();
    for (const report::Due& each : dues.unknown) made["unknown"].push_back(due_of(each));
    made["left-out"] = Json::array();
    for (const report::LeftOut& each : dues.left_out)
        made["left-out"].push_back({{"file", each.file}, {"vehicles", each.vehicles}});
    return made.dump(2) + "\n";
}

} // namespace benchleaf::json
