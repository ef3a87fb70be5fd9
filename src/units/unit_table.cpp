#include "units/unit_table.h"

#include <array>

namespace benchleaf::units {
namespace {

using enum Unit;

constexpr std::int64_t ten(int exponent) {
    std::int64_t power = 1;
    for (int i = 0; i < exponent; ++i) power *= 10;
    return power;
}

// Exact by definition: 1 in = 25.4 mm and 1 lb = 0.45359237 kg (international yard and pound agreement, 1959), standard
// gravity 9.80665 m/s² (CGPM 1901), 1 US gal = 231 in³. So 1 lbf = 4.4482216152605 N, and what follows from it.
constexpr UnitRow rows[] = {
    {newton_metre, Dimension::torque, "N·m", "", 1, 1, 0},
    {decanewton_metre, Dimension::torque, "daN·m", "", 10, 1, 0},
    {centinewton_metre, Dimension::torque, "cN·m", "", 1, 100, 0},
    {kilogram_force_metre, Dimension::torque, "kgf·m", "", 980665, ten(5), 0},
    {kilogram_force_centimetre, Dimension::torque, "kgf·cm", "", 980665, ten(7), 0},
    {pound_force_foot, Dimension::torque, "lbf·ft", "", 13558179483314004, ten(16), 0},
    {pound_force_inch, Dimension::torque, "lbf·in", "", 1129848290276167, ten(16), 0},
    {ounce_force_inch, Dimension::torque, "ozf·in", "", 1129848290276167, 16 * ten(16), 0},
    {newton, Dimension::force, "N", "", 1, 1, 0},
    {decanewton, Dimension::force, "daN", "", 10, 1, 0},
    {kilonewton, Dimension::force, "kN", "", 1000, 1, 0},
    {kilogram_force, Dimension::force, "kgf", "", 980665, ten(5), 0},
    {pound_force, Dimension::force, "lbf", "", 44482216152605, ten(13), 0},
    {micrometre, Dimension::length, "µm", "", 1, 1000, 0},
    {millimetre, Dimension::length, "mm", "", 1, 1, 0},
    {centimetre, Dimension::length, "cm", "", 10, 1, 0},
    {metre, Dimension::length, "m", "", 1000, 1, 0},
    {kilometre, Dimension::length, "km", "", 1000000, 1, 0},
    {thou, Dimension::length, "thou", "", 254, 10000, 0},
    {inch, Dimension::length, "in", "", 254, 10, 0},
    {foot, Dimension::length, "ft", "", 3048, 10, 0},
    {mile, Dimension::length, "mi", "", 1609344, 1, 0},
    {degree, Dimension::angle, "°", "", 1, 1, 0},
    {turn, Dimension::angle, "turn", "turns", 360, 1, 0},
    {second, Dimension::time, "s", "", 1, 1, 0},
    {minute, Dimension::time, "min", "", 60, 1, 0},
    {hour, Dimension::time, "h", "", 3600, 1, 0},
    {day, Dimension::time, "day", "days", 86400, 1, 0},
    {millilitre, Dimension::volume, "mL", "", 1, 1, 0},
    {centilitre, Dimension::volume, "cL", "", 10, 1, 0},
    {litre, Dimension::volume, "L", "", 1000, 1, 0},
    {cubic_centimetre, Dimension::volume, "cm³", "", 1, 1, 0},
    {us_fluid_ounce, Dimension::volume, "US fl oz", "", 295735295625, ten(10), 0},
    {us_quart, Dimension::volume, "US qt", "", 946352946, ten(6), 0},
    {milligram, Dimension::mass, "mg", "", 1, 1000, 0},
    {gram, Dimension::mass, "g", "", 1, 1, 0},
    {kilogram, Dimension::mass, "kg", "", 1000, 1, 0},
    {ounce, Dimension::mass, "oz", "", 28349523125, ten(9), 0},
    {pound, Dimension::mass, "lb", "", 45359237, ten(5), 0},
    {kilopascal, Dimension::pressure, "kPa", "", 1000, 1, 0},
    {megapascal, Dimension::pressure, "MPa", "", 1000000, 1, 0},
    {bar, Dimension::pressure, "bar", "", 100000, 1, 0},
    {psi, Dimension::pressure, "psi", "", 44482216152605, 6451600000, 0}, // lbf/in² = 4.4482216152605 / 0.0254² Pa
    {percent, Dimension::percentage, "%", "", 1, 1, 0},
    {click, Dimension::count, "click", "clicks", 1, 1, 0},
    {drop, Dimension::count, "drop", "drops", 1, 1, 0},
    {piece, Dimension::count, "piece", "pieces", 1, 1, 0},
    {notch, Dimension::count, "notch", "notches", 1, 1, 0},
    {stroke, Dimension::count, "stroke", "strokes", 1, 1, 0},
    {tooth, Dimension::count, "tooth", "teeth", 1, 1, 0},
    {celsius, Dimension::temperature, "°C", "", 1, 1, 0},
    {fahrenheit, Dimension::temperature, "°F", "", 5, 9, -32},
    {revolution_per_minute, Dimension::rotation, "r/min", "", 1, 1, 0},
    {kilometre_per_hour, Dimension::speed, "km/h", "", 1, 1, 0},
    {mile_per_hour, Dimension::speed, "mi/h", "", 1609344, ten(6), 0},
    {millivolt, Dimension::voltage, "mV", "", 1, 1000, 0},
    {volt, Dimension::voltage, "V", "", 1, 1, 0},
    {milliampere, Dimension::current, "mA", "", 1, 1000, 0},
    {ampere, Dimension::current, "A", "", 1, 1, 0},
    {ohm, Dimension::resistance, "Ω", "", 1, 1, 0},
    {kiloohm, Dimension::resistance, "kΩ", "", 1000, 1, 0},
};

constexpr bool rows_in_order() {
    std::size_t index = 0;
    for (const UnitRow& each : rows) {
        if (static_cast<std::size_t>(each.unit) != index++) return false;
    }
    return index == static_cast<std::size_t>(kiloohm) + 1;
}
static_assert(rows_in_order(), "the table is in the order of the enum Unit");

constexpr auto units_in_order = [] {
    std::array<Unit, std::size(rows)> units{};
    for (std::size_t i = 0; i < units.size(); ++i) units[i] = rows[i].unit;
    return units;
}();

// Besides the symbols and plurals above. A kilogram times a metre is in older manuals a kilogram-force, and nothing
// else in a workshop.
constexpr Spelling more_spellings[] = {
    {"Nm", newton_metre},
    {"newton·metre", newton_metre},
    {"newton·metres", newton_metre},
    {"newton·meter", newton_metre},
    {"newton·meters", newton_metre},
    {"daNm", decanewton_metre},
    {"cNm", centinewton_metre},
    {"N·cm", centinewton_metre},
    {"Ncm", centinewton_metre},
    {"kgfm", kilogram_force_metre},
    {"kg·m", kilogram_force_metre},
    {"kgm", kilogram_force_metre},
    {"m·kgf", kilogram_force_metre},
    {"m·kg", kilogram_force_metre},
    {"mkg", kilogram_force_metre},
    {"kp·m", kilogram_force_metre},
    {"kpm", kilogram_force_metre},
    {"kgfcm", kilogram_force_centimetre},
    {"kg·cm", kilogram_force_centimetre},
    {"kgcm", kilogram_force_centimetre},
    {"cm·kgf", kilogram_force_centimetre},
    {"cm·kg", kilogram_force_centimetre},
    {"ft·lbf", pound_force_foot},
    {"ft·lb", pound_force_foot},
    {"ft·lbs", pound_force_foot},
    {"lb·ft", pound_force_foot},
    {"lbs·ft", pound_force_foot},
    {"lbfft", pound_force_foot},
    {"ftlb", pound_force_foot},
    {"ftlbs", pound_force_foot},
    {"lbft", pound_force_foot},
    {"foot·pound", pound_force_foot},
    {"foot·pounds", pound_force_foot},
    {"pound·foot", pound_force_foot},
    {"pound·feet", pound_force_foot},
    {"in·lbf", pound_force_inch},
    {"in·lb", pound_force_inch},
    {"in·lbs", pound_force_inch},
    {"lb·in", pound_force_inch},
    {"lbs·in", pound_force_inch},
    {"lbfin", pound_force_inch},
    {"inlb", pound_force_inch},
    {"inlbs", pound_force_inch},
    {"lbin", pound_force_inch},
    {"inch·pound", pound_force_inch},
    {"inch·pounds", pound_force_inch},
    {"pound·inch", pound_force_inch},
    {"pound·inches", pound_force_inch},
    {"in·ozf", ounce_force_inch},
    {"in·oz", ounce_force_inch},
    {"oz·in", ounce_force_inch},
    {"kp", kilogram_force},
    {"um", micrometre},
    {"micron", micrometre},
    {"microns", micrometre},
    {"mil", thou},
    {"mils", thou},
    {"thous", thou},
    {"inch", inch},
    {"inches", inch},
    {"\"", inch},
    {"foot", foot},
    {"feet", foot},
    {"mile", mile},
    {"miles", mile},
    {"deg", degree},
    {"degree", degree},
    {"degrees", degree},
    {"sec", second},
    {"secs", second},
    {"second", second},
    {"seconds", second},
    {"mins", minute},
    {"minute", minute},
    {"minutes", minute},
    {"hr", hour},
    {"hrs", hour},
    {"hour", hour},
    {"hours", hour},
    {"d", day},
    {"ml", millilitre},
    {"cl", centilitre},
    {"l", litre},
    {"litre", litre},
    {"litres", litre},
    {"liter", litre},
    {"liters", litre},
    {"cm3", cubic_centimetre},
    {"cm^3", cubic_centimetre},
    {"cc", cubic_centimetre},
    {"ccm", cubic_centimetre},
    {"fl·oz", us_fluid_ounce},
    {"floz", us_fluid_ounce},
    {"qt", us_quart},
    {"qts", us_quart},
    {"quart", us_quart},
    {"quarts", us_quart},
    {"gram", gram},
    {"grams", gram},
    {"lbs", pound},
    {"PSI", psi},
    {"lbf/in²", psi},
    {"lbf/in^2", psi},
    {"lb/in²", psi},
    {"bars", bar},
    {"percent", percent},
    {"pc", piece},
    {"pcs", piece},
    {"degC", celsius},
    {"deg·C", celsius},
    {"°·C", celsius},
    {"degF", fahrenheit},
    {"deg·F", fahrenheit},
    {"°·F", fahrenheit},
    {"rpm", revolution_per_minute},
    {"RPM", revolution_per_minute},
    {"rev/min", revolution_per_minute},
    {"kph", kilometre_per_hour},
    {"km/hr", kilometre_per_hour},
    {"mph", mile_per_hour},
    {"volt", volt},
    {"volts", volt},
    {"amp", ampere},
    {"amps", ampere},
    {"ohm", ohm},
    {"ohms", ohm},
    {"kohm", kiloohm},
};

// `US fl oz` in its normal form has points where its symbol has spaces.
constexpr Spelling joined_symbols[] = {{"US·fl·oz", us_fluid_ounce}, {"US·qt", us_quart}};

constexpr std::size_t plural_count = [] {
    std::size_t count = 0;
    for (const UnitRow& each : rows) count += each.plural.empty() ? 0 : 1;
    return count;
}();

constexpr auto spellings = [] {
    std::array<Spelling, std::size(rows) + plural_count + std::size(more_spellings) + std::size(joined_symbols)> all{};
    std::size_t used = 0;
    for (const UnitRow& each : rows) {
        all[used++] = {each.symbol, each.unit};
        if (!each.plural.empty()) all[used++] = {each.plural, each.unit};
    }
    for (const Spelling& each : more_spellings) all[used++] = each;
    for (const Spelling& each : joined_symbols) all[used++] = each;
    return all;
}();

constexpr bool no_spelling_twice() {
    for (std::size_t i = 0; i < spellings.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {
            if (spellings[i].text == spellings[j].text) return false;
        }
    }
    return true;
}
static_assert(no_spelling_twice());

struct Sign {
    std::string_view from;
    std::string_view to; // empty: joins
};
// What joins two words of a unit, and signs that look alike. In UTF-8, longest needed first is of no matter: none
// begins another.
constexpr Sign signs[] = {
    {" ", ""},
    {"-", ""},
    {"*", ""},
    {".", ""},
    {"\u00A0", ""},
    {"\u202F", ""},
    {"\u2009", ""},
    {"\u2010", ""},
    {"\u2011", ""},
    {"\u00B7", ""},
    {"\u22C5", ""},
    {"\u2022", ""},
    {"\u2219", ""},
    {"\u03BC", "\u00B5"},
    {"\u00BA", "°"},
    {"\u02DA", "°"},
    {"\u2033", "\""},
    {"\u201D", "\""},
    {"\u2126", "\u03A9"},
    {"\u2103", "°C"},
    {"\u2109", "°F"},
};
constexpr std::size_t longest_spelling = 40; // bytes; the longest in the table has 17

constexpr bool bench_length(Unit unit) {
    return unit == micrometre || unit == millimetre || unit == centimetre || unit == metre || unit == thou ||
           unit == inch || unit == foot;
}
constexpr bool counted(Unit unit) {
    return rows[static_cast<std::size_t>(unit)].dimension == Dimension::count || unit == turn;
}

} // namespace

const UnitRow& row(Unit unit) {
    return rows[static_cast<std::size_t>(unit)];
}
std::span<const Spelling> all_spellings() {
    return spellings;
}
std::span<const Unit> all_units() {
    return units_in_order;
}

Dimension dimension(Unit unit) {
    return row(unit).dimension;
}
std::string_view symbol(Unit unit) {
    return row(unit).symbol;
}
std::string_view plural(Unit unit) {
    return row(unit).plural.empty() ? row(unit).symbol : row(unit).plural;
}
bool is_word(Unit unit) {
    return !row(unit).plural.empty();
}

bool convertible(Unit from, Unit to) {
    return from == to || (dimension(from) == dimension(to) && dimension(from) != Dimension::count);
}

std::string_view says(Dimension dim) {
    switch (dim) {
    case Dimension::torque:
        return "a torque";
    case Dimension::force:
        return "a force";
    case Dimension::length:
        return "a length";
    case Dimension::angle:
        return "an angle";
    case Dimension::time:
        return "a time";
    case Dimension::volume:
        return "a volume";
    case Dimension::mass:
        return "a mass";
    case Dimension::pressure:
        return "a pressure";
    case Dimension::percentage:
        return "a percentage";
    case Dimension::count:
        return "a count";
    case Dimension::temperature:
        return "a temperature";
    case Dimension::rotation:
        return "a speed of rotation";
    case Dimension::speed:
        return "a speed";
    case Dimension::voltage:
        return "a voltage";
    case Dimension::current:
        return "a current";
    case Dimension::resistance:
        return "a resistance";
    }
    return "a quantity";
}

std::string_view says(Wanted wanted) {
    switch (wanted) {
    case Wanted::anything:
        return "a quantity";
    case Wanted::torque:
        return "a torque";
    case Wanted::force:
        return "a force";
    case Wanted::length:
        return "a length at the bench";
    case Wanted::distance:
        return "a distance on the road";
    case Wanted::meter:
        return "a distance or run hours";
    case Wanted::angle:
        return "an angle";
    case Wanted::time:
        return "a time";
    case Wanted::volume:
        return "a volume";
    case Wanted::mass:
        return "a mass";
    case Wanted::pressure:
        return "a pressure";
    case Wanted::percentage:
        return "a percentage";
    case Wanted::count:
        return "a count";
    case Wanted::temperature:
        return "a temperature";
    case Wanted::amount:
        return "an amount";
    case Wanted::limit:
        return "a reading of a gauge";
    }
    return "a quantity";
}

std::string_view says_unit(Unit unit) {
    if (unit == kilometre || unit == mile) return "a distance on the road";
    if (unit == metre) return "a length";
    if (bench_length(unit)) return "a length at the bench";
    return says(dimension(unit));
}

std::string_view example_of(Wanted wanted) {
    switch (wanted) {
    case Wanted::anything:
        return "mm";
    case Wanted::torque:
        return "N·m";
    case Wanted::force:
        return "N";
    case Wanted::length:
        return "mm";
    case Wanted::distance:
        return "km";
    case Wanted::meter:
        return "km";
    case Wanted::angle:
        return "°";
    case Wanted::time:
        return "min";
    case Wanted::volume:
        return "mL";
    case Wanted::mass:
        return "g";
    case Wanted::pressure:
        return "bar";
    case Wanted::percentage:
        return "%";
    case Wanted::count:
        return "pieces";
    case Wanted::temperature:
        return "°C";
    case Wanted::amount:
        return "mL";
    case Wanted::limit:
        return "mm";
    }
    return "mm";
}

bool fits(Unit unit, Wanted wanted) {
    const Dimension dim = dimension(unit);
    switch (wanted) {
    case Wanted::anything:
        return true;
    case Wanted::torque:
        return dim == Dimension::torque;
    case Wanted::force:
        return dim == Dimension::force;
    case Wanted::length:
        return bench_length(unit);
    case Wanted::distance:
        return unit == metre || unit == kilometre || unit == mile;
    case Wanted::meter:
        return unit == kilometre || unit == mile || unit == hour;
    case Wanted::angle:
        return dim == Dimension::angle;
    case Wanted::time:
        return dim == Dimension::time;
    case Wanted::volume:
        return dim == Dimension::volume;
    case Wanted::mass:
        return dim == Dimension::mass;
    case Wanted::pressure:
        return dim == Dimension::pressure;
    case Wanted::percentage:
        return dim == Dimension::percentage;
    case Wanted::count:
        return counted(unit);
    case Wanted::temperature:
        return dim == Dimension::temperature;
    case Wanted::amount:
        return dim == Dimension::volume || dim == Dimension::mass || dim == Dimension::count || bench_length(unit);
    case Wanted::limit:
        return unit != kilometre && unit != mile;
    }
    return false;
}

std::string normal_spelling(std::string_view text) {
    if (text.empty() || text.size() > longest_spelling) return {};
    std::string normal;
    bool join = false;
    std::string_view joined_by;
    for (std::size_t at = 0; at < text.size();) {
        const Sign* found = nullptr;
        for (const Sign& sign : signs) {
            if (text.substr(at).starts_with(sign.from)) found = &sign;
        }
        if (found != nullptr && found->to.empty()) {
            if (normal.empty()) return {}; // `·m`
            join = true;
            joined_by = found->from;
            at += found->from.size();
            continue;
        }
        if (join) normal += "·";
        join = false;
        if (found != nullptr) {
            normal += found->to;
            at += found->from.size();
        } else {
            normal += text[at++];
        }
    }
    if (join && joined_by != ".") return {}; // `in.` ends like that, `N·` does not
    return normal;
}

std::optional<Unit> find_unit(std::string_view spelling) {
    const std::string normal = normal_spelling(spelling);
    if (normal.empty()) return std::nullopt;
    for (const Spelling& each : spellings) {
        if (each.text == normal) return each.unit;
    }
    return std::nullopt;
}

} // namespace benchleaf::units
