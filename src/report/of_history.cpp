// A vehicle's readings over time: for each thing that was measured a table, the forecast in words, and a plot.
#include "report/forecast.h"
#include "report/report.h"
#include "report/words.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace benchleaf::report {

namespace {

using history::Series;
using model::Record;
using units::Quantity;

double day_number(const Record& record) {
    return static_cast<double>(std::chrono::sys_days{record.date->value}.time_since_epoch().count());
}

// One thing on all of its sides.
struct Thing {
    std::vector<const Series*> sides;
    std::vector<Forecast> forecasts;
    const Record& last() const {
        const Record* latest = nullptr;
        for (const Series* each : sides)
            if (latest == nullptr || latest->date->value < each->readings.back().record->date->value)
                latest = each->readings.back().record;
        return *latest;
    }
};

// The step of an axis with about so many marks: 1, 2 or 5 of a power of ten.
double step_for(double range, int marks) {
    const double raw = range / marks;
    const double power = std::pow(10.0, std::floor(std::log10(raw)));
    for (const double of : {1.0, 2.0, 5.0})
        if (raw <= of * power * (1 + 1e-9)) return of * power;
    return 10 * power;
}

class OfHistory {
public:
    OfHistory(const Shop& shop, const history::Vehicle& vehicle) : shop_(shop), vehicle_(vehicle), words_(shop) {}

    Report make() {
        const Record& last = *vehicle_.visits.back();
        words_.frame(last, made_);
        made_.head.title = words_.word(Key::readings_over_time);
        made_.file_stem = history::folder_of(vehicle_.identity) + ".history";
        if (const Record* record = not_to_be_driven(vehicle_)) {
            const bool half_way = record->outcome && record->outcome->value == model::Outcome::stopped;
            made_.stop = card::Stop{words_.word(half_way ? Key::do_not_drive : Key::stop_headline),
                                    words_.word(Key::record) + " " + record->id.value + ", " +
                                        mechanics::print(record->date->value)};
        }
        visits();
        open();
        for (const Series& each : vehicle_.series) {
            if (each.readings.empty()) continue;
            const auto same = std::find_if(things_.begin(), things_.end(), [&](const Thing& thing) {
                return history::same_name(thing.sides.front()->limit, each.limit) &&
                       history::same_name(thing.sides.front()->item, each.item);
            });
            (same == things_.end() ? things_.emplace_back() : *same).sides.push_back(&each);
        }
        for (Thing& thing : things_) {
            for (const Series* side : thing.sides) thing.forecasts.push_back(forecast(shop_, *side));
            add(thing);
        }
        return std::move(made_);
    }

private:
    void visits() {
        Table table;
        table.heads = {words_.word(Key::date), words_.word(Key::meter), words_.word(Key::record),
                       words_.word(Key::work)};
        table.right = {false, true, false, false};
        for (const Record* each : vehicle_.visits) {
            std::string work;
            if (each->cards)
                for (const auto& card : each->cards->value)
                    work += (work.empty() ? "" : " · ") + (card.title ? card.title->value : name_of(card.card));
            if (each->outcome && each->outcome->value != model::Outcome::finished)
                work += (work.empty() ? "" : " – ") + words_.word(each->outcome->value == model::Outcome::stopped
                                                                      ? Key::outcome_stopped
                                                                      : Key::stop_headline);
            table.rows.push_back({mechanics::print(each->date->value), meter_of(*each), each->id.value, work});
        }
        Block block{words_.word(Key::visits), {}};
        block.parts.emplace_back(std::move(table));
        if (const std::string next = words_.next_service(*vehicle_.visits.back()); !next.empty())
            block.parts.emplace_back(Paragraph{next, true});
        made_.blocks.push_back(std::move(block));
    }

