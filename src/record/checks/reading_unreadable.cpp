#include "record/reports.h"

#include "base/text.h"

#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::reading_unreadable = {
    {"reading-unreadable", messages::Level::error, "an answer that is no figure with its unit"}};

Complaint found::no_unit(std::string_view written, std::optional<units::Unit> unit) {
    return {&checks::reading_unreadable.rule,
            fmt::format("`{}` has no unit", written),
            unit ? fmt::format("for instance `{} {}`", base::trimmed(written), units::symbol(*unit)) : std::string(),
            false,
            {}};
}

Complaint found::other_unit(std::string_view written, units::Unit unit) {
    return {&checks::reading_unreadable.rule,
            fmt::format("`{}` is not {}, which is read here", written, units::says(units::dimension(unit))),
            fmt::format("for instance in {}", units::symbol(unit)),
            false,
            {}};
}

Complaint found::unreadable(std::string_view written, const units::ParseError& error) {
    return {&checks::reading_unreadable.rule, fmt::format("`{}`: {}", written, error.sentence), error.help, false, {}};
}

Complaint found::no_tick(std::string_view written) {
    return {&checks::reading_unreadable.rule,
            fmt::format("`{}` cannot stand in a box that is ticked", written),
            "`x`, or nothing",
            false,
            {}};
}

Complaint found::no_letters() {
    return {&checks::reading_unreadable.rule,
            "this has signs that are no letters, or more than two thousand of them",
            "write it in plain letters, on one line",
            false,
            {}};
}

} // namespace benchleaf::record
