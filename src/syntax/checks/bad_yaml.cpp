#include "syntax/reports.h"

namespace benchleaf::syntax {

const Check checks::bad_yaml = {{"bad-yaml", messages::Level::error, "a file that cannot be read as YAML"}};

namespace found {

messages::Message& bad_yaml(const Input& in, source::Span at, std::string text, std::string help) {
    auto& message = in.out->add(checks::bad_yaml.rule, at, std::move(text));
    message.help = std::move(help);
    return message;
}

} // namespace found
} // namespace benchleaf::syntax