    // What was advised, found or declined, and is not done yet.
    void open() {
        Pairs lines;
        for (const history::Open& each : vehicle_.open) {
            std::string what;
            if (each.graded != nullptr)
                what = words_.with_side(words_.item(each.graded->of->value.name), name_of(each.graded->at)) + ": " +
                       words_.grade(each.graded->found->value);
            else if (!each.recheck.empty())
                what = each.recheck;
            else if (each.declined.empty())
                what = words_.word(Key::also_found) + ": " + each.also_found;
            else
                what = words_.word(Key::declined) + ": " + each.declined;
            std::string visit = mechanics::print(each.record->date->value);
            if (each.record->meter) visit += " · " + meter_of(*each.record);
            lines.lines.emplace_back(visit + " · " + each.record->id.value, std::move(what));
        }
        if (lines.lines.empty()) return;
        Block block{words_.word(Key::open_earlier), {}};
        block.parts.emplace_back(std::move(lines));
        made_.blocks.push_back(std::move(block));
    }

    std::string meter_of(const Record& record) const {
        return record.meter ? words_.say(record.meter->value.quantity) : "–";
    }

    std::string side(const Series& of) const { return of.at.empty() ? words_.word(Key::reading) : words_.side(of.at); }

    void add(const Thing& thing) {
        const Series& first = *thing.sides.front();
        Block block;
        block.heading = printed_name(shop_, name_of(thing.last().vehicle), first.limit, first.item);
        const model::ReadFigure& figure = *first.readings.back().figure;
        std::string held = words_.limit(figure);
        if (figure.uncertainty) held += " · ±" + words_.say(figure.uncertainty->value.quantity);
        if (!held.empty()) block.parts.emplace_back(Paragraph{held, false});
        block.parts.emplace_back(table(thing));
        for (std::size_t i = 0; i < thing.sides.size(); ++i) reckoned(thing, i, block);
        if (auto drawn = plot(thing)) block.parts.emplace_back(std::move(*drawn));
        made_.blocks.push_back(std::move(block));
    }

    // -- The table: a row for each visit at which something of it was read or renewed -----------------------------------------------------
    struct Row {
        const Record* record = nullptr;
        std::map<std::size_t, const history::Taken*> read;
        std::map<std::size_t, const history::Renewal*> renewed;
    };

    Table table(const Thing& thing) const {
        // What was read before a part was renewed at the same visit stands over that, what was read of the new one under it.
        std::map<std::pair<std::size_t, int>, Row> rows;
        const auto visit = [&](const Record* record) {
            return static_cast<std::size_t>(std::find(vehicle_.visits.begin(), vehicle_.visits.end(), record) -
                                            vehicle_.visits.begin());
        };
        for (std::size_t s = 0; s < thing.sides.size(); ++s) {
            const Series& side = *thing.sides[s];
            for (const history::Renewal& each : side.renewals) {
                Row& row = rows[{visit(each.record), 1}];
                row.record = each.record;
                row.renewed[s] = &each;
            }
            for (std::size_t i = 0; i < side.readings.size(); ++i) {
                const Record* record = side.readings[i].record;
                const bool after = std::any_of(side.renewals.begin(), side.renewals.end(), [&](const auto& renewal) {
                    return renewal.record == record && renewal.before <= i;
                });
                Row& row = rows[{visit(record), after ? 2 : 0}];
                row.record = record;
                row.read[s] = &side.readings[i];
            }
        }
        Table made;
        made.heads = {words_.word(Key::date), words_.word(Key::meter)};
        made.right = {false, true};
        for (const Series* each : thing.sides) {
            made.heads.push_back(side(*each));
            made.right.push_back(true);
        }
        made.heads.push_back(words_.word(Key::verdict));
        made.right.push_back(false);
        for (const auto& each : rows) {
            const Row& row = each.second;
            std::vector<std::string> cells{mechanics::print(row.record->date->value), meter_of(*row.record)};
            std::vector<std::pair<std::size_t, std::string>> verdicts;
            for (std::size_t s = 0; s < thing.sides.size(); ++s) {
                const auto read = row.read.find(s);
                const auto renewed = row.renewed.find(s);
                if (read != row.read.end()) {
                    cells.push_back(words_.say(read->second->size));
                    if (read->second->figure->verdict)
                        verdicts.emplace_back(s, words_.verdict(read->second->figure->verdict->value));
                } else if (renewed != row.renewed.end()) {
                    cells.push_back(words_.word(Key::renewed));
                    if (!renewed->second->batch.empty()) verdicts.emplace_back(s, renewed->second->batch);
                } else {
                    cells.emplace_back();
                }
            }
            cells.push_back(in_one(thing, verdicts));
            made.rows.push_back(std::move(cells));
        }
        return made;
    }

