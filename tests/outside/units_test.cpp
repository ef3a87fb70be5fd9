// Units against published factors and, live, against GNU units (Debian package units).
#include "units/quantity.h"
#include "units/tightening.h"

#include <array>
#include <cmath>
#include <cstdio>
#include <doctest/doctest.h>
#include <string>
#include <vector>

using namespace benchleaf::units;

namespace {

Quantity read(std::string_view text, Wanted wanted = Wanted::anything) {
    auto result = parse_quantity(text, wanted);
    REQUIRE_MESSAGE(std::holds_alternative<Quantity>(result), text);
    return std::get<Quantity>(result);
}
Figure read_figure(std::string_view text, Wanted wanted = Wanted::torque) {
    auto result = parse_figure(text, wanted);
    REQUIRE_MESSAGE(std::holds_alternative<Figure>(result), text);
    return std::get<Figure>(result);
}
std::string plain(const auto& value) {
    return print(value, {.plain_spaces = true});
}

struct Bad {
    std::string_view text;
    Wanted wanted;
    std::string_view name;
    std::string_view at;  // the bytes pointed at
    std::string_view fix; // empty: none
};
template <class T>
void refuses(const Parsed<T>& result, const Bad& bad) {
    CAPTURE(bad.text);
    REQUIRE(std::holds_alternative<ParseError>(result));
    const auto& error = std::get<ParseError>(result);
    CHECK(error.name == bad.name);
    REQUIRE(error.begin <= error.end);
    REQUIRE(error.end <= bad.text.size());
    CHECK(bad.text.substr(error.begin, error.end - error.begin) == bad.at);
    CHECK(error.replacement.value_or("") == bad.fix);
    CHECK(!error.sentence.empty());
}

// What GNU units makes of `1 from` in `to`; NaN where it is not installed or does not know them.
double gnu_units(const std::string& from, const std::string& to) {
    const std::string command = "units -t -o '%.17g' '" + from + "' '" + to + "' 2>/dev/null";
    FILE* pipe = popen(command.c_str(), "r");
    if (pipe == nullptr) return std::nan("");
    std::array<char, 64> line{};
    const bool any = std::fgets(line.data(), line.size(), pipe) != nullptr;
    pclose(pipe);
    if (!any) return std::nan("");
    char* end = nullptr;
    const double value = std::strtod(line.data(), &end);
    return end == line.data() ? std::nan("") : value;
}

} // namespace

TEST_CASE("published factors") {
    // Exact by definition (the pound, the inch and standard gravity); NIST SP 811 App. B.8 prints them rounded: quoted.
    struct Row {
        std::string_view from;
        Unit to;
        std::string_view exact;
    };
    const Row rows[] = {
        {"1 lbf·ft", Unit::newton_metre, "1.3558179483314004 N·m"},
        {"1 lbf·in", Unit::newton_metre, "0.1129848290276167 N·m"},
        {"1 kgf·m", Unit::newton_metre, "9.80665 N·m"},
        {"1 in", Unit::millimetre, "25.4 mm"},
        {"1 mil", Unit::millimetre, "0.0254 mm"},
        {"1 US fl oz", Unit::millilitre, "29.5735295625 mL"},
        {"1 US qt", Unit::millilitre, "946.352946 mL"},
        {"1 mi", Unit::kilometre, "1.609344 km"},
        {"1 lb", Unit::gram, "453.59237 g"},
        {"212 °F", Unit::celsius, "100 °C"},
        {"-40 °F", Unit::celsius, "-40 °C"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.from);
        const std::optional<Quantity> converted = convert_exactly(read(row.from), row.to);
        REQUIRE(converted);
        CHECK(*converted == read(row.exact));
    }
    // 1 ozf·in = 0.00706155181422604375 N·m has too many digits for an exact decimal: its published digits are the first 15.
    CHECK(convert(read("1 ozf·in"), Unit::newton_metre, Decimals{17}, Round::down)->digits == 706155181422604);
    CHECK(convert(read("1 psi"), Unit::kilopascal, Decimals{12}, Round::down) == read("6.894757293168 kPa"));
}

