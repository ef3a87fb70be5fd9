#include "driver/schema_files.h"

#include "driver/write_files.h"
#include "model/schema.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

constexpr std::string_view schemas_folder = ".schemas";

} // namespace

std::string schema_line(std::string_view path_below_root, model::Kind kind) {
    std::string up;
    for (auto left = std::count(path_below_root.begin(), path_below_root.end(), '/'); left > 0; --left) up += "../";
    return fmt::format("# yaml-language-server: $schema={}{}/{}.json\n", up, schemas_folder, model::word(kind));
}

base::Result<std::vector<std::string>> write_schemas(const std::string& root, std::span<const model::Kind> kinds) {
    std::vector<Output> outputs;
    for (const model::Kind kind : kinds) {
        const std::filesystem::path path =
            std::filesystem::path(root) / schemas_folder / fmt::format("{}.json", model::word(kind));
        outputs.push_back({path.lexically_normal().string(), model::schema(kind)});
    }
    return write_what_differs(std::move(outputs));
}

} // namespace benchleaf::driver