    // "good"; "left: good · right: past the limit" where they differ.
    std::string in_one(const Thing& thing, const std::vector<std::pair<std::size_t, std::string>>& all) const {
        if (all.empty()) return {};
        const bool same =
            std::all_of(all.begin(), all.end(), [&](const auto& each) { return each.second == all.front().second; });
        if (same) return all.front().second;
        std::string text;
        for (const auto& [s, word] : all) text += (text.empty() ? "" : " · ") + side(*thing.sides[s]) + ": " + word;
        return text;
    }

    // -- The forecast in words -------------------------------------------------------------------------------------------------------------
    void reckoned(const Thing& thing, std::size_t s, Block& to) const {
        const Forecast& found = thing.forecasts[s];
        if (found.none == NoForecast::does_not_wear) return;
        const std::string of = thing.sides.size() == 1 ? std::string() : words_.side(thing.sides[s]->at) + ": ";
        if (found.line && found.none != NoForecast::no_wear) {
            const mechanics::WearLine& line = *found.line;
            const std::int64_t per = units::dimension(line.meter) == units::Dimension::time ? 100 : 1000;
            const std::string unit(units::symbol(line.size));
            const auto rate = [&](double each) {
                return words_.rounded(each * static_cast<double>(per)) + "\u00a0" + unit;
            };
            const std::string named = thing.sides.size() == 1
                                          ? words_.word(Key::wear)
                                          : words_.side(thing.sides[s]->at) + ", " + words_.word(Key::wear);
            to.parts.emplace_back(
                Paragraph{words_.fill(Key::wear_per, {named, rate(line.rate), words_.say({per, 0, false, line.meter}),
                                                      std::to_string(line.line.points), rate(line.rate_bound)}),
                          false});
        }
        const auto& [expected, soonest] = found.reached;
        std::string text;
        if (found.none)
            text = words_.fill(Key::no_forecast, {why(*found.none)});
        else if (expected && soonest)
            text = words_.fill(Key::limit_at_soonest, {words_.say(*expected), words_.say(*soonest)});
        else if (soonest)
            text = words_.fill(Key::soonest, {words_.say(*soonest)});
        else
            text = words_.fill(Key::limit_at, {words_.say(*expected)});
        to.parts.emplace_back(Paragraph{of + text, !found.none});
    }

    std::string why(NoForecast none) const {
        switch (none) {
        case NoForecast::does_not_wear:
        case NoForecast::no_wear:
            return words_.word(Key::why_no_wear);
        case NoForecast::renewed_since:
            return words_.word(Key::why_renewed);
        case NoForecast::no_meter:
            return words_.word(Key::why_no_meter);
        case NoForecast::meter_back:
            return words_.word(Key::why_meter_back);
        case NoForecast::one_size:
            return words_.word(Key::why_one_size);
        case NoForecast::other_units:
            return words_.word(Key::why_other_units);
        }
        return {};
    }

