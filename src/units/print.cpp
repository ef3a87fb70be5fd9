#include "units/quantity.h"

#include <algorithm>

namespace benchleaf::units {
namespace {

constexpr std::string_view hard_space = "\u00A0";

std::string_view space(PrintOptions options) {
    return options.plain_spaces ? " " : hard_space;
}

std::string digits_of(const Quantity& quantity) {
    // The magnitude as unsigned, because the least int64 has no positive.
    const std::uint64_t magnitude = quantity.digits < 0 ? 0 - static_cast<std::uint64_t>(quantity.digits)
                                                        : static_cast<std::uint64_t>(quantity.digits);
    std::string digits = std::to_string(magnitude);
    const std::size_t least = std::size_t{quantity.decimals} + 1;
    if (digits.size() < least) digits.insert(0, least - digits.size(), '0');
    return digits;
}

// One thing, or a part of one: `1 click`, `0.25 turn`; but `0 clicks`.
bool singular(const Quantity& quantity) {
    if (quantity.digits == 0) return false;
    const std::string digits = digits_of(quantity);
    const std::string_view whole = std::string_view(digits).substr(0, digits.size() - quantity.decimals);
    const std::string_view part = std::string_view(digits).substr(whole.size());
    return whole == "0" || (whole == "1" && part.find_first_not_of('0') == std::string_view::npos);
}

std::string unit_after(const Quantity& quantity, PrintOptions options) {
    if (quantity.unit == Unit::degree) return std::string(symbol(quantity.unit));
    std::string text(space(options));
    for (const char byte : singular(quantity) ? symbol(quantity.unit) : plural(quantity.unit)) {
        if (byte == ' ') {
            text += space(options);
        } else {
            text += byte;
        }
    }
    return text;
}

std::string_view to_sign(PrintOptions options) {
    return options.two_dots ? ".." : "–";
}

} // namespace

std::string print_number(const Quantity& quantity, PrintOptions options) {
    const std::string digits = digits_of(quantity);
    const std::size_t whole = digits.size() - quantity.decimals;
    std::string text = quantity.digits < 0 ? "\u2212" : quantity.relative ? "+" : "";
    for (std::size_t i = 0; i < whole; ++i) {
        if (i > 0 && (whole - i) % 3 == 0) text += space(options);
        text += digits[i];
    }
    if (quantity.decimals > 0) {
        text += options.decimal_mark;
        text += digits.substr(whole);
    }
    return text;
}

std::string print(const Quantity& quantity, PrintOptions options) {
    return print_number(quantity, options) + unit_after(quantity, options);
}

std::string print(const Range& range, PrintOptions options) {
    return print_number(range.lower, options) + std::string(to_sign(options)) + print(range.upper, options);
}

std::string print(const Figure& figure, PrintOptions options) {
    const std::string gap(space(options));
    switch (figure.form) {
    case Figure::Form::plain:
        break;
    case Figure::Form::plus_minus:
        return print_number(figure.nominal, options) + gap + "±" + print(figure.tolerance, options);
    case Figure::Form::plus_minus_percent:
        return print(figure.nominal, options) + gap + "±" + print(figure.tolerance, options);
    case Figure::Form::range:
        return print(Range{figure.lower, figure.upper}, options);
    }
    return print(figure.nominal, options);
}

} // namespace benchleaf::units
