// Exact quantities: a number as it was written, and its unit.
//
// Read one with `parse_quantity("24 N·m", Wanted::torque)`, a pair of limits with `parse_range("5..7 clicks", …)`, a
// value with its tolerance with `parse_figure("24 N·m ±10 %", …)`. Each gives the value or a `ParseError` that points
// into the text. Print with `print`. Nothing is rounded when it is read, added, multiplied or compared: a number is a
// whole number over a power of ten and the factors between units are exact fractions (units/convert.cpp). Only
// `convert` rounds, and there the caller says which way. Every function takes any bytes and any values: what does not
// fit is an error or `nullopt`, never an overflow. Tightening in stages is in units/tightening.h, screw threads in
// units/thread.h.
#pragma once

#include <compare>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>

namespace benchleaf::units {

// What a unit measures. Two units can be converted into each other when both are the same, except counted things, which
// never can: five clicks are not five drops. Length has one dimension from the micrometre to the mile, time one from
// the second to the run hour; what makes sense where is `Wanted`'s business.
enum class Dimension : std::uint8_t {
    torque,
    force,
    length,
    angle,
    time,
    volume,
    mass,
    pressure,
    percentage,
    count,
    temperature,
    rotation,
    speed,
    voltage,
    current,
    resistance,
};

// The order is that of the table in units/unit_table.cpp; a static_assert there keeps them together.
enum class Unit : std::uint8_t {
    newton_metre,
    decanewton_metre,
    centinewton_metre,
    kilogram_force_metre,
    kilogram_force_centimetre,
    pound_force_foot,
    pound_force_inch,
    ounce_force_inch,
    newton,
    decanewton,
    kilonewton,
    kilogram_force,
    pound_force,
    micrometre,
    millimetre,
    centimetre,
    metre,
    kilometre,
    thou,
    inch,
    foot,
    mile,
    degree,
    turn,
    second,
    minute,
    hour,
    day,
    millilitre,
    centilitre,
    litre,
    cubic_centimetre,
    us_fluid_ounce,
    us_quart,
    milligram,
    gram,
    kilogram,
    ounce,
    pound,
    kilopascal,
    megapascal,
    bar,
    psi,
    percent,
    click,
    drop,
    piece,
    notch,
    stroke,
    tooth,
    celsius,
    fahrenheit,
    revolution_per_minute,
    kilometre_per_hour,
    mile_per_hour,
    millivolt,
    volt,
    milliampere,
    ampere,
    ohm,
    kiloohm,
};

// What a place in a file asks for; a quantity of another sort is reported as `wrong-dimension`.
enum class Wanted : std::uint8_t {
    anything,
    torque,
    force,
    length,   // at the bench: µm to m, thou, in, ft
    distance, // on the road: m, km, mi
    meter,    // the service meter and what is counted on it: km, mi, or run hours
    angle,    // °, turns
    time,     // s to days
    volume,
    mass,
    pressure,
    percentage,
    count, // clicks, drops, pieces, notches, strokes, teeth, turns
    temperature,
    amount, // of a consumable: volume, mass, length (tape), count
    limit,  // anything that a gauge reads, but no distance on the road
};

// A number as written, `digits` / 10^`decimals`, and its unit. `24.0 N·m` and `24 N·m` are different as written (== is
// false) and equal as values (`compare`).
struct Quantity {
    std::int64_t digits = 0;
    std::uint8_t decimals = 0; // 0..18
    bool relative = false;     // written with a plus sign: counted from where one is (`+6 000 km`, `+90°`)
    Unit unit = Unit::newton_metre;

    friend bool operator==(const Quantity&, const Quantity&) = default;
};

// A plain number as written, for what has no unit (the shop's margin of 1.25): `digits` / 10^`decimals`.
struct Decimal {
    std::int64_t digits = 0;
    std::uint8_t decimals = 0; // 0..18

    friend bool operator==(const Decimal&, const Decimal&) = default;
};

// Two limits of one unit; lower ≤ upper.
struct Range {
    Quantity lower;
    Quantity upper;

    friend bool operator==(const Range&, const Range&) = default;
};

// A value with its tolerance. lower ≤ nominal ≤ upper, all in one unit and exact. Without a tolerance the three are
// equal; of a range the nominal is the middle.
struct Figure {
    enum class Form : std::uint8_t { plain, plus_minus, plus_minus_percent, range };

    Quantity nominal;
    Quantity lower;
    Quantity upper;
    Form form = Form::plain;
    Quantity tolerance; // as written (in `nominal`'s unit, or a percentage); meaningless for plain and range