    // -- The plot ------------------------------------------------------------------------------------------------------------------------------
    // Over the meter, or over days where it was not always written down.
    std::optional<Plot> plot(const Thing& thing) const {
        std::size_t readings = 0;
        bool metered = true;
        std::optional<units::Unit> meter, size;
        const auto look = [&](const Record& record) {
            if (!record.meter) {
                metered = false;
                return;
            }
            const units::Unit unit = record.meter->value.quantity.unit;
            if (!meter) meter = unit;
            metered = metered && units::convertible(unit, *meter);
        };
        for (const Series* each : thing.sides) {
            readings = std::max(readings, each->readings.size());
            for (const history::Taken& taken : each->readings) {
                if (!size) size = taken.size.unit;
                if (!units::convertible(taken.size.unit, *size)) return std::nullopt;
                look(*taken.record);
            }
            for (const history::Renewal& renewal : each->renewals) look(*renewal.record);
        }
        if (readings < 2) return std::nullopt;
        const auto x_of = [&](const Record& record) {
            return metered ? units::value_in(record.meter->value.quantity, *meter) : day_number(record);
        };

        Plot made;
        made.guarded_text = words_.word(Key::plot_guard);
        made.line_text = words_.word(Key::plot_line);
        made.expected_text = words_.word(Key::plot_ahead);
        made.renewed_text = words_.word(Key::renewed);
        made.next_service_text = words_.word(Key::next_service);
        bool of_lines = true;
        double first = 1e300, last = -1e300, ahead = -1e300;
        for (std::size_t s = 0; s < thing.sides.size(); ++s) {
            const Series& from = *thing.sides[s];
            Plot::Series side;
            if (thing.sides.size() > 1) side.name = words_.side(from.at);
            for (const history::Taken& taken : from.readings)
                side.read.push_back({x_of(*taken.record), units::value_in(taken.size, *size)});
            for (const history::Renewal& renewal : from.renewals) side.renewed.push_back(x_of(*renewal.record));
            for (const Plot::Point& each : side.read) {
                first = std::min(first, each.x);
                last = std::max(last, each.x);
            }
            for (const double x : side.renewed) {
                first = std::min(first, x);
                last = std::max(last, x);
            }
            const Forecast& found = thing.forecasts[s];
            if (found.limit) {
                made.limit = units::value_in(found.limit->limit, *size);
                made.limit_text = words_.fill(Key::plot_limit, {words_.say(found.limit->limit)});
                const Quantity one{1, 0, false, found.limit->limit.unit};
                const double at = guarded(*found.limit) * units::value_in(one, *size);
                if (found.limit->uncertainty) made.guarded = at;
                if (metered && found.last != nullptr && found.last->record->meter && !found.none) {
                    const Plot::Point read{x_of(*found.last->record), units::value_in(found.last->size, *size)};
                    const auto reach = [&](const std::optional<Quantity>& when, std::vector<Plot::Point>& to) {
                        if (!when) return;
                        const double x = units::value_in(*when, *meter);
                        if (!(x > read.x)) return;
                        to = {read, {x, at}};
                        ahead = std::max(ahead, x);
                    };
                    reach(found.reached.expected, side.expected);
                    reach(found.reached.soonest, side.soonest);
                    of_lines = of_lines && found.line.has_value();
                }
            }
            if (metered && found.line && found.line->line.points > 0) {
                const mechanics::Line& line = found.line->line;
                const double scale = units::value_in({1, 0, false, found.line->size}, *size);
                const double across = units::value_in({1, 0, false, *meter}, found.line->meter);
                const auto current = from.current();
                const auto y = [&](double x) { return (line.intercept + line.slope * x * across) * scale; };
                const double left = x_of(*current.front().record), right = x_of(*current.back().record);
                side.line = {{left, y(left)}, {right, y(right)}};
            }
            made.series.push_back(std::move(side));
        }
        made.soonest_text = words_.word(of_lines ? Key::plot_bound : Key::plot_margin);
        const Record& newest = *vehicle_.visits.back();
        if (metered && newest.next_service && units::convertible(newest.next_service->value.quantity.unit, *meter)) {
            const double x = units::value_in(newest.next_service->value.quantity, *meter);
            if (x > last) {
                made.next_service = x;
                ahead = std::max(ahead, x);
            }
        }
        if (!made.limit && thing.sides.front()->readings.back().figure->maximum) {
            const Quantity& most = thing.sides.front()->readings.back().figure->maximum->value.quantity;
            made.limit = units::value_in(most, *size);
            made.limit_text = words_.fill(Key::plot_limit, {words_.say(most)});
        }
        // What lies far ahead is cut off, so that what was read can be seen.
        const double span = std::max(last - first, 1.0);
        const double to = std::min(std::max(ahead, last), last + 1.5 * span);
        if (made.next_service && *made.next_service > to) made.next_service.reset();
        axes(made, first, std::max(to, first + 1), metered,
             metered ? std::string(units::symbol(*meter)) : std::string(), std::string(units::symbol(*size)));
        for (Plot::Series& side : made.series) {
            cut(side.expected, made.x.to);
            cut(side.soonest, made.x.to);
        }
        return made;
    }

