#include "units/read.h"

#include "base/number_words.h"
#include "base/text.h"
#include "units/exact.h"
#include "units/unit_table.h"

#include <algorithm>
#include <array>
#include <vector>

namespace benchleaf::units {
namespace {

constexpr std::string_view names[] = {
    bad_number,     bad_stage,        bad_thread,   decimal_comma,  quantity_without_unit,
    range_reversed, tolerance_absurd, unknown_unit, wrong_dimension};

constexpr std::string_view spaces[] = {" ", "\u00A0", "\u202F", "\u2009"};
constexpr std::string_view minus_sign = "\u2212";
constexpr int most_digits = 18; // any 18 digits fit into int64

bool empty(Bounds bounds) {
    return bounds.begin >= bounds.end;
}

// -- A number
// ------------------------------------------------------------------------------------------------------------

struct Number {
    std::int64_t digits = 0;
    std::uint8_t decimals = 0;
    bool plus = false;
    bool minus = false;
    bool parted = false; // thousands parted by a space
    Bounds at;
};

// Reads forwards through [at, end) of a text.
struct Cursor {
    std::string_view text;
    std::size_t at = 0;
    std::size_t end = 0;

    std::string_view rest() const { return text.substr(at, end - at); }
    bool done() const { return at >= end; }
    char peek(std::size_t ahead = 0) const { return at + ahead < end ? text[at + ahead] : '\0'; }
    bool digit(std::size_t ahead = 0) const { return base::is_digit(peek(ahead)); }
    bool take(std::string_view what) {
        if (!rest().starts_with(what)) return false;
        at += what.size();
        return true;
    }
    void skip_spaces() {
        while (const std::size_t space = leading_space(rest())) at += space;
    }
    std::string_view take_digits() {
        const std::size_t from = at;
        while (digit()) ++at;
        return text.substr(from, at - from);
    }
};

ParseError wrong(std::string_view name, Bounds at, std::string sentence, std::string help = {},
                 std::optional<std::string> replacement = std::nullopt) {
    return {at.begin, at.end, name, std::move(sentence), std::move(help), std::move(replacement)};
}

// The stretch to show for a number that went wrong: from its start over all that still looks like one.
Bounds numberlike(const Cursor& cursor, std::size_t begin) {
    std::size_t end = std::max(cursor.at, begin);
    while (end < cursor.end &&
           (base::is_digit(cursor.text[end]) || cursor.text[end] == '.' || cursor.text[end] == ',')) {
        if (cursor.text.substr(end, 2) == "..") break;
        ++end;
    }
    if (end == begin && end < cursor.end) ++end;
    return {begin, end};
}

// `1/4`, or the part after the whole number of `1 1/2`. Only halves down to 64ths are finite decimals that a rule
// shows.
std::optional<ParseError> read_fraction(Cursor& cursor, Number& number, std::int64_t whole,
                                        std::string_view above_text) {
    cursor.take("/");
    const std::string_view below_text = cursor.take_digits();
    const auto value = [](std::string_view digits) {
        std::int64_t sum = 0;
        for (const char digit : digits) sum = sum * 10 + (digit - '0');
        return sum;
    };
    const Bounds at{number.at.begin, cursor.at};
    if (above_text.size() > 4 || below_text.empty() || below_text.size() > 2)
        return wrong(bad_number, at, "this fraction cannot be read", "write it as a decimal, as in `0.25`");
    const std::int64_t above = value(above_text);
    const std::int64_t below = value(below_text);
    int power = 0;
    while (power < 7 && (std::int64_t{1} << power) != below) ++power;
    if (power == 0 || power == 7)
        return wrong(bad_number, at, "a fraction has 2, 4, 8, 16, 32 or 64 below the stroke",
                     "write it as a decimal, as in `0.25`");
    if (whole > 0 && above >= below) return wrong(bad_number, at, "the fraction after a whole number is less than one");
    std::int64_t digits = whole * below + above; // over 2^power, so times 5^power over 10^power
    for (int i = 0; i < power; ++i) digits *= 5;
    while (power > 0 && digits % 10 == 0) {
        digits /= 10;
        --power;
    }
    number.digits = digits;
    number.decimals = static_cast<std::uint8_t>(power);
    number.at.end = cursor.at;
    return std::nullopt;
}

// How many digits follow a space here, and how long the space is.
struct Group {
    std::size_t space = 0;
    std::size_t digits = 0;
};
Group group_ahead(const Cursor& cursor) {
    Group group;
    group.space = leading_space(cursor.rest());
    if (group.space == 0) return group;
    while (cursor.digit(group.space + group.digits)) ++group.digits;
    return group;
}

std::optional<ParseError> read_comma(Cursor& cursor, const Number& number, const std::string& whole) {
    const std::size_t comma = cursor.at;
    ++cursor.at;
    const std::string_view part = cursor.take_digits();
    const Bounds at = numberlike(cursor, number.at.begin);
    // `2,5` can only be 2.5. `12,460` may be thousands, so nobody but the author can say.
    const bool clear = at.end == cursor.at && !number.parted && (part.size() != 3 || whole == "0");
    std::optional<std::string> replacement;
    if (clear) {
        replacement = std::string(cursor.text.substr(at.begin, comma - at.begin)) + "." + std::string(part);
        return wrong(decimal_comma, at, "a number is written with a decimal point, not a comma",
                     "write `" + *replacement + "` for `" +
                         std::string(cursor.text.substr(at.begin, at.end - at.begin)) + "`",
                     replacement);
    }
    return wrong(decimal_comma, at, "a comma in a number can be read in two ways",
                 "the decimal mark is a point, as in `2.5`; thousands are parted by a space, as in `12 460`");
}

std::variant<Number, ParseError> read_number(Cursor& cursor) {
    Number number;
    number.at = {cursor.at, cursor.at};
    if (cursor.take("+"))
        number.plus = true;
    else if (cursor.take("-") || cursor.take(minus_sign))
        number.minus = true;

    if (!cursor.digit()) {
        if (cursor.peek() == '.' && cursor.digit(1)) {
            const Bounds at = numberlike(cursor, number.at.begin);
            const std::string sign(cursor.text.substr(at.begin, cursor.at - at.begin));
            const std::string fixed = sign + "0" + std::string(cursor.text.substr(cursor.at, at.end - cursor.at));
            return wrong(bad_number, at, "a decimal point has a digit before it", "write `" + fixed + "`", fixed);
        }
        const std::size_t word_end = std::min(cursor.text.find(' ', cursor.at), cursor.end);
        const std::string_view word =
            cursor.done() ? std::string_view() : cursor.text.substr(cursor.at, word_end - cursor.at);
        if (const auto count = base::number_word(word)) {
            const std::string digits = std::to_string(*count);
            return wrong(bad_number, {cursor.at, word_end}, "a number is written in digits", "write `" + digits + "`",
                         digits);
        }
        Bounds at{number.at.begin, cursor.end};
        if (cursor.done()) at = trimmed(cursor.text, {0, cursor.end});
        return wrong(bad_number, at, "a number is wanted here", "a quantity is a number and a unit, as in `24 N·m`");
    }

    std::string whole(cursor.take_digits());
    if (whole.size() > 1 && whole[0] == '0') {
        return wrong(bad_number, numberlike(cursor, number.at.begin), "a number does not start with an idle zero",
                     "was a decimal point forgotten?");
    }
    if (cursor.peek() == '/' && cursor.digit(1)) {
        if (auto error = read_fraction(cursor, number, 0, whole)) return *error;
        if (number.minus) number.digits = -number.digits;
        return number;
    }
    for (Group group = group_ahead(cursor); group.digits > 0; group = group_ahead(cursor)) {
        const std::size_t after = group.space + group.digits;
        if (cursor.peek(after) == '/' && !number.parted && whole.size() <= 4) { // `1 1/2`
            std::int64_t count = 0;
            for (const char digit : whole) count = count * 10 + (digit - '0');
            cursor.at += group.space;
            const std::string_view above = cursor.take_digits();
            if (auto error = read_fraction(cursor, number, count, above)) return *error;
            if (number.minus) number.digits = -number.digits;
            return number;
        }
        if (group.digits != 3 || whole == "0" || (!number.parted && whole.size() > 3)) {
            cursor.at += after;
            return wrong(bad_number, numberlike(cursor, number.at.begin), "the digits are not parted in threes",
                         "thousands are parted by a space, as in `12 460`");
        }
        cursor.at += group.space;
        whole += cursor.take_digits();
        number.parted = true;
    }
    if (cursor.peek() == ',' && cursor.digit(1)) return *read_comma(cursor, number, whole);

    std::string part;
    if (cursor.peek() == '.' && cursor.peek(1) != '.') {
        if (!cursor.digit(1)) {
            const std::string fixed(cursor.text.substr(number.at.begin, cursor.at - number.at.begin));
            ++cursor.at;
            return wrong(bad_number, {number.at.begin, cursor.at}, "a decimal point has a digit after it",
                         "write `" + fixed + "`", fixed);
        }
        ++cursor.at;
        part = cursor.take_digits();
        const bool again = (cursor.peek() == '.' || cursor.peek() == ',') && cursor.digit(1);
        if (again)
            return wrong(bad_number, numberlike(cursor, number.at.begin), "a number has one decimal point",
                         "thousands are parted by a space, as in `12 460`");
    }
    number.at.end = cursor.at;

    const std::string all = whole + part;
    const std::size_t leading = std::min(all.find_first_not_of('0'), all.size());
    if (all.size() - leading > most_digits || part.size() > most_digits)
        return wrong(bad_number, number.at, "a number has at most 18 digits");
    for (const char digit : all) number.digits = number.digits * 10 + (digit - '0');
    number.decimals = static_cast<std::uint8_t>(part.size());
    if (number.minus) number.digits = -number.digits;
    return number;
}

// -- A unit
// --------------------------------------------------------------------------------------------------------------

std::string folded(std::string_view text) {
    std::string small(text);
    for (char& byte : small) {
        if (byte >= 'A' && byte <= 'Z') byte = static_cast<char>(byte - 'A' + 'a');
    }
    return small;
}

// Letters to change, add, drop or swap to make one text of the other, in bytes.
std::size_t edits(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before(b.size() + 1);
    std::vector<std::size_t> last(b.size() + 1);
    std::vector<std::size_t> now(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        now[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t change = a[i - 1] == b[j - 1] ? 0 : 1;
            now[j] = std::min({last[j] + 1, now[j - 1] + 1, last[j - 1] + change});
            const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped) now[j] = std::min(now[j], before[j - 2] + 1);
        }
        std::swap(before, last);
        std::swap(last, now);
    }
    return last[b.size()];
}

ParseError unknown(std::string_view spelling, Bounds at, Wanted wanted) {
    const std::string small = folded(normal_spelling(spelling));
    std::string sentence = quoted(spelling) + " is no unit that is known here";
    std::string help = wanted == Wanted::anything ? std::string() : "units for " + std::string(says(wanted)) + " are:";
    // Near enough to name: one letter in three, two at most.
    const std::size_t enough = small.empty() ? 0 : std::min<std::size_t>(2, small.size() / 3);
    std::size_t best = enough + 1;
    std::optional<Unit> nearest;
    bool only = true;
    for (const Spelling& each : all_spellings()) {
        if (small.empty() || !fits(each.unit, wanted)) continue;
        const std::size_t distance = edits(small, folded(each.text));
        if (distance < best) {
            best = distance;
            nearest = each.unit;
            only = true;
        } else if (distance == best && nearest && *nearest != each.unit) {
            only = false;
        }
    }
    if (nearest && best <= enough) {
        const std::string name(symbol(*nearest));
        // A slip of capitals is put right by machine; another letter could have been another unit.
        std::optional<std::string> replacement;
        if (best == 0 && only) replacement = name;
        return wrong(unknown_unit, at, std::move(sentence), "did you mean `" + name + "`?", std::move(replacement));
    }
    if (!help.empty()) {
        for (const Unit unit : all_units()) {
            const bool common = unit != Unit::milligram && unit != Unit::centilitre && unit != Unit::decanewton &&
                                unit != Unit::decanewton_metre && unit != Unit::centinewton_metre;
            if (common && fits(unit, wanted) && help.size() < 160) help += " `" + std::string(plural(unit)) + "`";
        }
    }
    return wrong(unknown_unit, at, std::move(sentence), std::move(help));
}

std::variant<Unit, ParseError> read_unit(std::string_view text, Bounds at, Wanted wanted) {
    const std::string_view spelling = text.substr(at.begin, at.end - at.begin);
    const std::optional<Unit> unit = find_unit(spelling);
    if (!unit) return unknown(spelling, at, wanted);
    if (!fits(*unit, wanted)) {
        std::string help = "write the figure as its source gives it, in `" + std::string(example_of(wanted)) + "`";
        if (wanted == Wanted::torque && (*unit == Unit::pound || *unit == Unit::pound_force))
            help = "pounds at a foot are `lbf·ft`, at an inch `lbf·in`";
        if (wanted == Wanted::torque && (*unit == Unit::kilogram || *unit == Unit::kilogram_force))
            help = "kilograms at a metre are `kgf·m`, at a centimetre `kgf·cm`";
        return wrong(wrong_dimension, at,
                     quoted(spelling) + " is " + std::string(says_unit(*unit)) + "; " + std::string(says(wanted)) +
                         " is wanted here",
                     std::move(help));
    }
    return *unit;
}

// -- A whole value
// --------------------------------------------------------------------------------------------------------

enum class Between : std::uint8_t { nothing, to, plus_minus };

// What stands between two numbers, at the cursor. A hyphen does so only before a digit: `ft-lb` has one inside.
Between between(const Cursor& cursor, std::size_t& length) {
    struct Sign {
        std::string_view text;
        Between means;
    };
    constexpr Sign all[] = {
        {"\u00B1", Between::plus_minus},
        {"+/-", Between::plus_minus},
        {"+-", Between::plus_minus},
        {"\u2013", Between::to},
        {"\u2014", Between::to},
        {"\u2026", Between::to},
        {"...", Between::to},
        {"..", Between::to},
    };
    const std::string_view rest = cursor.rest();
    for (const Sign& sign : all) {
        if (!rest.starts_with(sign.text)) continue;
        length = sign.text.size();
        return sign.means;
    }
    if (rest.starts_with("-")) {
        std::size_t after = 1;
        while (const std::size_t space = leading_space(rest.substr(after))) after += space;
        if (after < rest.size() && base::is_digit(rest[after])) {
            length = 1;
            return Between::to;
        }
    }
    return Between::nothing;
}

struct Pieces {
    Number first;
    Bounds first_unit; // empty: none written
    Between sign = Between::nothing;
    Number second;
    Bounds second_unit;
};

// number [unit] [sign number [unit]], to the end.
std::variant<Pieces, ParseError> take_apart(std::string_view text, Bounds bounds) {
    const Bounds inner = trimmed(text, bounds);
    Cursor cursor{text, inner.begin, inner.end};
    if (cursor.done())
        return wrong(bad_number, empty(bounds) ? Bounds{0, text.size()} : bounds, "nothing is written here",
                     "a quantity is a number and a unit, as in `24 N·m`");
    Pieces pieces;
    auto first = read_number(cursor);
    if (auto* error = std::get_if<ParseError>(&first)) return *error;
    pieces.first = std::get<Number>(first);

    cursor.skip_spaces();
    std::size_t length = 0;
    const std::size_t unit_begin = cursor.at;
    while (!cursor.done() && (pieces.sign = between(cursor, length)) == Between::nothing) ++cursor.at;
    pieces.first_unit = trimmed(text, {unit_begin, cursor.at});
    if (pieces.sign == Between::nothing) return pieces;

    cursor.at += length;
    cursor.skip_spaces();
    if (cursor.done()) return wrong(bad_number, {unit_begin, cursor.end}, "a second number is wanted after this");
    auto second = read_number(cursor);
    if (auto* error = std::get_if<ParseError>(&second)) return *error;
    pieces.second = std::get<Number>(second);
    pieces.second_unit = trimmed(text, {cursor.at, cursor.end});
    Cursor tail{text, pieces.second_unit.begin, pieces.second_unit.end};
    for (; !tail.done(); ++tail.at) {
        if (between(tail, length) == Between::nothing) continue;
        return wrong(bad_number, {tail.at, tail.at + length}, "a value has at most two numbers");
    }
    return pieces;
}

ParseError no_unit(std::string_view text, Bounds number, Wanted wanted) {
    const std::string written(text.substr(number.begin, number.end - number.begin));
    const std::string_view unit = example_of(wanted);
    const std::string example = written + (unit == "°" ? "" : " ") + std::string(unit);
    return wrong(quantity_without_unit, number,
                 "this number has no unit; " + std::string(says(wanted)) + " is wanted here",
                 "write its unit, as in `" + example + "`");
}

bool may_be_negative(Unit unit, Wanted wanted) {
    if (wanted == Wanted::anything) return true;
    if (wanted == Wanted::distance || wanted == Wanted::meter || wanted == Wanted::amount) return false;
    const Dimension dim = dimension(unit);
    return dim == Dimension::temperature || dim == Dimension::angle || dim == Dimension::length ||
           dim == Dimension::voltage || dim == Dimension::current;
}

std::optional<ParseError> check_number(const Number& number, Unit unit, Wanted wanted) {
    if (number.digits < 0 && !may_be_negative(unit, wanted))
        return wrong(bad_number, number.at, std::string(says_unit(unit)) + " is not less than zero here");
    const bool road = wanted == Wanted::distance || wanted == Wanted::meter;
    if (road && number.decimals == 3 && !number.parted && (unit == Unit::kilometre || unit == Unit::mile))
        return wrong(bad_number, number.at, "three digits after the point can be read as thousands",
                     "thousands are parted by a space, as in `12 460 km`; a point is the decimal point");
    return std::nullopt;
}

Quantity quantity_of(const Number& number, Unit unit) {
    return {number.digits, number.decimals, number.plus, unit};
}

// The number and its unit, checked.
Parsed<Quantity> finish(std::string_view text, const Number& number, Bounds unit_at, Wanted wanted) {
    if (empty(unit_at)) return no_unit(text, number.at, wanted);
    auto unit = read_unit(text, unit_at, wanted);
    if (auto* error = std::get_if<ParseError>(&unit)) return *error;
    if (auto error = check_number(number, std::get<Unit>(unit), wanted)) return *error;
    return quantity_of(number, std::get<Unit>(unit));
}

// Two units are written for one value: they have to be the same one.
std::optional<ParseError> check_same(std::string_view text, Bounds at, Unit wanted_unit, Wanted wanted) {
    if (empty(at)) return std::nullopt;
    auto unit = read_unit(text, at, wanted);
    if (auto* error = std::get_if<ParseError>(&unit)) return *error;
    if (std::get<Unit>(unit) == wanted_unit) return std::nullopt;
    return wrong(wrong_dimension, at,
                 "both numbers of a value are in one unit, here `" + std::string(symbol(wanted_unit)) + "`",
                 "convert one of them");
}

Parsed<Range> finish_range(std::string_view text, const Pieces& pieces, Wanted wanted) {
    const Bounds whole{pieces.first.at.begin, pieces.second.at.end};
    if (pieces.first.plus)
        return wrong(bad_number, pieces.first.at, "a range starts with a plain number", "leave the plus sign out");
    if (pieces.second.plus && pieces.first.digits >= 0)
        return wrong(bad_number, pieces.second.at, "a range ends with a plain number", "leave the plus sign out");
    if (empty(pieces.second_unit)) return no_unit(text, pieces.second.at, wanted);
    auto upper = finish(text, pieces.second, pieces.second_unit, wanted);
    if (auto* error = std::get_if<ParseError>(&upper)) return *error;
    Range range;
    range.upper = std::get<Quantity>(upper);
    range.upper.relative = false;
    if (auto error = check_same(text, pieces.first_unit, range.upper.unit, wanted)) return *error;
    if (auto error = check_number(pieces.first, range.upper.unit, wanted)) return *error;
    range.lower = quantity_of(pieces.first, range.upper.unit);
    if (compare(range.lower, range.upper) == std::partial_ordering::greater) {
        const std::string_view low = text.substr(pieces.second.at.begin, pieces.second.at.end - pieces.second.at.begin);
        const std::string_view high = text.substr(pieces.first.at.begin, pieces.first.at.end - pieces.first.at.begin);
        // Turned round it may still be wrong (`30..6` may have been meant as `30..36`), so the help says it and no
        // machine does.
        return wrong(range_reversed, whole, "the least value is above the greatest",
                     "if they are only turned round, write `" + std::string(low) + ".." + std::string(high) + " " +
                         std::string(plural(range.upper.unit)) + "`");
    }
    return range;
}

Parsed<Figure> finish_tolerance(std::string_view text, const Pieces& pieces, Wanted wanted) {
    if (pieces.second.plus || pieces.second.minus)
        return wrong(bad_number, pieces.second.at, "a tolerance has no sign of its own");
    const std::string_view second_unit =
        text.substr(pieces.second_unit.begin, pieces.second_unit.end - pieces.second_unit.begin);
    const bool by_percent = second_unit.starts_with("%") || find_unit(second_unit) == Unit::percent;
    // `24 ±2 N·m` and `24 ±10 % N·m` have their unit at the end.
    Bounds unit_at = pieces.first_unit;
    if (by_percent && second_unit.size() > 1 && second_unit.starts_with("%")) {
        const Bounds after = trimmed(text, {pieces.second_unit.begin + 1, pieces.second_unit.end});
        if (!empty(unit_at)) return wrong(bad_number, after, "nothing is wanted after the tolerance");
        unit_at = after;
    } else if (!by_percent && empty(unit_at)) {
        unit_at = pieces.second_unit;
    }
    auto nominal = finish(text, pieces.first, unit_at, wanted);
    if (auto* error = std::get_if<ParseError>(&nominal)) return *error;

    Figure figure;
    figure.nominal = std::get<Quantity>(nominal);
    const Unit unit = figure.nominal.unit;
    std::optional<Quantity> lower;
    std::optional<Quantity> upper;
    const Bounds tolerance_at{pieces.second.at.begin, std::max(pieces.second.at.end, pieces.second_unit.end)};
    if (by_percent) {
        if (unit == Unit::percent)
            return wrong(bad_number, tolerance_at, "per cent of a percentage can be read in two ways",
                         "write the two limits, as in `75..85 %`");
        if (dimension(unit) == Dimension::temperature)
            return wrong(bad_number, tolerance_at, "per cent of a temperature means nothing",
                         "write the tolerance in degrees");
        figure.form = Figure::Form::plus_minus_percent;
        figure.tolerance = quantity_of(pieces.second, Unit::percent);
        const std::optional<Quantity> change =
            pieces.second.decimals <= 16 ? times(figure.nominal, pieces.second.digits, pieces.second.decimals + 2)
                                         : std::nullopt;
        if (change) {
            // Of a negative value the change is negative: the limits swap.
            const std::optional<Quantity> size = change->digits < 0 ? multiply(*change, -1) : change;
            lower = add_numbers(figure.nominal, *multiply(*size, -1));
            upper = add_numbers(figure.nominal, *size);
        }
    } else {
        if (unit == Unit::percent && empty(pieces.first_unit))
            return wrong(quantity_without_unit, pieces.first.at, "this number has no unit of its own");
        if (!empty(pieces.first_unit) && empty(pieces.second_unit)) {
            const std::string written(
                text.substr(pieces.second.at.begin, pieces.second.at.end - pieces.second.at.begin));
            return wrong(quantity_without_unit, pieces.second.at, "this tolerance has no unit",
                         "write `±" + written + " %`, or `±" + written + (unit == Unit::degree ? "" : " ") +
                             std::string(plural(unit)) + "`");
        }
        if (auto error = check_same(text, pieces.second_unit, unit, wanted)) return *error;
        figure.form = Figure::Form::plus_minus;
        figure.tolerance = quantity_of(pieces.second, unit);
        lower = add_numbers(figure.nominal, *multiply(figure.tolerance, -1));
        upper = add_numbers(figure.nominal, figure.tolerance);
    }
    if (!lower || !upper) return wrong(bad_number, tolerance_at, "this tolerance has too many digits");
    if (lower->digits < 0 && figure.nominal.digits >= 0 && !may_be_negative(unit, wanted))
        return wrong(bad_number, tolerance_at, "the tolerance is larger than the value itself");
    figure.lower = *lower;
    figure.upper = *upper;
    figure.lower.relative = figure.upper.relative = figure.nominal.relative;
    return figure;
}

std::optional<ParseError> check_not_nothing(const Quantity& greatest, Bounds at, Wanted wanted) {
    if (wanted != Wanted::torque || greatest.digits != 0) return std::nullopt;
    return wrong(bad_number, at, "a torque of zero tightens nothing");
}

} // namespace

