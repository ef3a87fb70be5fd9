// The one file that sees cpp_rational: every sum here is a fraction of whole numbers of any length.
#include "units/exact.h"
#include "units/unit_table.h"

#include <algorithm>
#include <boost/multiprecision/cpp_int.hpp>
#include <limits>

namespace benchleaf::units {
namespace {

using boost::multiprecision::cpp_int;
using boost::multiprecision::cpp_rational;

constexpr int most_decimals = 18;

cpp_int power_of_ten(int exponent) {
    return boost::multiprecision::pow(cpp_int(10), static_cast<unsigned>(exponent));
}

cpp_rational number(const Quantity& quantity) {
    return {cpp_int(quantity.digits), power_of_ten(quantity.decimals)};
}

cpp_rational in_base(const Quantity& quantity) {
    const UnitRow& unit = row(quantity.unit);
    return (number(quantity) + unit.shift) * cpp_rational(unit.numerator, unit.denominator);
}

cpp_rational number_in(const Quantity& quantity, Unit to) {
    const UnitRow& unit = row(to);
    return in_base(quantity) * cpp_rational(unit.denominator, unit.numerator) - unit.shift;
}

std::optional<Quantity> fit(const cpp_int& digits, int decimals, Unit unit) {
    if (digits > std::numeric_limits<std::int64_t>::max() || digits < -std::numeric_limits<std::int64_t>::max())
        return std::nullopt;
    return Quantity{static_cast<std::int64_t>(digits), static_cast<std::uint8_t>(decimals), false, unit};
}

// The number as a decimal, with no fewer than `decimals` places and no more than it needs.
std::optional<Quantity> as_decimal(const cpp_rational& value, int decimals, Unit unit) {
    for (int places = decimals; places <= most_decimals; ++places) {
        const cpp_rational scaled = value * power_of_ten(places);
        if (denominator(scaled) == 1) return fit(numerator(scaled), places, unit);
    }
    return std::nullopt;
}

cpp_int rounded(const cpp_rational& value, Round round) {
    const cpp_int above = numerator(value);
    const cpp_int below = denominator(value); // > 0
    cpp_int down = above / below;             // towards zero
    if (above < 0 && down * below != above) down -= 1;
    if (round == Round::down || down * below == above) return down;
    if (round == Round::up) return down + 1;
    const cpp_rational part = value - down; // 0 < part < 1
    const cpp_rational half(1, 2);
    if (part > half || (part == half && value > 0)) return down + 1;
    return down;
}

// The power of ten of the leading digit: 0 for 1 to 9.99…, -1 for 0.1 to 0.99….
int leading_power(cpp_rational value) {
    if (value < 0) value = -value;
    int power = 0;
    while (value >= 10) {
        value /= 10;
        ++power;
    }
    while (value < 1) {
        value *= 10;
        --power;
    }
    return power;
}

std::optional<Quantity> to_places(const cpp_rational& value, int places, Round round, Unit unit) {
    places = std::min(places, most_decimals);
    if (places >= 0) return fit(rounded(value * power_of_ten(places), round), places, unit);
    const cpp_int step = power_of_ten(-places);
    return fit(rounded(value / step, round) * step, 0, unit);
}

int written_figures(const Quantity& quantity) {
    int figures = 1;
    for (std::int64_t rest = quantity.digits / 10; rest != 0; rest /= 10) ++figures;
    return std::clamp(figures, 2, 4);
}

int default_places(const Quantity& quantity, Unit to) {
    const cpp_rational value = number_in(quantity, to);
    if (value == 0) return quantity.decimals;
    return std::max(0, written_figures(quantity) - 1 - leading_power(value));
}

} // namespace

std::partial_ordering compare(const Quantity& a, const Quantity& b) {
    if (!convertible(a.unit, b.unit)) return std::partial_ordering::unordered;
    if (a.unit == b.unit && a.decimals == b.decimals) return a.digits <=> b.digits;
    const cpp_rational x = in_base(a);
    const cpp_rational y = in_base(b);
    if (x < y) return std::partial_ordering::less;
    if (x > y) return std::partial_ordering::greater;
    return std::partial_ordering::equivalent;
}

std::optional<Quantity> add(const Quantity& a, const Quantity& b) {
    if (!convertible(a.unit, b.unit) || dimension(a.unit) == Dimension::temperature) return std::nullopt;
    // With the decimals they were written with; where those do not fit, with as few as it takes; then in `b`'s unit.
    const int decimals = a.unit == b.unit ? std::max(a.decimals, b.decimals) : a.decimals;
    const cpp_rational value = number(a) + number_in(b, a.unit);
    std::optional<Quantity> sum = as_decimal(value, decimals, a.unit);
    if (!sum) sum = as_decimal(value, 0, a.unit);
    if (!sum) sum = as_decimal(number(b) + number_in(a, b.unit), 0, b.unit);
    if (sum) sum->relative = a.relative && b.relative;
    return sum;
}

std::optional<Quantity> multiply(const Quantity& quantity, std::int64_t count) {
    std::optional<Quantity> product = fit(cpp_int(quantity.digits) * count, quantity.decimals, quantity.unit);
    if (product) product->relative = quantity.relative;
    return product;
}

std::optional<Quantity> times(const Quantity& quantity, std::int64_t digits, int decimals) {
    return as_decimal(number(quantity) * cpp_rational(cpp_int(digits), power_of_ten(decimals)), quantity.decimals,
                      quantity.unit);
}

std::optional<Quantity> add_numbers(const Quantity& a, const Quantity& b) {
    if (a.unit != b.unit) return std::nullopt;
    return as_decimal(number(a) + number(b), std::max(a.decimals, b.decimals), a.unit);
}

std::optional<Quantity> convert_exactly(const Quantity& quantity, Unit to) {
    if (!convertible(quantity.unit, to)) return std::nullopt;
    if (quantity.unit == to) return quantity;
    std::optional<Quantity> result = as_decimal(number_in(quantity, to), 0, to);
    if (result) result->relative = quantity.relative;
    return result;
}

double value_in(const Quantity& quantity, Unit unit) {
    if (!convertible(quantity.unit, unit)) return std::numeric_limits<double>::quiet_NaN();
    if (quantity.unit == unit && quantity.decimals == 0) return static_cast<double>(quantity.digits);
    return static_cast<double>(number_in(quantity, unit));
}

std::optional<Quantity> convert(const Quantity& quantity, Unit to, Decimals decimals, Round round) {
    if (!convertible(quantity.unit, to)) return std::nullopt;
    std::optional<Quantity> result =
        to_places(number_in(quantity, to), std::clamp(decimals.places, 0, most_decimals), round, to);
    if (result) result->relative = quantity.relative;
    return result;
}

std::optional<Quantity> convert(const Quantity& quantity, Unit to, Significant significant, Round round) {
    if (!convertible(quantity.unit, to)) return std::nullopt;
    const cpp_rational value = number_in(quantity, to);
    const int figures = std::clamp(significant.figures, 1, most_decimals);
    const int places = value == 0 ? 0 : figures - 1 - leading_power(value);
    std::optional<Quantity> result = to_places(value, places, round, to);
    // 9.96 to two figures is 10, not 10.0: the carry made a figure more.
    if (result && result->decimals > 0 && result->digits != 0 &&
        leading_power(number(*result)) > leading_power(value)) {
        result->digits /= 10;
        result->decimals = static_cast<std::uint8_t>(result->decimals - 1);
    }
    if (result) result->relative = quantity.relative;
    return result;
}

std::optional<Quantity> convert(const Quantity& quantity, Unit to, Round round) {
    if (!convertible(quantity.unit, to)) return std::nullopt;
    return convert(quantity, to, Decimals{default_places(quantity, to)}, round);
}

namespace {

// The two limits to so many decimals that three quarters of the width stay; nullopt when 18 do not do.
std::optional<Range> convert_limits(const Range& range, Unit to, int places) {
    const cpp_rational width = number_in(range.upper, to) - number_in(range.lower, to);
    for (; places <= most_decimals; ++places) {
        const std::optional<Quantity> lower = convert(range.lower, to, Decimals{places}, Round::up);
        const std::optional<Quantity> upper = convert(range.upper, to, Decimals{places}, Round::down);
        if (!lower || !upper) return std::nullopt;
        const cpp_rational kept = number(*upper) - number(*lower);
        if (kept >= 0 && kept * 4 >= width * 3) return Range{*lower, *upper};
    }
    return std::nullopt;
}

} // namespace

std::optional<Range> convert(const Range& range, Unit to) {
    if (!convertible(range.lower.unit, to) || !convertible(range.upper.unit, to)) return std::nullopt;
    if (range.lower.unit == to && range.upper.unit == to) return range;
    return convert_limits(range, to, default_places(range.upper, to));
}

std::optional<Figure> convert(const Figure& figure, Unit to) {
    if (!convertible(figure.nominal.unit, to)) return std::nullopt;
    if (figure.nominal.unit == to) return figure;
    const int places = default_places(figure.nominal, to);
    if (compare(figure.lower, figure.upper) == std::partial_ordering::equivalent) {
        const std::optional<Quantity> nominal = convert(figure.nominal, to, Decimals{places});
        if (!nominal) return std::nullopt;
        return Figure{*nominal, *nominal, *nominal, Figure::Form::plain, {}};
    }
    const std::optional<Range> limits = convert_limits({figure.lower, figure.upper}, to, places);
    if (!limits) return std::nullopt;
    std::optional<Quantity> nominal = convert(figure.nominal, to, Decimals{limits->lower.decimals});
    if (!nominal) return std::nullopt;
    if (nominal->digits < limits->lower.digits) nominal = limits->lower;
    if (nominal->digits > limits->upper.digits) nominal = limits->upper;
    Figure result{*nominal, limits->lower, limits->upper, Figure::Form::range, {}};
    result.nominal.relative = result.lower.relative = result.upper.relative = false;
    return result;
}

} // namespace benchleaf::units
