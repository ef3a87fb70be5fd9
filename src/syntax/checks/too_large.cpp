#include "syntax/reports.h"

#include <fmt/format.h>

namespace benchleaf::syntax {

const Check checks::too_large = {
    {"too-large", messages::Level::error, "a file is larger than any procedure of a shop"}};

namespace found {

bool too_large(const Input& in) {
    if (in.text.size() <= most_bytes) return false;
    in.out
        ->add(checks::too_large.rule, in.span(0, 0),
              fmt::format("the file has more than {} bytes, which is the most that is read", most_bytes))
        .help = "is this the right file? a long catalogue can be split";
    return true;
}

} // namespace found
} // namespace benchleaf::syntax
