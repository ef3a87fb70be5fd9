#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::misspelt_feature = {{"misspelt-feature", messages::Level::error,
                                         "a vehicle has something by one spelling, and it is asked for by another"}};

namespace found {

void misspelt_feature(Messages& out, Span at, std::string text, std::string_view word, std::string_view meant,
                      Span seen, std::string label, Meant how) {
    auto& message =
        out.add(checks::misspelt_feature.rule, at, std::move(text), fmt::format("did you mean `{}`?", meant));
    message.labels.push_back({seen, std::move(label)});
    message.help =
        how == Meant::surely
            ? fmt::format("write `{}`", meant)
            : fmt::format("write `{}` here, or `{}` at the vehicle; which is right, you alone know", meant, word);
    if (how == Meant::surely) messages::correct_slip(message, at, word, meant);
}

} // namespace found
} // namespace benchleaf::model
