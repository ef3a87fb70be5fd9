// The wear line against NIST's reference data, published tables of Student's t, and an example worked by hand.
#include "mechanics/wear_line.h"

#include <cmath>
#include <doctest/doctest.h>
#include <string_view>
#include <vector>

using namespace benchleaf;
using namespace benchleaf::mechanics;
using units::Quantity;

namespace {

Quantity read(std::string_view text) {
    auto result = units::parse_quantity(text);
    REQUIRE_MESSAGE(std::holds_alternative<Quantity>(result), text);
    return std::get<Quantity>(result);
}
std::string plain(const Quantity& quantity) {
    return units::print(quantity, {.plain_spaces = true});
}
WearReading taken(std::string_view meter, std::string_view size) {
    return {read(meter), read(size)};
}
template <class T, class Other>
T right(const std::variant<T, Other>& result) {
    REQUIRE(std::holds_alternative<T>(result));
    return std::get<T>(result);
}
bool near(double value, double published, double part) {
    return std::abs(value - published) <= part * std::abs(published);
}

WearLimit limit_of_pad() {
    return {WearLimit::Sort::minimum, read("2.0 mm"), read("0.1 mm"), read("0.1 mm")};
}

} // namespace

TEST_CASE(
    "least squares: NIST StRD, Norris (linear, lower level of difficulty; data and certified values from memory)") {
    const std::vector<Point> norris{
        {0.2, 0.1},     {337.4, 338.8}, {118.2, 118.1}, {884.6, 888.0}, {10.1, 9.2},    {226.5, 228.1},
        {666.3, 668.5}, {996.3, 998.5}, {448.6, 449.1}, {777.0, 778.9}, {558.2, 559.2}, {0.4, 0.3},
        {0.6, 0.1},     {775.5, 778.1}, {666.9, 668.8}, {338.0, 339.3}, {447.5, 448.9}, {11.6, 10.8},
        {556.0, 557.7}, {228.1, 228.3}, {995.8, 998.0}, {887.6, 888.8}, {120.2, 119.6}, {0.3, 0.3},
        {0.3, 0.6},     {556.8, 557.6}, {339.1, 339.3}, {887.2, 888.0}, {999.0, 998.5}, {779.0, 778.9},
        {11.1, 10.2},   {118.3, 117.6}, {229.2, 228.9}, {669.1, 668.4}, {448.9, 449.2}, {0.5, 0.2}};
    const auto line = least_squares(norris);
    REQUIRE(line);
    constexpr double nine_digits = 1e-9;
    CHECK(near(line->intercept, -0.262323073774029, nine_digits));
    CHECK(near(line->slope, 1.00211681802045, nine_digits));
    CHECK(near(line->deviation, 0.884796396144373, nine_digits));
    CHECK(near(line->slope_error, 0.429796848199937e-03, nine_digits)); // certified, from memory
}

TEST_CASE("Student's t, one-sided: the table that every textbook prints (from memory)") {
    struct Row {
        double probability;
        std::size_t degrees;
        double t;
    };
    constexpr Row rows[] = {{0.95, 1, 6.314},   {0.95, 2, 2.920},   {0.95, 3, 2.353},  {0.95, 4, 2.132},
                            {0.95, 5, 2.015},   {0.95, 10, 1.812},  {0.95, 20, 1.725}, {0.95, 30, 1.697},
                            {0.975, 1, 12.706}, {0.975, 10, 2.228}, {0.99, 5, 3.365},  {0.95, 120, 1.658}};
    for (const Row& row : rows) {
        CAPTURE(row.degrees);
        CHECK(std::abs(student_t(row.probability, row.degrees) - row.t) < 0.0005);
    }
}

