#include "record/asks.h"

#include "base/text.h"
#include "record/judge.h"
#include "record/names.h"
#include "record/reports.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::record {

namespace {

constexpr std::string_view mark = "x";

bool is_one_of(std::string_view word, std::initializer_list<std::string_view> all) {
    return std::find(all.begin(), all.end(), word) != all.end();
}

std::optional<bool> yes_or_no(std::string_view typed) {
    const std::string word = base::small_letters(base::trimmed(typed));
    if (is_one_of(word, {"y", "yes", "ok", "x", "+"})) return true;
    if (is_one_of(word, {"n", "no", "-"})) return false;
    return std::nullopt;
}

Complaint not_understood(std::string_view typed, std::string help) {
    return {&checks::reading_unreadable.rule,
            fmt::format("`{}` cannot stand here", base::trimmed(typed)),
            std::move(help),
            false,
            {}};
}

// The initials of who may sign, whatever the size of their letters.
std::string as_the_shop_writes(const std::string& typed, const Sheet& sheet) {
    if (sheet.shop->signs)
        for (const auto& each : sheet.shop->signs->value)
            if (base::small_letters(each.value) == base::small_letters(typed)) return each.value;
    return typed;
}

// "5" names "5", "5-left" and "5.2-left".
bool is_named(std::string_view tick, std::string_view typed) {
    return tick.starts_with(typed) &&
           (tick.size() == typed.size() || tick[typed.size()] == '-' || tick[typed.size()] == '.');
}

// One of several boxes gets the mark, the others are cleared.
Answers one_of(const Ask& ask, std::size_t which) {
    Answers changes;
    for (std::size_t i = 0; i < ask.boxes.size(); ++i) changes[ask.boxes[i]] = i == which ? mark : std::string_view();
    return changes;
}

// At commas and semicolons with a blank behind them: one without is a decimal comma that somebody will be told of.
std::vector<std::string> split_list(std::string_view typed) {
    std::vector<std::string> all;
    std::string part;
    const auto end = [&] {
        if (const auto text = base::trimmed(part); !text.empty()) all.emplace_back(text);
        part.clear();
    };
    for (std::size_t i = 0; i < typed.size(); ++i) {
        const bool parts = (typed[i] == ',' || typed[i] == ';') && (i + 1 == typed.size() || typed[i + 1] == ' ');
        if (parts)
            end();
        else
            part += typed[i];
    }
    end();
    return all;
}

// "0.02 0.03 0.05 mm", "0.02 mm, 0.03 mm": a unit at the end is that of all.
std::vector<std::string> points_of(std::string_view typed) {
    std::vector<std::string> all = split_list(typed);
    if (all.size() == 1) {
        std::vector<std::string> words;
        for (const std::string_view word : base::split(all.front(), ' '))
            if (!word.empty()) words.emplace_back(word);
        const auto is_number = [](const std::string& word) {
            return word.find_first_not_of("0123456789.+-") == std::string::npos;
        };
        const bool figures = words.size() > 2 && std::all_of(words.begin(), words.end() - 1, is_number);
        const bool whole = figures && std::holds_alternative<units::Quantity>(units::parse_quantity(words.back()));
        if (figures) all = words;
        if (figures && !whole && !is_number(words.back())) {
            all.pop_back();
            if (!all.empty()) all.back() += " " + words.back();
        }
    }
    if (all.empty()) return all;
    const auto with_unit = units::parse_quantity(all.back());
    if (!std::holds_alternative<units::Quantity>(with_unit)) return all;
    const std::string unit(units::symbol(std::get<units::Quantity>(with_unit).unit));
    for (std::string& each : all)
        if (std::holds_alternative<units::Decimal>(units::parse_decimal(each))) each += " " + unit;
    return all;
}

} // namespace

