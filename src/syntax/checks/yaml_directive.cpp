#include "syntax/reports.h"

namespace benchleaf::syntax {

const Check checks::yaml_directive = {
    {"yaml-directive", messages::Level::error, "a line that starts with a percent sign"}};

namespace found {

void yaml_directive(const Input& in, source::Span at) {
    in.out->add(checks::yaml_directive.rule, at, "a directive, which a shop's files do not have").help =
        "leave the line out";
}

} // namespace found
} // namespace benchleaf::syntax
