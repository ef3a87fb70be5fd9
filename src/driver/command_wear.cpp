// `wear`: the calculator of src/mechanics/ for one thing that wears: its line, the keep figure, the verdict on a reading, where the limit is to be
// expected. The same figures as on a card, in a record and in a report, without a shop.
#include "driver/argument.h"
#include "driver/commands.h"
#include "driver/say.h"

#include "base/text.h"
#include "mechanics/outlook.h"
#include "model/words.h"
#include "record/asks.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace benchleaf::driver {

namespace {

using mechanics::KeepFrom;
using mechanics::NoKeepFigure;
using mechanics::Verdict;
using mechanics::WearLimit;
using mechanics::WearLine;
using mechanics::WearReading;
using units::Quantity;

// What the command line says.
struct Worn {
    WearLimit limit;
    mechanics::WearPast past;
    units::Decimal margin;
    std::optional<Quantity> now;      // the stand of the meter
    std::optional<Quantity> interval; // from there to the next service
    std::optional<Quantity> reading;  // of today
};

// Reads it word for word; keeps the first that is wrong.
class WearWords {
public:
    explicit WearWords(const WearArguments& given) : given_(given) {}

    Read<Worn> read() {
        read_limit();
        if (wrong_) return *wrong_;
        for (const std::string& each : given_.readings) read_reading(each);
        if (!given_.meter.empty()) made_.now = meter("--meter", given_.meter);
        if (!given_.as_new.empty()) {
            made_.past.as_new = size("--new", given_.as_new);
            if (!given_.new_at.empty())
                made_.past.new_at = meter("--new-at", given_.new_at);
            else if (meter_unit_)
                made_.past.new_at = Quantity{0, 0, false, *meter_unit_};
        }
        if (!given_.reading.empty()) made_.reading = size("--reading", given_.reading);
        if (!given_.next_service.empty()) made_.interval = interval();
        read_margin();
        if (!wrong_) look_over();
        if (wrong_) return *wrong_;
        return std::move(made_);
    }

private:
    void refuse(std::string what) {
        if (!wrong_) wrong_ = Wrong{std::move(what)};
    }
    void refuse(std::string_view option, std::string_view text, std::string_view what) {
        refuse(option.empty() ? fmt::format("`{}`: {}", text, what) : fmt::format("{} `{}`: {}", option, text, what));
    }

    // The quantity as it is written; what follows stands in for one that was refused.
    Quantity quantity(std::string_view option, std::string_view text, units::Wanted wanted, units::Unit instead) {
        const auto read = accept(units::parse_quantity(text, wanted), option, text);
        if (const auto* found = std::get_if<Quantity>(&read)) return *found;
        refuse(std::get<Wrong>(read).what);
        return {1, 0, false, instead};
    }

    // A size, which is held against the limit in the limit's unit.
    Quantity size(std::string_view option, std::string_view text) {
        const Quantity found = quantity(option, text, units::Wanted::limit, made_.limit.limit.unit);
        if (found.relative) refuse(option, text, "a size has no plus sign");
        if (!units::convert_exactly(found, made_.limit.limit.unit))
            refuse(option, text, "this cannot be held against a limit of " + plainly(made_.limit.limit));
        return found;
    }

    // A stand of the meter, all in the unit of the first.
    Quantity meter(std::string_view option, std::string_view text) {
        const Quantity found =
            quantity(option, text, units::Wanted::meter, meter_unit_.value_or(units::Unit::kilometre));
        if (found.relative) refuse(option, text, "a stand of the meter has no plus sign");
        if (!meter_unit_) meter_unit_ = found.unit;
        one_meter(option, text, found);
        return found;
    }
    void one_meter(std::string_view option, std::string_view text, const Quantity& found) {
        if (found.unit != *meter_unit_)
            refuse(option, text, fmt::format("one meter has one unit, and here is `{}`", units::symbol(*meter_unit_)));
    }