TEST_CASE("against GNU units, every unit against every other of its dimension") {
    REQUIRE_MESSAGE(!std::isnan(gnu_units("inch", "mm")), "this test needs the package units: apt-get install units");
    const auto name = [](Unit unit) -> std::string {
        switch (unit) {
        case Unit::newton_metre:
            return "newton meter";
        case Unit::decanewton_metre:
            return "10 newton meter";
        case Unit::centinewton_metre:
            return "0.01 newton meter";
        case Unit::kilogram_force_metre:
            return "kgf meter";
        case Unit::kilogram_force_centimetre:
            return "kgf cm";
        case Unit::pound_force_foot:
            return "lbf foot";
        case Unit::pound_force_inch:
            return "lbf inch";
        case Unit::ounce_force_inch:
            return "(1|16) lbf inch";
        case Unit::newton:
            return "newton";
        case Unit::decanewton:
            return "10 newton";
        case Unit::kilonewton:
            return "kilonewton";
        case Unit::kilogram_force:
            return "kgf";
        case Unit::pound_force:
            return "lbf";
        case Unit::micrometre:
            return "micrometer";
        case Unit::millimetre:
            return "mm";
        case Unit::centimetre:
            return "cm";
        case Unit::metre:
            return "m";
        case Unit::kilometre:
            return "km";
        case Unit::thou:
            return "mil";
        case Unit::inch:
            return "inch";
        case Unit::foot:
            return "foot";
        case Unit::mile:
            return "mile";
        case Unit::degree:
            return "degree";
        case Unit::turn:
            return "circle";
        case Unit::second:
            return "second";
        case Unit::minute:
            return "minute";
        case Unit::hour:
            return "hour";
        case Unit::day:
            return "day";
        case Unit::millilitre:
            return "ml";
        case Unit::centilitre:
            return "cl";
        case Unit::litre:
            return "liter";
        case Unit::cubic_centimetre:
            return "cm^3";
        case Unit::us_fluid_ounce:
            return "usfloz";
        case Unit::us_quart:
            return "usquart";
        case Unit::milligram:
            return "mg";
        case Unit::gram:
            return "gram";
        case Unit::kilogram:
            return "kg";
        case Unit::ounce:
            return "ounce";
        case Unit::pound:
            return "pound";
        case Unit::kilopascal:
            return "kPa";
        case Unit::megapascal:
            return "MPa";
        case Unit::bar:
            return "bar";
        case Unit::psi:
            return "psi";
        case Unit::kilometre_per_hour:
            return "km/hour";
        case Unit::mile_per_hour:
            return "mile/hour";
        default:
            return {};
        }
    };
    int compared = 0;
    for (const Unit from : all_units()) {
        for (const Unit to : all_units()) {
            if (from == to || !convertible(from, to) || name(from).empty() || name(to).empty()) continue;
            const double theirs = gnu_units(name(from), name(to));
            const double ours = value_in({1, 0, false, from}, to);
            CAPTURE(symbol(from));
            CAPTURE(symbol(to));
            CAPTURE(theirs);
            CAPTURE(ours);
            CHECK(std::abs(ours - theirs) <= 1e-13 * theirs);
            ++compared;
        }
    }
    MESSAGE("pairs compared: " << compared);
    CHECK(compared > 200);
    CHECK(std::abs(value_in(read("68 °F"), Unit::celsius) - gnu_units("tempF(68)", "tempC")) < 1e-12);
}