std::span<const std::string_view> error_names() {
    return names;
}

std::size_t leading_space(std::string_view text) {
    for (const std::string_view space : spaces) {
        if (text.starts_with(space)) return space.size();
    }
    return 0;
}

Bounds trimmed(std::string_view text, Bounds bounds) {
    while (bounds.begin < bounds.end) {
        const std::size_t space = leading_space(text.substr(bounds.begin, bounds.end - bounds.begin));
        if (space == 0) break;
        bounds.begin += space;
    }
    for (bool again = true; again && bounds.begin < bounds.end;) {
        again = false;
        for (const std::string_view space : spaces) {
            if (!text.substr(bounds.begin, bounds.end - bounds.begin).ends_with(space)) continue;
            bounds.end -= space.size();
            again = true;
        }
    }
    return bounds;
}

std::string quoted(std::string_view text) {
    constexpr std::size_t longest = 32;
    std::string shown = "`";
    std::size_t at = 0;
    for (; at < text.size() && at < longest;) {
        const auto lead = static_cast<unsigned char>(text[at]);
        const std::size_t length = lead < 0x80 ? 1 : lead >= 0xC2 && lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
        bool good =
            lead >= 0x20 && lead != 0x7F && (lead < 0x80 || lead >= 0xC2) && lead < 0xF5 && at + length <= text.size();
        for (std::size_t i = 1; good && i < length; ++i)
            good = (static_cast<unsigned char>(text[at + i]) & 0xC0) == 0x80;
        if (good && length > 2) { // no overlong forms, no surrogates, nothing above U+10FFFF
            const auto next = static_cast<unsigned char>(text[at + 1]);
            good = !(lead == 0xE0 && next < 0xA0) && !(lead == 0xED && next >= 0xA0) &&
                   !(lead == 0xF0 && next < 0x90) && !(lead == 0xF4 && next >= 0x90);
        }
        if (good && lead == 0xC2 && static_cast<unsigned char>(text[at + 1]) < 0xA0) good = false; // C1 controls
        if (good) {
            shown += text.substr(at, length);
            at += length;
        } else {
            shown += "\uFFFD";
            ++at;
        }
    }
    if (at < text.size()) shown += "…";
    return shown + "`";
}

