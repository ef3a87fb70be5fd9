// Laws of quantities, over made-up ones. The seeds are fixed, so that a failure comes again.
#include "units/quantity.h"
#include "units/thread.h"
#include "units/tightening.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <random>
#include <string>

using namespace benchleaf::units;

namespace {

using Dice = std::mt19937_64;

std::int64_t between(Dice& dice, std::int64_t least, std::int64_t greatest) {
    return std::uniform_int_distribution<std::int64_t>(least, greatest)(dice);
}
Unit any_unit(Dice& dice) {
    return all_units()[static_cast<std::size_t>(between(dice, 0, static_cast<std::int64_t>(all_units().size()) - 1))];
}
// Up to so many digits, small numbers as often as great ones.
Quantity any_quantity(Dice& dice, int most_digits, Unit unit, bool negative) {
    std::int64_t top = 1;
    for (std::int64_t i = between(dice, 0, most_digits); i > 0; --i) top *= 10;
    const std::int64_t digits = between(dice, negative ? -(top - 1) : 0, top - 1);
    const auto decimals = static_cast<std::uint8_t>(between(dice, 0, most_digits < 6 ? 3 : 18));
    return {digits, decimals, digits >= 0 && between(dice, 0, 3) == 0, unit};
}
Quantity number_of(std::int64_t digits, std::uint8_t decimals, Unit unit) {
    return {digits, decimals, false, unit};
}
bool at_most(const Quantity& a, const Quantity& b) {
    return compare(a, b) <= 0;
}

} // namespace

TEST_CASE("what is printed reads back as the same quantity") {
    Dice dice(1);
    for (int i = 0; i < 20000; ++i) {
        const Quantity quantity = any_quantity(dice, 18, any_unit(dice), true);
        for (const bool plain_spaces : {false, true}) {
            const std::string text = print(quantity, {.plain_spaces = plain_spaces});
            CAPTURE(text);
            const auto result = parse_quantity(text);
            REQUIRE(std::holds_alternative<Quantity>(result));
            REQUIRE(std::get<Quantity>(result) == quantity);
        }
    }
}

TEST_CASE("what is printed reads back as the same range and figure, and lower ≤ nominal ≤ upper") {
    Dice dice(2);
    int figures = 0;
    for (int i = 0; i < 4000; ++i) {
        const Unit unit = any_unit(dice);
        Quantity a = any_quantity(dice, 8, unit, true);
        Quantity b = any_quantity(dice, 8, unit, true);
        a.relative = b.relative = false;
        if (!at_most(a, b)) std::swap(a, b);
        const Range range{a, b};
        for (const bool two_dots : {false, true}) {
            const auto read = parse_range(print(range, {.two_dots = two_dots}));
            REQUIRE(std::holds_alternative<Range>(read));
            REQUIRE(std::get<Range>(read) == range);
        }
        // A figure in each of its four forms, made by reading.
        Quantity tolerance = any_quantity(dice, 4, unit, false);
        tolerance.relative = false;
        const Quantity nominal = any_quantity(dice, 6, unit, true);
        const Quantity percent =
            number_of(between(dice, 0, 999), static_cast<std::uint8_t>(between(dice, 0, 2)), Unit::percent);
        for (const std::string& text : {print(range), print(nominal), print(nominal) + " ±" + print(tolerance),
                                        print(nominal) + " ±" + print(percent)}) {
            CAPTURE(text);
            const auto read = parse_figure(text);
            if (!std::holds_alternative<Figure>(
                    read)) { // per cent of per cent or of a temperature, a sum beyond 18 digits
                REQUIRE(std::get<ParseError>(read).name == "bad-number");
                continue;
            }
            ++figures;
            const Figure& figure = std::get<Figure>(read);
            REQUIRE(at_most(figure.lower, figure.nominal));
            REQUIRE(at_most(figure.nominal, figure.upper));
            const auto again = parse_figure(print(figure));
            REQUIRE(std::holds_alternative<Figure>(again));
            REQUIRE(std::get<Figure>(again) == figure);

            // In another unit it stays in order and inside what it was.
            const Unit other = any_unit(dice);
            if (!convertible(unit, other)) continue;
            const auto second = convert(figure, other);
            if (!second) continue;
            REQUIRE(at_most(second->lower, second->nominal));
            REQUIRE(at_most(second->nominal, second->upper));
            if (figure.form == Figure::Form::plain || compare(figure.lower, figure.upper) == 0) continue;
            REQUIRE(at_most(figure.lower, second->lower));
            REQUIRE(at_most(second->upper, figure.upper));
        }
    }
    CHECK(figures > 12000);
}

