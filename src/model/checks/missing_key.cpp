#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::missing_key = {
    {"missing-key", messages::Level::error, "a thing lacks a key that it cannot do without"}};

namespace found {

void missing_key(Messages& out, const Thing& thing, std::string_view key, std::string_view help,
                 std::string_view example) {
    out.add(checks::missing_key.rule, thing.span, fmt::format("{} lacks `{}`", thing.says(), key), std::string(help))
        .help = fmt::format("add it, for instance `{}`", example);
}

} // namespace found
} // namespace benchleaf::model