    void read_limit() {
        WearLimit& limit = made_.limit;
        const bool minimum = !given_.minimum.empty();
        if (minimum != given_.maximum.empty())
            return refuse("a limit is wanted: --minimum, the least reading that is allowed, or --maximum, the largest");
        const std::string& text = minimum ? given_.minimum : given_.maximum;
        const char* option = minimum ? "--minimum" : "--maximum";
        limit.sort = minimum ? WearLimit::Sort::minimum : WearLimit::Sort::maximum;
        limit.limit = quantity(option, text, units::Wanted::limit, units::Unit::millimetre);
        limit.reads_to = size("--reads-to", given_.reads_to);
        if (limit.reads_to.digits <= 0) refuse("--reads-to", given_.reads_to, "the step of a gauge is above zero");
        if (!given_.uncertainty.empty()) {
            limit.uncertainty = size("--uncertainty", given_.uncertainty);
            if (limit.uncertainty->digits < 0) refuse("--uncertainty", given_.uncertainty, "it is not below zero");
        }
        if (!wrong_ && !std::holds_alternative<Quantity>(mechanics::guarded_limit(limit)))
            refuse(option, text, "there are not so many steps of " + plainly(limit.reads_to));
    }

    void read_reading(const std::string& text) {
        const std::size_t at = text.find('@');
        if (at == std::string::npos)
            return refuse("", text, "a reading is its size and the stand of the meter, as in `6.4mm@12460km`");
        const std::string_view all = text;
        const Quantity read = size("", all.substr(0, at));
        made_.past.readings.push_back({meter("", all.substr(at + 1)), read});
    }

    // `+6 000 km` from now on, or the stand of the meter at which it comes; as in a job.
    std::optional<Quantity> interval() {
        const std::string& text = given_.next_service;
        const Quantity found =
            quantity("--next-service", text, units::Wanted::meter, meter_unit_.value_or(units::Unit::kilometre));
        if (meter_unit_) one_meter("--next-service", text, found);
        if (found.relative) {
            Quantity ahead = found;
            ahead.relative = false;
            return ahead;
        }
        if (!made_.now) {
            refuse("--next-service", text, "so far on is written `+" + text + "`; a stand of the meter needs --meter");
            return std::nullopt;
        }
        const auto back = units::multiply(*made_.now, -1);
        const auto ahead = back ? units::add(found, *back) : std::nullopt;
        if (!ahead || ahead->digits < 0)
            refuse("--next-service", text,
                   fmt::format("the meter stands at {}; so far on is written `+{}`", plainly(*made_.now), text));
        return ahead;
    }

    void read_margin() {
        const auto read = accept(units::parse_decimal(given_.margin), "--margin", given_.margin);
        if (const auto* wrong = std::get_if<Wrong>(&read)) return refuse(wrong->what);
        made_.margin = std::get<units::Decimal>(read);
        if (units::compare({made_.margin.digits, made_.margin.decimals, false, units::Unit::piece},
                           {1, 0, false, units::Unit::piece}) < 0)
            refuse("--margin", given_.margin, "it is 1 or more");
    }

    // One after the other: new, the readings, today.
    void look_over() {
        std::vector<std::pair<std::string, Quantity>> stands;
        if (made_.past.new_at) stands.emplace_back("--new-at", *made_.past.new_at);
        for (std::size_t i = 0; i < given_.readings.size(); ++i)
            stands.emplace_back("`" + given_.readings[i] + "`", made_.past.readings[i].meter);
        for (std::size_t i = 1; i < stands.size(); ++i)
            if (units::compare(stands[i].second, stands[i - 1].second) < 0)
                refuse(fmt::format("{}: this lies before {}; the readings since it was new stand in their order, the "
                                   "newest last",
                                   stands[i].first, plainly(stands[i - 1].second)));
        if (made_.now && !stands.empty() && units::compare(*made_.now, stands.back().second) <= 0)
            refuse("--meter", given_.meter,
                   fmt::format("the last stand before it is {}; a reading of today is --reading",
                               plainly(stands.back().second)));
        if (made_.reading && !made_.past.readings.empty() && !made_.now)
            refuse("--reading is of today, which --meter has to say");
    }

