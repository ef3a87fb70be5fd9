#include "record/judge.h"

#include "base/text.h"
#include "mechanics/date.h"
#include "record/names.h"
#include "record/reports.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace benchleaf::record {

namespace {

using mechanics::Verdict;
using units::Quantity;

// By a minimum, by a maximum, or by both: the worse of them.
std::optional<Verdict> verdict_of(const Quantity& size, const card::HeldAgainst& held,
                                  const std::optional<Quantity>& keep) {
    using Sort = mechanics::WearLimit::Sort;
    std::optional<Verdict> worst;
    const auto judge = [&](Sort sort, const std::optional<Quantity>& at) {
        if (!at) return;
        const bool one = !held.minimum || !held.maximum;
        const auto found = mechanics::judge(size, limit_of(held, sort, *at), one ? keep : std::nullopt);
        if (found && (!worst || *found > *worst)) worst = found;
    };
    judge(Sort::minimum, held.minimum);
    judge(Sort::maximum, held.maximum);
    return worst;
}

// What the box reads its figures in.
std::optional<units::Unit> unit_of(const card::HeldAgainst& held) {
    for (const auto* figure : {&held.reads_to, &held.minimum, &held.maximum, &held.as_new, &held.difference})
        if (*figure) return (*figure)->unit;
    return held.unit;
}

std::string shown(const Quantity& quantity) {
    return units::print(quantity, plain);
}

// Does it lie on a mark of the gauge?
bool on_a_mark(const Quantity& size, const Quantity& step) {
    const double marks = units::value_in(size, step.unit) / units::value_in(step, step.unit);
    return std::abs(marks - std::round(marks)) < 1e-6;
}

// What no gauge shows of this thing: less than nothing of a size, or so much that a unit or a point must have slipped.
std::optional<Complaint> off_gauge(const Quantity& size, const card::HeldAgainst& held, std::string_view written) {
    const auto unit = unit_of(held);
    if (!unit) return std::nullopt;
    if (!units::convertible(size.unit, *unit)) return found::other_unit(written, *unit);
    if (held.reads_to && units::convertible(size.unit, held.reads_to->unit) && !on_a_mark(size, *held.reads_to))
        return found::finer_than_gauge_shows(shown(size), shown(*held.reads_to));
    double largest = 0;
    for (const auto* figure : {&held.minimum, &held.maximum, &held.as_new})
        if (*figure) largest = std::max(largest, std::abs(units::value_in(**figure, *unit)));
    const double value = units::value_in(size, *unit);
    // Nothing is more than a tenth thicker than when it was new, nor had less play.
    if (held.as_new && held.minimum && !held.maximum && value > 1.1 * units::value_in(*held.as_new, *unit))
        return found::beyond_new(shown(size), shown(*held.as_new));
    // What grows is not by as much less than new as it may grow: that is a figure left out.
    if (held.as_new && held.maximum && !held.minimum) {
        const double as_new = units::value_in(*held.as_new, *unit);
        if (value < as_new - std::max(units::value_in(*held.maximum, *unit) - as_new, 0.1 * std::abs(as_new)))
            return found::below_new(shown(size), shown(*held.as_new));
    }
    // Of what is bounded on both sides three times its most is a slip of the point, of anything else ten times.
    const double slip = held.minimum && held.maximum ? 3 : 10;
    const bool below_zero = held.minimum && units::value_in(*held.minimum, *unit) < 0;
    const bool size_of_it = largest > 0 && !below_zero && units::dimension(*unit) == units::Dimension::length;
    if ((largest > 0 && std::abs(value) > slip * largest) || (size_of_it && value < 0))
        return found::beyond_gauge(shown(size));
    return std::nullopt;
}

// One figure of a box.
std::variant<Quantity, Complaint> figure(std::string_view text, const card::HeldAgainst& held) {
    const auto read = units::parse_quantity(text, units::Wanted::limit);
    if (const auto* error = std::get_if<units::ParseError>(&read)) {
        if (error->name == "quantity-without-unit") return found::no_unit(text, unit_of(held));
        return found::unreadable(text, *error);
    }
    const Quantity& size = std::get<Quantity>(read);
    if (auto wrong = off_gauge(size, held, text)) return *wrong;
    // In the unit of the box, where that is exact, so that whoever reads the record sees like beside like.
    if (const auto unit = unit_of(held))
        if (const auto same = units::convert_exactly(size, *unit)) return *same;
    return size;
}

} // namespace

