#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::empty_value = {{"empty-value", messages::Level::error, "a key with nothing after it"}};

namespace found {

void empty_value(Messages& out, const Expected& expected) {
    out.add(checks::empty_value.rule, expected.key_span, fmt::format("nothing stands after `{}`", expected.key),
            fmt::format("takes {}", expected.what))
        .help = fmt::format("for instance `{}`", expected.example);
}

} // namespace found
} // namespace benchleaf::model