Parsed<Quantity> parse_quantity(std::string_view text, Wanted wanted) {
    auto apart = take_apart(text, {0, text.size()});
    if (auto* error = std::get_if<ParseError>(&apart)) return *error;
    const Pieces& pieces = std::get<Pieces>(apart);
    if (pieces.sign != Between::nothing) {
        const Bounds at{pieces.first.at.begin, std::max(pieces.second.at.end, pieces.second_unit.end)};
        return wrong(bad_number, at,
                     pieces.sign == Between::to ? "one value is wanted here, not a range"
                                                : "one value is wanted here, without a tolerance");
    }
    auto result = finish(text, pieces.first, pieces.first_unit, wanted);
    if (auto* quantity = std::get_if<Quantity>(&result)) {
        if (auto error = check_not_nothing(*quantity, pieces.first.at, wanted)) return *error;
    }
    return result;
}

Parsed<Decimal> parse_decimal(std::string_view text) {
    const Bounds inner = trimmed(text, {0, text.size()});
    Cursor cursor{text, inner.begin, inner.end};
    if (cursor.done()) return wrong(bad_number, {0, text.size()}, "a number is wanted here");
    auto read = read_number(cursor);
    if (auto* error = std::get_if<ParseError>(&read)) return *error;
    const Bounds after = trimmed(text, {cursor.at, inner.end});
    if (!empty(after)) return wrong(wrong_dimension, after, "a plain number is wanted here, with nothing behind it");
    const Number& number = std::get<Number>(read);
    return Decimal{number.digits, number.decimals};
}

