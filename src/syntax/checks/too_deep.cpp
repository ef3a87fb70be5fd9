#include "syntax/reports.h"

#include <fmt/format.h>

namespace benchleaf::syntax {

const Check checks::too_deep = {{"too-deep", messages::Level::error, "lists and maps inside each other without end"}};

namespace found {

void too_deep(const Input& in, source::Span at) {
    in.out->add(checks::too_deep.rule, at, fmt::format("more than {} lists and maps inside each other", most_depth))
        .help = "a procedure needs fewer than ten";
}

} // namespace found
} // namespace benchleaf::syntax