    const WearArguments& given_;
    Worn made_;
    std::optional<units::Unit> meter_unit_;
    std::optional<Wrong> wrong_;
};

enum class NoKeep : std::uint8_t { no_interval, no_meter, nothing_known, at_limit, beyond_numbers };
constexpr const char* no_keep_words[] = {"no-next-service", "no-meter", "nothing-known", "at-limit", "beyond-numbers"};
constexpr const char* no_keep_sentences[] = {
    "--next-service does not say how far it is until then", "--meter does not say how far it has run",
    "besides today's reading no size is known", "the size it would be reckoned from is no longer inside the limit",
    "it lies beyond the numbers"};
constexpr const char* keep_from_words[] = {"nothing", "new", "reading", "line"};

struct Wear {
    Worn given;
    Quantity good; // the limit with its guard band, as the gauge shows it
    mechanics::Outlook outlook;
    std::optional<NoKeep> no_keep;
    std::optional<Verdict> verdict;
    std::optional<WearReading> last; // today's, or the last one given
    std::optional<WearLine> line;    // through all, with the last one
    mechanics::Reached reached;      // from the last one on
};

std::optional<NoKeep> why_no_keep(const Wear& wear) {
    if (wear.outlook.keep) return std::nullopt;
    if (!wear.given.interval) return NoKeep::no_interval;
    if (wear.outlook.no_keep)
        return *wear.outlook.no_keep == NoKeepFigure::new_beyond_limit ? NoKeep::at_limit : NoKeep::beyond_numbers;
    return wear.given.now ? NoKeep::nothing_known : NoKeep::no_meter;
}

Wear wear_of(Worn given) {
    Wear made;
    made.given = std::move(given);
    const Worn& worn = made.given;
    made.good = std::get<Quantity>(mechanics::guarded_limit(worn.limit)); // asked for when it was read
    const auto& readings = worn.past.readings;
    // Of a line the keep figure is the same whenever today is; of less it is not.
    const bool by_line = readings.size() >= mechanics::fewest_for_a_line;
    if (worn.now || by_line) {
        made.outlook = mechanics::outlook(worn.limit, worn.past, worn.now ? *worn.now : readings.back().meter,
                                          worn.interval, worn.margin);
        if (!worn.now) made.outlook.expected.reset();
    }
    made.no_keep = why_no_keep(made);
    if (worn.reading) made.verdict = mechanics::judge(*worn.reading, worn.limit, made.outlook.keep);

    mechanics::WearPast before = worn.past;
    if (worn.reading && worn.now) {
        made.last = WearReading{*worn.now, *worn.reading};
    } else if (!worn.reading && !before.readings.empty()) {
        made.last = before.readings.back();
        before.readings.pop_back();
    }
    if (!made.last) return made;
    made.reached = mechanics::limit_reached(worn.limit, before, *made.last, worn.interval, worn.margin);
    before.readings.push_back(*made.last);
    const auto line = mechanics::wear_line(worn.limit, before.readings);
    if (const auto* found = std::get_if<WearLine>(&line)) made.line = *found;
    return made;
}

std::string rate_in_words(const WearLine& line) {
    const std::int64_t per = units::dimension(line.meter) == units::Dimension::time ? 100 : 1000;
    const auto rate = [&](double each) {
        return fmt::format("{:.3g} {}", each * static_cast<double>(per), units::symbol(line.size));
    };
    return fmt::format("{} per {} through {} readings; at most {} (95 %, one-sided)", rate(line.rate),
                       plainly({per, 0, false, line.meter}), line.line.points, rate(line.rate_bound));
}

std::string verdict_in_words(const Wear& wear) {
    if (*wear.verdict == Verdict::within)
        return wear.outlook.keep ? "within: reaches the next service" : "within today";
    return record::verdict_words(*wear.verdict);
}

// Why the keep figure is what it is.
std::string keep_in_words(const Wear& wear) {
    const mechanics::Outlook& outlook = wear.outlook;
    if (outlook.from == KeepFrom::line)
        return fmt::format("limit, gauge, and what {} wear at the most by the line through {} readings",
                           plainly(*wear.given.interval), outlook.line->line.points);
    return fmt::format("limit and gauge are kept if it wears as since {} at {}{}, and with a margin of {}",
                       plainly(*outlook.known), plainly(*outlook.known_at),
                       outlook.from == KeepFrom::as_new ? ", new" : "",
                       units::print_number({wear.given.margin.digits, wear.given.margin.decimals, false}));
}

std::string in_words(const Wear& wear) {
    std::string to;
    const auto line = [&to](std::string_view head, const std::string& text) {
        to += fmt::format("{:<10}{}\n", head, text);
    };
    const Worn& given = wear.given;
    const bool minimum = given.limit.sort == WearLimit::Sort::minimum;
    const char* at_least = minimum ? "at least " : "at most ";
    std::string limit = at_least + plainly(given.limit.limit);
    if (given.limit.uncertainty)
        limit += fmt::format("; the gauge is sure to ±{}, so good {} {}", plainly(*given.limit.uncertainty),
                             minimum ? "from" : "up to", plainly(wear.good));
    line("limit", limit);
    if (wear.outlook.line) line("wear", rate_in_words(*wear.outlook.line));
    if (wear.outlook.expected)
        line("today", fmt::format("{} is to be expected at {}", plainly(*wear.outlook.expected), plainly(*given.now)));
    if (wear.outlook.keep) {
        line("keep",
             fmt::format("{}{} lasts {} more", at_least, plainly(*wear.outlook.keep), plainly(*given.interval)));
        line("", keep_in_words(wear));
        const auto order = given.past.as_new ? units::compare(*wear.outlook.keep, *given.past.as_new)
                                             : std::partial_ordering::unordered;
        if (order == (minimum ? std::partial_ordering::greater : std::partial_ordering::less))
            line("", fmt::format("a new one of {} does not", plainly(*given.past.as_new)));
    } else if (given.interval || given.now || given.past.as_new || !given.past.readings.empty()) {
        line("keep", fmt::format("not reckoned: {}", no_keep_sentences[static_cast<std::size_t>(*wear.no_keep)]));
    }
    if (wear.verdict) line("reading", plainly(*given.reading) + ": " + verdict_in_words(wear));
    if (!wear.last) return to;
    if (given.reading && wear.line) line("", "with it, " + rate_in_words(*wear.line));
    const auto& [expected, soonest] = wear.reached;
    if (expected && soonest)
        line("limit at", fmt::format("expected at {}, at the soonest at {}", plainly(*expected), plainly(*soonest)));
    else if (soonest)
        line("limit at", fmt::format("at the soonest at {}", plainly(*soonest)));
    else if (given.past.readings.size() + (given.reading ? 1 : 0) + (given.past.new_at ? 1 : 0) < 2)
        line("limit at", "no forecast: only one size is known");
    else
        line("limit at", "no forecast: no wear is to be seen");
    return to;
}

nlohmann::ordered_json figure(const Quantity& quantity) {
    return {{"value", units::value_in(quantity, quantity.unit)}, {"unit", units::symbol(quantity.unit)}};
}

nlohmann::ordered_json line_for_program(const WearLine& line) {
    return {{"points", line.line.points},       {"meter", units::symbol(line.meter)},
            {"size", units::symbol(line.size)}, {"slope", line.line.slope},
            {"intercept", line.line.intercept}, {"slope-error", line.line.slope_error},
            {"deviation", line.line.deviation}, {"rate", line.rate},
            {"rate-bound", line.rate_bound}};
}

// With the names that `history --as json` has for the same.
std::string for_program(const Wear& wear) {
    nlohmann::ordered_json to;
    const auto put = [&to](const char* key, const std::optional<Quantity>& quantity) {
        if (quantity) to[key] = figure(*quantity);
    };
    const Worn& given = wear.given;
    put(given.limit.sort == WearLimit::Sort::minimum ? "minimum" : "maximum", given.limit.limit);
    put("uncertainty", given.limit.uncertainty);
    put("reads-to", given.limit.reads_to);
    put("good", wear.good);
    put("new", given.past.as_new);
    put("new-at", given.past.new_at);
    for (const WearReading& each : given.past.readings)
        to["readings"].push_back({{"meter", figure(each.meter)}, {"read", figure(each.size)}});
    put("meter", given.now);
    put("interval", given.interval);
    if (wear.outlook.line) to["line"] = line_for_program(*wear.outlook.line);
    put("expected-reading", wear.outlook.expected);
    put("keep", wear.outlook.keep);
    if (wear.no_keep)
        to["no-keep"] = no_keep_words[static_cast<std::size_t>(*wear.no_keep)];
    else
        to["keep-from"] = keep_from_words[static_cast<std::size_t>(wear.outlook.from)];
    put("known", wear.outlook.known);
    put("known-at", wear.outlook.known_at);
    put("read", given.reading);
    if (wear.verdict) to["verdict"] = model::Words<model::Held>::all[static_cast<std::size_t>(*wear.verdict)];
    if (given.reading && wear.line) to["line-with-reading"] = line_for_program(*wear.line);
    put("expected", wear.reached.expected);
    put("soonest", wear.reached.soonest);
    return to.dump(2) + "\n";
}

} // namespace

int wear(const WearArguments& arguments, Terminal& terminal) {
    auto given = WearWords(arguments).read();
    if (const auto* wrong = std::get_if<Wrong>(&given)) return usage_error(terminal, wrong->what);
    const Wear made = wear_of(std::move(std::get<Worn>(given)));
    terminal.result(arguments.json ? for_program(made) : in_words(made));
    return clean;
}

} // namespace benchleaf::driver
