#include "model/reports.h"

#include "base/number_words.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::bad_number = {
    {"bad-number", messages::Level::error, "a text that is not the kind of number it has to be"}};

namespace found {

void bad_number(Messages& out, Span at, std::string_view text, std::string_view wanted) {
    auto& message = out.add(checks::bad_number.rule, at, fmt::format("`{}` is not {}", text, wanted));
    if (const auto number = base::number_word(text)) {
        message.help = fmt::format("write it in digits: `{}`", *number);
        message.fixes.push_back({fmt::format("write `{}`", *number), {{at, std::to_string(*number)}}});
        return;
    }
    message.help = "write it in digits alone, without a sign, a unit or a leading zero";
}

} // namespace found
} // namespace benchleaf::model