TEST_CASE("a keep figure from a line, worked by hand") {
    // 8.0, 7.5, 7.0 mm at 10 000, 12 000, 14 000 km: 0.25 mm in 1 000 km, on the line, so the bound is the rate itself.
    const std::vector<WearReading> even{taken("10 000 km", "8.0 mm"), taken("14 000 km", "7.0 mm"),
                                        taken("12 000 km", "7.5 mm")};
    const WearLine line = right(wear_line(limit_of_pad(), even));
    CHECK(near(line.rate, 0.00025, 1e-9));
    CHECK(near(line.rate_bound, 0.00025, 1e-6));
    // 2.0 + 0.1 + 0.25 · 6 = 3.6
    CHECK(plain(right(keep_figure(limit_of_pad(), line, read("6 000 km")))) == "3.6 mm");
    CHECK(plain(right(keep_figure(limit_of_pad(), line, read("6 100 km")))) == "3.7 mm");
    CHECK(plain(*expected_size(line, limit_of_pad(), read("16 000 km"))) == "6.5 mm");
    // From 6.1 at 17 600 km, 4.0 are left to 2.1: 16 000 km on.
    const Reached reached = right(limit_reached(limit_of_pad(), line, taken("17 600 km", "6.1 mm")));
    CHECK(plain(*reached.expected) == "33 600 km");
    CHECK(plain(*right(limit_reached(limit_of_pad(), line, taken("30 000 km", "1.9 mm"))).expected) == "30 000 km");
    // In miles the same.
    CHECK(plain(right(keep_figure(limit_of_pad(), line, read("3 728 mi")))) == "3.6 mm");
}

TEST_CASE("a line that is not sure asks for more") {
    // x̄ = 12 000, ȳ = 7.5; slope −0.00025, residuals −0.1, +0.2, −0.1 (8.0−0.1, 7.5+0.2, 7.0−0.1): s² = 0.06 / 1, s(slope) = √0.06 / √(8·10⁶)
    // = 8.660·10⁻⁵; t(0.95, 1) = 6.314: bound 0.00025 + 0.0005468 = 0.0007968; over 6 000 km 4.781 mm; keep 2.1 + 4.781 = 6.881 → 6.9.
    const std::vector<WearReading> rough{taken("10 000 km", "7.9 mm"), taken("12 000 km", "7.7 mm"),
                                         taken("14 000 km", "6.9 mm")};
    const WearLine line = right(wear_line(limit_of_pad(), rough));
    CHECK(near(line.rate, 0.00025, 1e-9));
    CHECK(near(line.rate_bound, 0.0007968, 1e-3));
    CHECK(plain(right(keep_figure(limit_of_pad(), line, read("6 000 km")))) == "6.9 mm");
    const Reached reached = right(limit_reached(limit_of_pad(), line, taken("16 000 km", "6.5 mm")));
    CHECK(units::compare(*reached.soonest, *reached.expected) < 0);
}

TEST_CASE("a maximum is the mirror of a minimum") {
    const WearLimit drum{WearLimit::Sort::maximum, read("182.0 mm"), read("0.1 mm"), read("0.1 mm")};
    const std::vector<WearReading> worn{taken("100 h", "180.0 mm"), taken("200 h", "180.2 mm"),
                                        taken("300 h", "180.4 mm")};
    const WearLine line = right(wear_line(drum, worn));
    CHECK(near(line.rate, 0.002, 1e-9));
    CHECK(plain(right(keep_figure(drum, line, read("250 h")))) == "181.4 mm");
    CHECK(plain(*right(limit_reached(drum, line, taken("300 h", "180.4 mm"))).expected) == "1 050 h");
}

TEST_CASE("what gives no line says why") {
    CHECK(std::get<NoLine>(wear_line(limit_of_pad(), std::vector{taken("1 km", "8 mm"), taken("2 km", "8 mm")})) ==
          NoLine::too_few);
    CHECK(std::get<NoLine>(wear_line(limit_of_pad(), std::vector{taken("1 km", "8 mm"), taken("1 km", "7 mm"),
                                                                 taken("1 km", "8 mm")})) == NoLine::one_meter);
    CHECK(std::get<NoLine>(wear_line(limit_of_pad(), std::vector{taken("1 km", "8 mm"), taken("2 h", "7 mm"),
                                                                 taken("3 km", "8 mm")})) == NoLine::other_units);
    // What seems to grow wears not at all, as far as the bound says so.
    const WearLine line =
        right(wear_line(limit_of_pad(), std::vector{taken("1 000 km", "5.0 mm"), taken("2 000 km", "6.0 mm"),
                                                    taken("3 000 km", "7.0 mm")}));
    CHECK(line.rate < 0);
    CHECK(plain(right(keep_figure(limit_of_pad(), line, read("6 000 km")))) == "2.1 mm");
    CHECK(!right(limit_reached(limit_of_pad(), line, taken("3 000 km", "7.0 mm"))).expected);
}