TEST_CASE("spellings are read and printed in the one right form") {
    const std::array<std::string_view, 2> rows[] = {
        {"24 N·m", "24 N·m"},
        {"24 Nm", "24 N·m"},
        {"24 N m", "24 N·m"},
        {"24 N*m", "24 N·m"},
        {"24 N⋅m", "24 N·m"},
        {"24 N-m", "24 N·m"},
        {"24Nm", "24 N·m"},
        {"24\u00A0N·m", "24 N·m"},
        {"18 ft-lb", "18 lbf·ft"},
        {"18 ft·lb", "18 lbf·ft"},
        {"18 lb-ft", "18 lbf·ft"},
        {"18 lbf·ft", "18 lbf·ft"},
        {"18 ft-lbs", "18 lbf·ft"},
        {"18 ft.lbs.", "18 lbf·ft"},
        {"18 lbf-ft", "18 lbf·ft"},
        {"90 in-lb", "90 lbf·in"},
        {"90 lbf·in", "90 lbf·in"},
        {"2.5 kgf·m", "2.5 kgf·m"},
        {"25 kgf-cm", "25 kgf·cm"},
        {"2.5 kg-m", "2.5 kgf·m"},
        {"80 \u00B5m", "80 µm"},
        {"80 \u03BCm", "80 µm"},
        {"3 thou", "3 thou"},
        {"3 mil", "3 thou"},
        {"3 mils", "3 thou"},
        {"1/4 in", "0.25 in"},
        {"1 1/2\"", "1.5 in"},
        {"90 deg", "90°"},
        {"90°", "90°"},
        {"90 \u00BA", "90°"},
        {"10 %", "10 %"},
        {"12 460 km", "12 460 km"},
        {"12460 km", "12 460 km"},
        {"12\u202F460 km", "12 460 km"},
        {"+6 000 km", "+6 000 km"},
        {"812 hours", "812 h"},
        {"1 click", "1 click"},
        {"5 click", "5 clicks"},
        {"2 turns", "2 turns"},
        {"1/4 turn", "0.25 turn"},
        {"1.9 l", "1.9 L"},
        {"10 fl. oz.", "10 US fl oz"},
        {"1 quart", "1 US qt"},
        {"-5 °C", "−5 °C"},
        {"\u22125 degC", "−5 °C"},
        {"1400 rpm", "1 400 r/min"},
        {"32 PSI", "32 psi"},
        {"50 cc", "50 cm³"},
    };
    for (const auto& [written, printed] : rows) CHECK(plain(read(written)) == printed);
    CHECK(print(read("12 460 km")) == "12\u00A0460\u00A0km");
    CHECK(print(read("2.5 mm"), {.plain_spaces = true, .decimal_mark = ','}) == "2,5 mm");
    CHECK(plain(std::get<Range>(parse_range("5..7 clicks"))) == "5–7 clicks");
    CHECK(print(std::get<Range>(parse_range("5–7 clicks")), {.plain_spaces = true, .two_dots = true}) == "5..7 clicks");
    CHECK(plain(read_figure("24 Nm +/-10%")) == "24 N·m ±10 %");
    CHECK(plain(read_figure("24 N·m ±2 N·m")) == "24 ±2 N·m");
    CHECK(plain(read_figure("30-36 N·m")) == "30–36 N·m");
    CHECK(read("24 N·m") != read("24.0 N·m"));
    CHECK(std::get<Decimal>(parse_decimal("1.25")) == Decimal{125, 2});
}

TEST_CASE("tolerances are exact") {
    const Figure percent = read_figure("24 N·m ±10 %");
    CHECK(percent.lower == read("21.6 N·m"));
    CHECK(percent.upper == read("26.4 N·m"));
    const Figure range = read_figure("30..35 N·m");
    CHECK(range.nominal == read("32.5 N·m"));
    const Figure absolute = read_figure("24 ±0.5 N·m");
    CHECK(absolute.lower == read("23.5 N·m"));
    CHECK(absolute.upper == read("24.5 N·m"));
    CHECK(read_figure("75 ±5 °C", Wanted::anything).upper == read("80 °C"));
}