TEST_CASE("there and back is exact, and rounding goes where it says") {
    Dice dice(3);
    int exact = 0;
    for (int i = 0; i < 40000; ++i) {
        const Unit from = any_unit(dice);
        const Unit to = any_unit(dice);
        const Quantity quantity = any_quantity(dice, 9, from, true);
        if (!convertible(from, to)) {
            REQUIRE(!convert_exactly(quantity, to));
            REQUIRE(!convert(quantity, to));
            continue;
        }
        if (const auto there = convert_exactly(quantity, to)) {
            ++exact;
            REQUIRE(compare(*there, quantity) == 0);
            const auto back = convert_exactly(*there, from);
            REQUIRE(back);
            REQUIRE(compare(*back, quantity) == 0);
        }
        const int places = static_cast<int>(between(dice, 0, 6));
        const auto down = convert(quantity, to, Decimals{places}, Round::down);
        const auto up = convert(quantity, to, Decimals{places}, Round::up);
        const auto near = convert(quantity, to, Decimals{places});
        if (!down || !up || !near) continue; // beyond int64
        REQUIRE(at_most(*down, quantity));
        REQUIRE(at_most(quantity, *up));
        REQUIRE(up->digits - down->digits <= 1);
        REQUIRE((*near == *down || *near == *up));
        // The nearer of the two: its middle decides.
        const Quantity middle = number_of(down->digits * 10 + 5, static_cast<std::uint8_t>(places + 1), to);
        if (up->digits != down->digits && down->digits < 100000000000000000 && down->digits > -100000000000000000) {
            if (compare(quantity, middle) < 0) REQUIRE(*near == *down);
            if (compare(quantity, middle) > 0) REQUIRE(*near == *up);
        }
    }
    MESSAGE("exact conversions there and back: " << exact);
    CHECK(exact > 1000);
}

TEST_CASE("sums: order is of no matter, and adding n times is multiplying by n") {
    Dice dice(4);
    for (int i = 0; i < 5000; ++i) {
        const Unit unit = any_unit(dice);
        const Quantity a = any_quantity(dice, 9, unit, true);
        const Quantity b = any_quantity(dice, 9, any_unit(dice), true);
        const auto ab = add(a, b);
        const auto ba = add(b, a);
        REQUIRE(ab.has_value() == ba.has_value());
        if (ab) REQUIRE(compare(*ab, *ba) == 0);
        const auto twice = add(a, a);
        if (twice) REQUIRE(compare(*twice, *multiply(a, 2)) == 0);
    }
}

TEST_CASE("any bytes give a value or an error that points into the text") {
    Dice dice(5);
    // Pieces that reach deep into the reader, besides single bytes.
    const std::string_view pieces[] = {"24",
                                       "N·m",
                                       "±",
                                       "..",
                                       "10 %",
                                       "–",
                                       "+",
                                       "-",
                                       " ",
                                       "\u00A0",
                                       "1/4",
                                       "000",
                                       ",",
                                       ".",
                                       "mm",
                                       "contact",
                                       "back-off",
                                       "turning",
                                       "next-slot",
                                       "°",
                                       "M8",
                                       "x",
                                       "1.25",
                                       "LH",
                                       "UNF",
                                       "#10-32",
                                       "lbf·ft",
                                       "µ",
                                       "\xC2",
                                       "\xE2\x80",
                                       "99999999999999999999"};
    const auto look = [](std::string_view text, const auto& result) {
        const auto* error = std::get_if<ParseError>(&result);
        if (error == nullptr) return false;
        REQUIRE(error->begin <= error->end);
        REQUIRE(error->end <= text.size());
        REQUIRE((error->begin < error->end || text.empty()));
        const auto names = error_names();
        REQUIRE(std::find(names.begin(), names.end(), error->name) != names.end());
        REQUIRE(!error->sentence.empty());
        return true;
    };
    int read = 0;
    for (int i = 0; i < 20000; ++i) {
        std::string text;
        const std::int64_t length = between(dice, 0, 12);
        for (std::int64_t at = 0; at < length; ++at) {
            if (i % 2 == 0) {
                text += static_cast<char>(between(dice, 0, 255));
            } else {
                text += pieces[static_cast<std::size_t>(
                    between(dice, 0, static_cast<std::int64_t>(std::size(pieces)) - 1))];
            }
        }
        const auto wanted = static_cast<Wanted>(between(dice, 0, static_cast<std::int64_t>(Wanted::limit)));
        CAPTURE(text);
        read += look(text, parse_quantity(text, wanted)) ? 0 : 1;
        read += look(text, parse_range(text, wanted)) ? 0 : 1;
        read += look(text, parse_figure(text, wanted)) ? 0 : 1;
        read += look(text, parse_stage(text)) ? 0 : 1;
        read += look(text, parse_thread(text)) ? 0 : 1;
        look(text, parse_decimal(text));
    }
    MESSAGE("made-up texts that were read as something: " << read);
    CHECK(read > 50);
    const std::string long_text(100000, '7');
    look(long_text, parse_figure(long_text));
    const std::string behind = "24 " + long_text;
    look(behind, parse_figure(behind));
}

TEST_CASE("a fix that a machine may apply makes the text right") {
    for (const std::string_view text : {"2,5 mm", "0,125 mm", ".5 mm", "5. mm", "24 MM", "-,5 mm"}) {
        CAPTURE(text);
        const auto result = parse_quantity(text, Wanted::length);
        REQUIRE(std::holds_alternative<ParseError>(result));
        const auto& error = std::get<ParseError>(result);
        if (!error.replacement) {
            CHECK(text == "-,5 mm");
            continue;
        }
        std::string fixed(text);
        fixed.replace(error.begin, error.end - error.begin, *error.replacement);
        CHECK(std::holds_alternative<Quantity>(parse_quantity(fixed, Wanted::length)));
    }
}