    friend bool operator==(const Figure&, const Figure&) = default;
};

// What is wrong with a text, to be shown at bytes [begin, end) of it; never empty unless the text is.
struct ParseError {
    std::size_t begin = 0;
    std::size_t end = 0;
    std::string_view name; // one of `error_names()`; lives for ever
    std::string sentence;  // "`mm` is a length; a torque is wanted here"
    std::string help;      // one line, or empty
    std::optional<std::string>
        replacement; // for [begin, end), when there is only one right one: can be applied by machine
};

// Every name that a ParseError of this folder can have: bad-number, bad-stage, bad-thread, decimal-comma,
// quantity-without-unit, range-reversed, tolerance-absurd, unknown-unit, wrong-dimension.
std::span<const std::string_view> error_names();

template <class T>
using Parsed = std::variant<T, ParseError>;

// `24 N·m`, `2.5 mm`, `12 460 km`, `+6 000 km`, `-5 °C`, `1/4 turn`, `1 1/2 in`. Space, U+00A0, U+202F and U+2009 part
// thousands; the decimal mark is the point alone. Less than zero is refused where it makes no sense (all but
// temperature, angle, length, voltage, current, and `anything`).
Parsed<Quantity> parse_quantity(std::string_view text, Wanted wanted = Wanted::anything);

// `1.25`, `12 460`: a number alone. With a unit behind it: wrong-dimension.
Parsed<Decimal> parse_decimal(std::string_view text);

// `5..7 clicks`, `25..35 mm`, `5–7 clicks`, `5 mm..7 mm`. A plain quantity is no range: bad-number.
Parsed<Range> parse_range(std::string_view text, Wanted wanted = Wanted::anything);

// `24 N·m`, `24 N·m ±10 %`, `24 ±2 N·m`, `24 N·m ±2 N·m`, `30..36 N·m`; `+-`, `+/-` are read as `±`.
Parsed<Figure> parse_figure(std::string_view text, Wanted wanted = Wanted::anything);

// -- Printing
// ------------------------------------------------------------------------------------------------------------
struct PrintOptions {
    bool plain_spaces = false; // a plain space where U+00A0 would keep number and unit, and thousands, together
    char decimal_mark = '.';   // what is printed with ',' is for a reader's eyes; it does not read back
    bool two_dots = false;     // `5..7 mm` as in a source file, instead of `5–7 mm`
};

// `24 N·m`, `12 460 km`, `90°`, `1 click`, `10 %`. What is printed reads back as the same quantity (decimal point).
std::string print(const Quantity& quantity, PrintOptions options = {});
std::string print(const Range& range, PrintOptions options = {});   // `5–7 clicks`
std::string print(const Figure& figure, PrintOptions options = {}); // `24 N·m ±10 %`, `24 ±2 N·m`, `30–36 N·m`
std::string print_number(const Quantity& quantity, PrintOptions options = {}); // without its unit

// -- Units
// ---------------------------------------------------------------------------------------------------------------
Dimension dimension(Unit unit);
std::string_view
symbol(Unit unit); // the one right form: `N·m`, `lbf·ft`, `US qt`; of a counted thing the singular: `click`
std::string_view plural(Unit unit);   // `clicks`; the symbol where there is no plural
bool is_word(Unit unit);              // the symbol is an English word, so a card in another language has its own
std::string_view says(Dimension dim); // "a torque"
std::string_view says(Wanted wanted); // "a torque"
bool fits(Unit unit, Wanted wanted);  // may it stand there?
bool convertible(Unit from, Unit to);
std::optional<Unit> find_unit(std::string_view spelling); // any spelling that is read, `ft-lb` among them
std::span<const Unit> all_units();

// -- Arithmetic, exact
// ------------------------------------------------------------------------------------------------------ Of values,
// over units; `unordered` when the units cannot be converted into each other.
std::partial_ordering compare(const Quantity& a, const Quantity& b);

// In `a`'s unit (where the sum is no finite decimal there, in `b`'s). nullopt: other dimensions, temperatures, no exact
// decimal, or it does not fit.
std::optional<Quantity> add(const Quantity& a, const Quantity& b);
std::optional<Quantity> multiply(const Quantity& quantity, std::int64_t count);

// The number in another unit if that is a finite decimal that fits, and nullopt if not.
std::optional<Quantity> convert_exactly(const Quantity& quantity, Unit to);

// In base units of its dimension, or in `unit`, as the nearest double: for formulas. NaN when not convertible.
double value_in(const Quantity& quantity, Unit unit);

// -- Rounding
// ---------------------------------------------------------------------------------------------------------------- up
// is towards plus infinity: a minimum that is rounded goes up, a maximum goes down (NIST SP 811 B.7: from memory), so
// that what is allowed after rounding was allowed before. nearest: a half goes away from zero.
enum class Round : std::uint8_t { nearest, up, down };

struct Decimals {
    int places = 0; // after the point, 0..18
};
struct Significant {
    int figures = 3; // 1..18
};
std::optional<Quantity> convert(const Quantity& quantity, Unit to, Decimals decimals, Round round = Round::nearest);
std::optional<Quantity> convert(const Quantity& quantity, Unit to, Significant significant,
                                Round round = Round::nearest);

// As a second unit on the card: as many significant figures as the number was written with, trailing zeros counted, at
// least two and at most four: 25 N·m -> 18 lbf·ft, 2.0 mm -> 0.079 in, 120 N·m -> 88.5 lbf·ft.
std::optional<Quantity> convert(const Quantity& quantity, Unit to, Round round = Round::nearest);

// Lower up, upper down, nominal to the nearest inside them, all to the same number of decimals: as above for the
// nominal, or as many more as it takes to keep three quarters of the width. The form becomes plain or range.
std::optional<Figure> convert(const Figure& figure, Unit to);
std::optional<Range> convert(const Range& range, Unit to);

} // namespace benchleaf::units