TEST_CASE("mistakes are pointed at") {
    const Bad quantities[] = {
        {"25", Wanted::torque, "quantity-without-unit", "25", ""},
        {" 2.5 ", Wanted::length, "quantity-without-unit", "2.5", ""},
        {"24 mm", Wanted::torque, "wrong-dimension", "mm", ""},
        {"24 lb", Wanted::torque, "wrong-dimension", "lb", ""},
        {"5 km", Wanted::length, "wrong-dimension", "km", ""},
        {"5 mm", Wanted::meter, "wrong-dimension", "mm", ""},
        {"24 nm", Wanted::torque, "unknown-unit", "nm", "N·m"},
        {"24 lbf·ff", Wanted::torque, "unknown-unit", "lbf·ff",
         ""}, // near to lbf·ft, but a letter may have been meant otherwise
        {"24 furlong", Wanted::torque, "unknown-unit", "furlong", ""},
        {"2,5 mm", Wanted::length, "decimal-comma", "2,5", "2.5"},
        {"0,125 mm", Wanted::length, "decimal-comma", "0,125", "0.125"},
        {"12,460 km", Wanted::meter, "decimal-comma", "12,460", ""}, // thousands or a decimal: only the author knows
        {"12.460 km", Wanted::meter, "bad-number", "12.460", ""},
        {"12 46 km", Wanted::meter, "bad-number", "12 46", ""},
        {"1.2.3 mm", Wanted::length, "bad-number", "1.2.3", ""},
        {".5 mm", Wanted::length, "bad-number", ".5", "0.5"},
        {"5. mm", Wanted::length, "bad-number", "5.", "5"},
        {"08 mm", Wanted::length, "bad-number", "08", ""},
        {"1/3 in", Wanted::length, "bad-number", "1/3", ""},
        {"-5 N·m", Wanted::torque, "bad-number", "-5", ""},
        {"0 N·m", Wanted::torque, "bad-number", "0", ""},
        {"9999999999999999999 mm", Wanted::length, "bad-number", "9999999999999999999", ""},
        {"N·m", Wanted::torque, "bad-number", "N·m", ""},
        {"", Wanted::torque, "bad-number", "", ""},
        {"5..7 mm", Wanted::length, "bad-number", "5..7 mm", ""},
    };
    for (const Bad& bad : quantities) refuses(parse_quantity(bad.text, bad.wanted), bad);
    const Bad figures[] = {
        {"36..30 N·m", Wanted::torque, "range-reversed", "36..30", ""},
        {"24 ±10 %", Wanted::torque, "quantity-without-unit", "24", ""},
        {"24 ±30 N·m", Wanted::torque, "bad-number", "30 N·m", ""},
        {"24 N·m ±2", Wanted::torque, "quantity-without-unit", "2", ""},
        {"24 N·m ±2 lbf·ft", Wanted::torque, "wrong-dimension", "lbf·ft", ""},
        {"20 lbf·ft..30 N·m", Wanted::torque, "wrong-dimension", "lbf·ft", ""},
        {"80 % ±5 %", Wanted::percentage, "bad-number", "5 %", ""},
        {"24,5 ±2 N·m", Wanted::torque, "decimal-comma", "24,5", "24.5"},
        {"1..2..3 N·m", Wanted::torque, "bad-number", "..", ""},
    };
    for (const Bad& bad : figures) refuses(parse_figure(bad.text, bad.wanted), bad);
    refuses(parse_range("5 clicks"), {"5 clicks", Wanted::count, "bad-number", "5 clicks", ""});
    refuses(parse_decimal("1.25 mm"), {"1.25 mm", Wanted::anything, "wrong-dimension", "mm", ""});
}

TEST_CASE("a rounded minimum goes up, a rounded maximum down (NIST SP 811 B.7: memory)") {
    CHECK(plain(*convert(read("25 N·m"), Unit::pound_force_foot)) == "18 lbf·ft");    // 18.439…
    CHECK(plain(*convert(read("120 N·m"), Unit::pound_force_foot)) == "88.5 lbf·ft"); // 88.507…
    CHECK(plain(*convert(read("2.0 mm"), Unit::inch)) == "0.079 in");                 // 0.07874…
    CHECK(plain(*convert(read("124 600 km"), Unit::mile)) == "77 423 mi");            // never coarser than ones
    CHECK(plain(*convert(read("2.0 mm"), Unit::inch, Significant{2}, Round::up)) == "0.079 in");
    CHECK(plain(*convert(read("2.0 mm"), Unit::inch, Significant{2}, Round::down)) == "0.078 in");
    CHECK(plain(*convert(read("9.96 mm"), Unit::millimetre, Significant{2})) == "10 mm");
    CHECK(plain(*convert(read("2.5 mm"), Unit::millimetre, Decimals{0})) == "3 mm");
    CHECK(plain(*convert(read("-2.5 mm"), Unit::millimetre, Decimals{0})) == "−3 mm");
    CHECK(plain(*convert(read("-2.5 mm"), Unit::millimetre, Decimals{0}, Round::up)) == "−2 mm");

    // 21.6..26.4 N·m is 15.93..19.47 lbf·ft.
    const Figure second = *convert(read_figure("24 N·m ±10 %"), Unit::pound_force_foot);
    CHECK(plain(second) == "16–19 lbf·ft");
    CHECK(plain(second.nominal) == "18 lbf·ft");
    // 17.627..17.775: whole numbers would leave nothing of it.
    CHECK(plain(*convert(read_figure("24 ±0.1 N·m"), Unit::pound_force_foot)) == "17.63–17.77 lbf·ft");
    CHECK(plain(*convert(std::get<Range>(parse_range("25..35 mm")), Unit::inch)) == "1.0–1.3 in");
}