mechanics::WearLimit limit_of(const card::HeldAgainst& held, mechanics::WearLimit::Sort sort, const Quantity& at) {
    mechanics::WearLimit limit;
    limit.sort = sort;
    limit.limit = at;
    limit.reads_to = held.reads_to ? *held.reads_to : Quantity{1, 9, false, at.unit};
    limit.uncertainty = held.uncertainty;
    return limit;
}

std::string verdict_words(Verdict verdict) {
    switch (verdict) {
    case Verdict::within:
        return "within";
    case Verdict::within_not_to_next_service:
        return "within, but not to the next service";
    case Verdict::doubtful:
        return "doubtful: as near to the limit as the gauge is sure";
    case Verdict::past:
        return "past the limit";
    }
    return {};
}

bool differ_by_at_most(const std::vector<Quantity>& sizes, const Quantity& most) {
    double least = 0, greatest = 0;
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        const double value = units::value_in(sizes[i], most.unit);
        least = i == 0 ? value : std::min(least, value);
        greatest = i == 0 ? value : std::max(greatest, value);
    }
    return greatest - least <= units::value_in(most, most.unit) * (1 + 1e-9);
}

namespace {

// Nothing wears backwards: then the sides are mixed up, or it was renewed.
void doubt_what_grew_back(Ask& ask) {
    const card::HeldAgainst& held = ask.reading->held;
    if (!held.wears || ask.column >= held.past.size() || ask.sizes.empty() || ask.complaint) return;
    const auto& readings = held.past[ask.column].readings;
    if (readings.empty()) return;
    const Quantity& last = readings.back().size;
    const auto unit = unit_of(held);
    if (!unit || !units::convertible(last.unit, *unit)) return;
    // By more than two gauges differ.
    const double sure = held.uncertainty ? 2 * units::value_in(*held.uncertainty, *unit) : 0;
    const bool falls = held.minimum && !held.maximum;
    const bool rises = held.maximum && !held.minimum;
    for (const Quantity& size : ask.sizes) {
        const double grown = units::value_in(size, *unit) - units::value_in(last, *unit);
        if ((falls && grown > sure * (1 + 1e-9)) || (rises && -grown > sure * (1 + 1e-9)))
            ask.doubt = fmt::format("{} than the last time, {}: are the sides mixed up, or was it renewed?",
                                    falls ? "more" : "less", shown(last));
    }
}

} // namespace

void judge_reading(const std::vector<const std::string*>& boxes, Ask& ask) {
    const card::HeldAgainst& held = ask.reading->held;
    const bool worst_box = ask.sort == Ask::Sort::points && ask.boxes.size() > ask.reading->points;
    const std::size_t points = boxes.size() - (worst_box ? 1 : 0);
    std::size_t filled = 0;
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        if (boxes[i] == nullptr) continue;
        if (i < points) ++filled;
        if (i < points || filled == 0) ask.given += (ask.given.empty() ? "" : ", ") + *boxes[i];
    }
    if (ask.given.empty()) return;
    // "not read: the micrometer is at the calibration".
    if (points == 1 || filled == 1 || (worst_box && filled == 0))
        for (const std::string* text : boxes)
            if (text != nullptr && base::small_letters(*text).starts_with("not read")) {
                ask.answered = true;
                ask.given = *text;
                ask.verdict = "not read";
                if (base::trimmed(std::string_view(*text).substr(8)).size() < 3)
                    ask.complaint = found::not_read_without_reason();
                return;
            }
    std::optional<Quantity> noted;
    for (std::size_t i = 0; i < boxes.size(); ++i) {
        if (boxes[i] == nullptr) continue;
        auto read = figure(*boxes[i], held);
        if (auto* wrong = std::get_if<Complaint>(&read)) {
            ask.complaint = std::move(*wrong);
            ask.answered = true;
            return;
        }
        const Quantity& size = std::get<Quantity>(read);
        if (i < points)
            ask.sizes.push_back(size);
        else
            noted = size;
    }
    // The decisive one alone will do where it was written down.
    if (ask.sort == Ask::Sort::points && filled < points) {
        if (filled > 0 || !noted) {
            ask.complaint = found::points_missing(points - filled, points);
            ask.answered = filled > 0;
            ask.sizes.clear();
            return;
        }
        ask.sizes = {*noted};
    }
    ask.answered = true;
    const bool most = held.maximum && !held.minimum;
    for (const Quantity& size : ask.sizes) {
        const auto verdict = verdict_of(size, held, ask.keep);
        if (verdict && (!ask.held || *verdict > *ask.held)) ask.held = verdict;
    }
    if (noted && ask.sizes.size() > 1) {
        const auto decisive =
            std::max_element(ask.sizes.begin(), ask.sizes.end(), [&](const Quantity& a, const Quantity& b) {
                const auto order = units::compare(a, b);
                return order == (most ? std::partial_ordering::less : std::partial_ordering::greater);
            });
        if (units::compare(*decisive, *noted) != std::partial_ordering::equivalent)
            ask.complaint = found::worst_is_another(ask.reading->worst, shown(*noted), shown(*decisive));
    }
    if (ask.held) ask.verdict = verdict_words(*ask.held);
    doubt_what_grew_back(ask);
}