std::variant<Answers, Complaint> take(const Ask& ask, std::string_view typed, const Sheet& sheet) {
    const std::string text(base::trimmed(typed));
    if (!in_letters(text)) return found::no_letters();
    Answers changes;
    if (text == "clear") {
        for (const std::string& box : ask.boxes) changes[box] = {};
        return changes;
    }
    using Sort = Ask::Sort;
    switch (ask.sort) {
    case Sort::tick: {
        const auto yes = yes_or_no(text);
        const bool initials = !yes && !ask.signs.empty(); // of whom, is judged where they stand
        if (!initials && (!yes || !*yes))
            return not_understood(
                text, ask.signs.empty()
                          ? "`yes` once it is so; `stopped` where the work ends here, with the vehicle as it stands"
                          : "the initials of who set it, once it is set; `stopped` where the work ends here");
        for (const std::string& box : ask.boxes) changes[box] = mark;
        if (initials) changes[ask.signs] = as_the_shop_writes(text, sheet);
        return changes;
    }
    case Sort::ticks: {
        const auto yes = yes_or_no(text);
        if (yes) {
            for (const std::string& box : ask.boxes) changes[box] = *yes ? mark : std::string_view();
            return changes;
        }
        std::string names = text;
        std::replace(names.begin(), names.end(), ',', ' ');
        std::vector<std::string> open;
        for (const std::string_view name : base::split(names, ' '))
            if (!name.empty()) open.emplace_back(name);
        for (const std::string& name : open)
            if (std::none_of(ask.names.begin(), ask.names.end(),
                             [&](const std::string& each) { return is_named(each, name); }))
                return not_understood(name, fmt::format("`yes` for all, `no` for none, or those that were not done: {}",
                                                        fmt::join(ask.names, " ")));
        for (std::size_t i = 0; i < ask.boxes.size(); ++i)
            changes[ask.boxes[i]] = std::none_of(open.begin(), open.end(),
                                                 [&](const std::string& name) { return is_named(ask.names[i], name); })
                                        ? mark
                                        : std::string_view();
        return changes;
    }
    case Sort::done: {
        const std::string word = base::small_letters(text);
        if (is_one_of(word, {"d", "done", "y", "yes"})) return one_of(ask, 0);
        if (is_one_of(word, {"o", "open", "still", "still open", "n", "no"})) return one_of(ask, 1);
        return not_understood(text, "`done` or `still open`; what is not answered stays open");
    }
    case Sort::yes_no:
    case Sort::round: {
        const auto yes = yes_or_no(text);
        if (!yes) return not_understood(text, "`yes` or `no`");
        return one_of(ask, *yes ? 0 : 1);
    }
    case Sort::grade: {
        const std::string word = base::small_letters(text);
        if (is_one_of(word, {"g", "good", "1"})) return one_of(ask, 0);
        if (is_one_of(word, {"a", "advise", "2"})) return one_of(ask, 1);
        if (is_one_of(word, {"x", "act now", "act", "3"})) return one_of(ask, 2);
        return not_understood(text, "`good`, `advise` or `act now`");
    }
    case Sort::points: {
        std::vector<std::string> points = points_of(text);
        const bool worst_box = ask.boxes.size() > ask.reading->points;
        for (const std::string& box : ask.boxes) changes[box] = {};
        if (base::small_letters(text).starts_with("not read") || (points.size() == 1 && worst_box)) {
            changes[ask.boxes.back()] = points.empty() ? text : points.front();
            return changes;
        }
        if (points.size() != ask.reading->points)
            return not_understood(
                text, fmt::format("{} figures with one unit, or the one alone that decides", ask.reading->points));
        for (std::size_t i = 0; i < points.size(); ++i) changes[ask.boxes[i]] = points[i];
        return changes;
    }
    case Sort::time: {
        const auto time = time_of(text);
        if (!time) return found::no_time(text);
        if (ask.boxes.size() == 2) { // hours and minutes
            changes[ask.boxes[0]] = time->substr(0, 2);
            changes[ask.boxes[1]] = time->substr(3);
        } else {
            changes[ask.boxes.front()] = *time;
        }
        return changes;
    }
    case Sort::initials: {
        // As the shop writes them.
        changes[ask.boxes.front()] = as_the_shop_writes(text, sheet);
        return changes;
    }
    case Sort::reading:
    case Sort::value:
    case Sort::date:
    case Sort::words:
        changes[ask.boxes.front()] = text;
        return changes;
    }
    return changes;
}

} // namespace benchleaf::record