TEST_CASE("sums and comparisons are exact over units") {
    CHECK(compare(read("1 in"), read("25.4 mm")) == std::partial_ordering::equivalent);
    CHECK(compare(read("1 in"), read("25.400001 mm")) == std::partial_ordering::less);
    CHECK(compare(read("2 turns"), read("720°")) == std::partial_ordering::equivalent);
    CHECK(compare(read("5 clicks"), read("5 drops")) == std::partial_ordering::unordered);
    CHECK(compare(read("1 N"), read("1 N·m")) == std::partial_ordering::unordered);
    CHECK(plain(*add(read("12 460 km"), read("+6 000 km"))) == "18 460 km");
    CHECK(plain(*add(read("10 mm"), read("1 in"))) == "35.4 mm");
    CHECK(!add(read("1 mm"), read("1 h")));
    CHECK(!add(read("1 °C"), read("1 °C")));
    CHECK(plain(*multiply(read("0.5 g"), 4)) == "2.0 g");
    CHECK(!multiply(read("999 999 999 999 999 999 mm"), 1000));
    CHECK(!convert_exactly(read("1 N·m"), Unit::pound_force_foot)); // no finite decimal
}

TEST_CASE("stages of a tightening") {
    const auto stages = [](std::vector<std::string_view> texts) { return parse_tightening(texts); };
    const auto reads = [&](std::vector<std::string_view> texts, std::string_view printed) {
        auto result = stages(std::move(texts));
        REQUIRE(std::holds_alternative<Tightening>(result));
        CHECK(plain(std::get<Tightening>(result)) == printed);
        return std::get<Tightening>(result);
    };
    const Tightening single = reads({"24 Nm ±10 %"}, "24 N·m ±10 %");
    CHECK(single_torque(single) != nullptr);
    const Tightening angled = reads({"20 N·m", "40 Nm", "+90 deg"}, "20 N·m, 40 N·m, +90°");
    CHECK(single_torque(angled) == nullptr);
    CHECK(torques(angled).size() == 2);
    reads({"contact +270°"}, "contact +270°");
    reads({"contact +1/2 turn"}, "contact +0.5 turn");
    const Tightening bearing = reads({"50 N·m turning", "back-off 90°", "10 N·m", "next-slot"},
                                     "50 N·m turning, back-off 90°, 10 N·m, next-slot");
    CHECK(std::get<ToTorque>(bearing.stages[0]).turning);
    CHECK(std::holds_alternative<NextSlot>(bearing.stages[3]));

    struct Row {
        std::vector<std::string_view> texts;
        std::size_t stage;
        std::string_view name;
    };
    const Row rows[] = {
        {{}, 0, "bad-stage"},
        {{"+90°"}, 0, "bad-stage"}, // from where?
        {{"next-slot"}, 0, "bad-stage"},
        {{"40 N·m", "20 N·m"}, 1, "bad-stage"}, // falls
        {{"40 N·m", "40 N·m"}, 1, "bad-stage"},
        {{"50 N·m turning", "back-off 90°"}, 1, "bad-stage"}, // leaves it loose
        {{"20 N·m", "next-slot", "+90°"}, 1, "bad-stage"},
        {{"20 N·m", "contact"}, 1, "bad-stage"},
        {{"20 N·m", "90°"}, 1, "wrong-dimension"}, // without its plus sign
        {{"20 N·m", "+90"}, 1, "quantity-without-unit"},
        {{"20 N·m", "+90 N·m"}, 1, "wrong-dimension"},
        {{"turning"}, 0, "bad-stage"},
        {{"contact 270°"}, 0, "bad-stage"},
        {{"20 N·m", "back-off -90°", "10 N·m"}, 1, "bad-stage"},
    };
    for (const Row& row : rows) {
        auto result = stages(row.texts);
        REQUIRE(std::holds_alternative<TighteningError>(result));
        CHECK(std::get<TighteningError>(result).stage == row.stage);
        CHECK(std::get<TighteningError>(result).error.name == row.name);
    }
}