Parsed<Range> parse_range(std::string_view text, Wanted wanted) {
    auto apart = take_apart(text, {0, text.size()});
    if (auto* error = std::get_if<ParseError>(&apart)) return *error;
    const Pieces& pieces = std::get<Pieces>(apart);
    if (pieces.sign != Between::to) {
        return wrong(bad_number, trimmed(text, {0, text.size()}),
                     "a range is wanted here: a least and a greatest value", "write both, as in `25..35 mm`");
    }
    auto result = finish_range(text, pieces, wanted);
    if (auto* range = std::get_if<Range>(&result)) {
        if (auto error = check_not_nothing(range->upper, pieces.second.at, wanted)) return *error;
    }
    return result;
}

Parsed<Figure> parse_figure(std::string_view text, Wanted wanted) {
    return parse_figure_within(text, {0, text.size()}, wanted);
}

Parsed<Figure> parse_figure_within(std::string_view text, Bounds bounds, Wanted wanted) {
    auto apart = take_apart(text, bounds);
    if (auto* error = std::get_if<ParseError>(&apart)) return *error;
    const Pieces& pieces = std::get<Pieces>(apart);
    Figure figure;
    if (pieces.sign == Between::plus_minus) {
        auto result = finish_tolerance(text, pieces, wanted);
        if (std::holds_alternative<ParseError>(result)) return result;
        figure = std::get<Figure>(result);
    } else if (pieces.sign == Between::to) {
        auto result = finish_range(text, pieces, wanted);
        if (auto* error = std::get_if<ParseError>(&result)) return *error;
        figure.form = Figure::Form::range;
        figure.lower = std::get<Range>(result).lower;
        figure.upper = std::get<Range>(result).upper;
        const std::optional<Quantity> sum = add_numbers(figure.lower, figure.upper);
        const std::optional<Quantity> middle = sum ? times(*sum, 5, 1) : std::nullopt;
        if (!middle)
            return wrong(bad_number, {pieces.first.at.begin, pieces.second.at.end}, "this range has too many digits");
        figure.nominal = *middle;
    } else {
        auto result = finish(text, pieces.first, pieces.first_unit, wanted);
        if (auto* error = std::get_if<ParseError>(&result)) return *error;
        figure.nominal = figure.lower = figure.upper = std::get<Quantity>(result);
    }
    if (auto error = check_not_nothing(figure.upper, pieces.first.at, wanted)) return *error;
    return figure;
}

} // namespace benchleaf::units
