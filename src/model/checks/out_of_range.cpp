#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::out_of_range = {
    {"out-of-range", messages::Level::error, "a number below or above what makes sense"}};

namespace found {

void out_of_range(Messages& out, Span at, std::string text, std::string help) {
    out.add(checks::out_of_range.rule, at, std::move(text)).help = std::move(help);
}

} // namespace found
} // namespace benchleaf::model
