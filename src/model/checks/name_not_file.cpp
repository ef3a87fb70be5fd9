#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::name_not_file = {
    {"name-not-file", messages::Level::error, "a thing that is not named as its file"}};

namespace found {

void name_not_file(Messages& out, Span at, std::string_view kind, std::string_view name, std::string_view stem) {
    auto& message = out.add(checks::name_not_file.rule, at,
                            fmt::format("the {} is called `{}`, but its file is named after `{}`", kind, name, stem));
    message.help = kind == "record" // its seal stands for every word in it
                       ? fmt::format("rename the file to `{}.yaml`", name)
                       : fmt::format("rename the file to `{}.yaml`, or call the {} `{}`", name, kind, stem);
}

} // namespace found
} // namespace benchleaf::model
