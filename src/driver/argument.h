// What stands on a command line for the bench: a torque, a size, a stand of the meter. Read as the language reads it; what is wrong with one is a
// `Wrong`, and says what `usage_error` says. For the calculators, `torque` and `wear`.
#pragma once

#include "units/quantity.h"

#include <string>
#include <string_view>
#include <variant>

namespace benchleaf::driver {

struct Wrong {
    std::string what;
};
template <class T>
using Read = std::variant<T, Wrong>;

// "--new `9`: a quantity needs its unit; for instance `9 mm`"
Wrong wrong_argument(std::string_view option, std::string_view text, const units::ParseError& error);

template <class T>
Read<T> accept(units::Parsed<T> parsed, std::string_view option, std::string_view text) {
    if (auto* value = std::get_if<T>(&parsed)) return std::move(*value);
    return wrong_argument(option, text, std::get<units::ParseError>(parsed));
}

std::string plainly(const units::Quantity& quantity); // with plain spaces

} // namespace benchleaf::driver