    static void cut(std::vector<Plot::Point>& ray, double to) {
        if (ray.size() != 2 || ray[1].x <= to) return;
        const double part = (to - ray[0].x) / (ray[1].x - ray[0].x);
        ray[1] = {to, ray[0].y + (ray[1].y - ray[0].y) * part};
    }

    void axes(Plot& plot, double first, double last, bool metered, const std::string& meter,
              const std::string& size) const {
        double low = 1e300, high = -1e300;
        const auto see = [&](double y) {
            low = std::min(low, y);
            high = std::max(high, y);
        };
        for (const Plot::Series& side : plot.series)
            for (const auto* points : {&side.read, &side.line})
                for (const Plot::Point& each : *points) see(each.y);
        if (plot.limit) see(*plot.limit);
        if (plot.guarded) see(*plot.guarded);
        if (!(high > low)) {
            high += std::max(std::abs(high) * 0.1, 0.01);
            low -= std::max(std::abs(low) * 0.1, 0.01);
        }
        const double up = step_for(high - low, 4);
        plot.y.from = std::floor(low / up - 1e-9) * up;
        plot.y.to = std::ceil(high / up + 1e-9) * up;
        if (low - plot.y.from < 0.15 * up && plot.y.from > 0) plot.y.from -= up;
        plot.y.name = size;
        marks(plot.y, up);
        const double across = metered ? step_for(last - first, 4) : std::max(1.0, std::ceil((last - first) / 4));
        plot.x.from = metered ? std::floor(first / across - 1e-9) * across : first;
        plot.x.to = metered ? std::ceil(last / across - 1e-9) * across : last;
        if (metered && first - plot.x.from < 1e-9 && plot.x.from > 0) plot.x.from -= across / 2;
        plot.x.name = metered ? words_.word(Key::meter) + ", " + meter : words_.word(Key::date);
        if (metered) {
            marks(plot.x, across);
            return;
        }
        for (double at = first; at <= last + 0.5; at += across)
            plot.x.ticks.push_back({at, mechanics::print(mechanics::Date{std::chrono::sys_days{
                                            std::chrono::days{static_cast<int>(std::lround(at))}}})});
    }

    // At whole steps.
    void marks(Plot::Axis& axis, double step) const {
        const int places = std::clamp(static_cast<int>(-std::floor(std::log10(step) + 1e-9)), 0, 6);
        const double scale = std::pow(10.0, places);
        const auto first = static_cast<std::int64_t>(std::ceil(axis.from / step - 1e-9));
        const auto last = static_cast<std::int64_t>(std::floor(axis.to / step + 1e-9));
        for (std::int64_t i = first; i <= last && i - first < 40; ++i) {
            const double at = static_cast<double>(i) * step;
            axis.ticks.push_back(
                {at, words_.number({static_cast<std::int64_t>(std::llround(at * scale)),
                                    static_cast<std::uint8_t>(places), false, units::Unit::millimetre})});
        }
    }

    const Shop& shop_;
    const history::Vehicle& vehicle_;
    Words words_;
    std::vector<Thing> things_;
    Report made_;
};

} // namespace

Report of_history(const Shop& shop, const history::Vehicle& vehicle) {
    return OfHistory(shop, vehicle).make();
}

} // namespace benchleaf::report