void judge_value(const std::string* box, Ask& ask) {
    if (box == nullptr) return;
    ask.answered = true;
    ask.given = *box;
    const bool angle = ask.unit == "°";
    const auto read = units::parse_quantity(*box, angle ? units::Wanted::angle : units::Wanted::torque);
    if (const auto* error = std::get_if<units::ParseError>(&read)) {
        ask.complaint = error->name == "quantity-without-unit" ? found::no_unit(*box, units::find_unit(ask.unit))
                                                               : found::unreadable(*box, *error);
        return;
    }
    const Quantity& value = std::get<Quantity>(read);
    ask.sizes = {value};
    const auto& range = ask.torque->range;
    if (!range || angle) return;
    const bool low = units::compare(value, range->lower) == std::partial_ordering::less;
    const bool high = units::compare(value, range->upper) == std::partial_ordering::greater;
    // Without a tolerance a tool that shows a value is seldom on it to the last figure: a tenth is what a click wrench would be trusted with.
    const bool plain_value = units::compare(range->lower, range->upper) == std::partial_ordering::equivalent;
    const double off =
        std::abs(units::value_in(value, range->lower.unit) / units::value_in(range->lower, range->lower.unit) - 1);
    if (plain_value ? off > 0.1 : low || high)
        ask.complaint = found::off_torque(shown(value), ask.shows,
                                          units::compare(value, range->upper) == std::partial_ordering::greater);
    else
        ask.verdict = "within";
}

void judge_initials(const Sheet& sheet, Ask& ask) {
    if (!ask.answered) {
        ask.complaint = found::not_signed(ask.what);
        return;
    }
    judge_signature(sheet, ask);
}

void judge_signature(const Sheet& sheet, Ask& ask) {
    if (!ask.answered) {
        if (ask.required) ask.complaint = found::not_signed(ask.what);
        return;
    }
    if (!sheet.shop->signs) {
        if (bare_initials(ask.given).empty()) ask.complaint = found::no_initials(ask.given);
        return;
    }
    std::vector<std::string> may;
    for (const auto& each : sheet.shop->signs->value) {
        if (base::small_letters(each.value) == base::small_letters(ask.given)) ask.given = each.value;
        may.push_back(each.value);
    }
    if (std::find(may.begin(), may.end(), ask.given) == may.end()) ask.complaint = found::may_not_sign(ask.given, may);
}

namespace {

using ShopWrench = model::Named<model::Wrench>;

std::vector<std::string> names_of(const ShopWrench& wrench) {
    std::vector<std::string> all;
    if (wrench.value.serial) all.push_back(wrench.value.serial->value);
    if (wrench.value.name) all.push_back(wrench.value.name->value);
    all.push_back(wrench.id.value);
    return all;
}

const ShopWrench* wrench_called(const std::vector<ShopWrench>& all, std::string_view written) {
    const std::string small = base::small_letters(base::trimmed(written));
    for (const ShopWrench& each : all)
        for (const std::string& name : names_of(each))
            if (base::small_letters(name) == small) return &each;
    return nullptr;
}

// "FW-0118, FW-0092": a name may have a comma in it, too.
std::vector<std::string> parted(const std::vector<ShopWrench>& all, const std::string& written) {
    if (wrench_called(all, written) != nullptr) return {written};
    std::vector<std::string> parts;
    for (const std::string_view part : base::split(written, ',')) parts.emplace_back(base::trimmed(part));
    return parts;
}

// A wrench whose range is not known is taken to hold anything.
bool can_set(const ShopWrench& wrench, const units::Range& torque) {
    if (!wrench.value.range) return true;
    const units::Range& range = wrench.value.range->value.range;
    return units::compare(range.upper, torque.lower) != std::partial_ordering::less &&
           units::compare(range.lower, torque.upper) != std::partial_ordering::greater;
}

} // namespace

