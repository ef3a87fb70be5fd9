#include "syntax/reports.h"

namespace benchleaf::syntax {

const Check checks::yaml_tag = {{"yaml-tag", messages::Level::error, "a tag"}};

namespace found {

void yaml_tag(const Input& in, source::Span at) {
    in.out->add(checks::yaml_tag.rule, at, "`!` starts a YAML tag, which a shop's files do not have").help =
        "leave it out; a text that starts so goes in quotes";
}

} // namespace found
} // namespace benchleaf::syntax
