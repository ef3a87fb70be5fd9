#include "driver/argument.h"

#include <fmt/format.h>

namespace benchleaf::driver {

Wrong wrong_argument(std::string_view option, std::string_view text, const units::ParseError& error) {
    std::string what = option.empty() ? fmt::format("`{}`: {}", text, error.sentence)
                                      : fmt::format("{} `{}`: {}", option, text, error.sentence);
    if (!error.help.empty()) what += "; " + error.help;
    return {std::move(what)};
}

std::string plainly(const units::Quantity& quantity) {
    return units::print(quantity, {.plain_spaces = true});
}

} // namespace benchleaf::driver
