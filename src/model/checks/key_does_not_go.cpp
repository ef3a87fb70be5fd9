#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::key_does_not_go = {
    {"key-does-not-go", messages::Level::error, "a key that does not go with what it stands beside"}};

namespace found {

void key_does_not_go(Messages& out, Span at, std::string text, Span other, std::string label, std::string help) {
    auto& message = out.add(checks::key_does_not_go.rule, at, std::move(text));
    message.labels.push_back({other, std::move(label)});
    message.help = std::move(help);
}

} // namespace found
} // namespace benchleaf::model
