#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::decimal_comma = {
    {"decimal-comma", messages::Level::error, "a decimal comma, which could be taken for a separator"}};

namespace found {

void decimal_comma(Messages& out, Span at, std::string_view text) {
    auto& message = out.add(checks::decimal_comma.rule, at, fmt::format("`{}` has a decimal comma", text));
    message.help = "the decimal mark is the point";
    message.fixes.push_back({"write a point", {{at, "."}}});
}

} // namespace found
} // namespace benchleaf::model
