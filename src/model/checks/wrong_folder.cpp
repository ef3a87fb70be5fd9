#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::wrong_folder = {
    {"wrong-folder", messages::Level::error, "a file that lies where its kind does not belong"}};

namespace found {

void wrong_folder(Messages& out, Span at, std::string_view kind, std::string_view belongs) {
    out.add(checks::wrong_folder.rule, at, fmt::format("a {} does not belong in this file's place", kind)).help =
        fmt::format("a {} belongs in {}", kind, belongs);
}

} // namespace found
} // namespace benchleaf::model
