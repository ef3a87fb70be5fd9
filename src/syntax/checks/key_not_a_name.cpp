#include "syntax/reports.h"

namespace benchleaf::syntax {

const Check checks::key_not_a_name = {{"key-not-a-name", messages::Level::error, "a key that is not one word"}};

namespace found {

void key_not_a_name(const Input& in, source::Span at, std::string_view text, std::string_view help) {
    in.out->add(checks::key_not_a_name.rule, at, std::string(text)).help = help;
}

} // namespace found
} // namespace benchleaf::syntax
