#include "model/reports.h"

#include "base/text.h"
#include "model/kind.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::unknown_kind = {
    {"unknown-kind", messages::Level::error, "a file whose first key names no kind of file"}};

namespace found {

messages::Message& unknown_kind(Messages& out, Span at, std::string_view key) {
    std::vector<std::string> kinds;
    for (const std::string_view kind : kind_words) kinds.push_back(fmt::format("`{}`", kind));
    auto& message = out.add(checks::unknown_kind.rule, at,
                            key.empty() ? std::string("the file does not say what it is")
                                        : fmt::format("`{}` is no kind of file", key));
    message.help = fmt::format("the first key names the kind and the thing: {}", base::join_and(kinds));
    const std::string_view near = base::nearest(key, kind_words);
    messages::correct_slip(message, at, key, near);
    return message;
}

} // namespace found
} // namespace benchleaf::model