void judge_wrenches(const Sheet& sheet, const std::vector<const card::Torque*>& set,
                    const std::optional<mechanics::Date>& signed_on, Ask& ask) {
    if (!ask.answered || !sheet.shop->wrenches || sheet.shop->wrenches->value.empty()) return;
    const std::vector<ShopWrench>& all = sheet.shop->wrenches->value;
    std::vector<const ShopWrench*> used;
    for (const std::string& written : parted(all, ask.given)) {
        const ShopWrench* wrench = wrench_called(all, written);
        if (wrench == nullptr) {
            std::vector<std::string> known;
            for (const ShopWrench& each : all) known.push_back(names_of(each).front());
            ask.complaint = found::no_such_wrench(written, known);
            return;
        }
        auto day = sheet.job->date ? std::optional(sheet.job->date->value) : std::nullopt;
        if (signed_on && (!day || *day < *signed_on)) day = signed_on;
        const auto& until = wrench->value.calibrated_until;
        if (until && day && until->value < *day) {
            ask.complaint = found::out_of_calibration(written, mechanics::print(until->value));
            return;
        }
        used.push_back(wrench);
    }
    for (const card::Torque* torque : set)
        if (torque->range && units::dimension(torque->range->lower.unit) == units::Dimension::torque &&
            std::none_of(used.begin(), used.end(), [&](const auto* each) { return can_set(*each, *torque->range); })) {
            ask.complaint =
                found::holds_not(ask.given, fmt::format("{} {} at the {}", torque->value, torque->unit, torque->name));
            return;
        }
}

std::optional<std::string> time_of(std::string_view text) {
    std::string digits;
    for (const char c : base::trimmed(text)) {
        if (c >= '0' && c <= '9')
            digits += c;
        else if (c != ':' && c != '.' && c != ' ' && c != 'h')
            return std::nullopt;
    }
    if (digits.size() == 3) digits.insert(0, "0");
    if (digits.size() != 4) return std::nullopt;
    const int hour = (digits[0] - '0') * 10 + (digits[1] - '0');
    const int minute = (digits[2] - '0') * 10 + (digits[3] - '0');
    if (hour > 23 || minute > 59) return std::nullopt;
    return fmt::format("{:02}:{:02}", hour, minute);
}

void judge_text(const Sheet& sheet, Ask& ask) {
    if (!ask.answered) {
        if (ask.required) ask.complaint = found::not_answered(ask.what);
        return;
    }
    if (ask.sort == Ask::Sort::time && !time_of(ask.given)) ask.complaint = found::no_time(ask.given);
    if (ask.sort == Ask::Sort::date) {
        const auto day = mechanics::parse_date(ask.given);
        if (!day)
            ask.complaint = found::no_date(ask.given);
        else if (sheet.job->date && *day < sheet.job->date->value)
            ask.complaint = found::signed_before_job(ask.given, mechanics::print(sheet.job->date->value));
        else if (sheet.job->date && mechanics::days_between(sheet.job->date->value, *day) > 366)
            ask.complaint = found::signed_long_after(ask.given, mechanics::print(sheet.job->date->value));
    }
}

std::string prefix_of(const Sheet& sheet, std::size_t card) {
    return sheet.cards.size() > 1 ? fmt::format("card-{}/", card) : std::string();
}

std::uint32_t only_number_in(std::string_view text) {
    std::size_t numbers = 0;
    for (std::size_t i = 0; i < text.size(); ++i)
        if (base::is_digit(text[i]) && (i == 0 || !base::is_digit(text[i - 1]))) ++numbers;
    return numbers == 1 ? number_in(text) : 0;
}

std::string with_plain_blanks(std::string text) {
    for (std::size_t at = text.find("\u00a0"); at != std::string::npos; at = text.find("\u00a0", at))
        text.replace(at, 2, " ");
    return text;
}

bool in_letters(std::string_view text) {
    constexpr std::size_t most = 2000;
    if (text.size() > 4 * most || base::first_bad_utf8(text)) return false;
    if (!text.empty() && base::shows_nothing(text)) return false;
    std::size_t count = 0;
    for (std::size_t at = 0; at < text.size(); ++count) {
        const base::CodePoint point = base::code_point_at(text, at);
        const std::uint32_t value = point.value;
        const bool control = value < 0x20 || (value >= 0x7F && value < 0xA0);
        const bool turns = (value >= 0x200B && value <= 0x200F) || (value >= 0x2028 && value <= 0x202E) ||
                           (value >= 0x2060 && value <= 0x206F);
        if (control || turns || value == 0xFEFF || (value & 0xFFFEU) == 0xFFFEU) return false;
        at += point.bytes;
    }
    return count <= most;
}

std::uint32_t number_in(std::string_view text) {
    text.remove_prefix(std::min(text.find_first_of("0123456789"), text.size()));
    std::uint32_t number = 0;
    std::from_chars(text.data(), text.data() + text.size(), number);
    return number;
}

} // namespace benchleaf::record
