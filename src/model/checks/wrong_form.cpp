#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::wrong_form = {
    {"wrong-form", messages::Level::error, "a list, map or text where another form is wanted"}};

namespace found {

void wrong_form(Messages& out, Span at, std::string_view stands, const Expected& expected) {
    auto& message = out.add(checks::wrong_form.rule, at, fmt::format("`{}` takes {}", expected.key, expected.what),
                            fmt::format("{} stands here", stands));
    message.help = fmt::format("for instance `{}`", expected.example);
}

} // namespace found
} // namespace benchleaf::model
