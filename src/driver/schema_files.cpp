#include "driver/schema_files.h"

#include "driver/disk.h"
#include "driver/write_files.h"
#include "model/schema.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

constexpr std::string_view schemas_folder = ".schemas";

bool holds_already(const std::string& path, const std::string& bytes) {
    std::string there;
    return read_all(path, bytes.size() + 1, there) == 0 && there == bytes;
}

} // namespace

std::string schema_line(std::string_view path_below_root, model::Kind kind) {
    std::string up;
    for (auto left = std::count(path_below_root.begin(), path_below_root.end(), '/'); left > 0; --left) up += "../";
    return fmt::format("# yaml-language-server: $schema={}{}/{}.json\n", up, schemas_folder, model::word(kind));
}

base::Result<std::vector<std::string>> write_schemas(const std::string& root, std::span<const model::Kind> kinds) {
    remove_leftovers((std::filesystem::path(root) / schemas_folder).string());
    std::vector<Output> outputs;
    std::vector<std::string> paths;
    for (const model::Kind kind : kinds) {
        const std::filesystem::path path =
            std::filesystem::path(root) / schemas_folder / fmt::format("{}.json", model::word(kind));
        Output output{path.lexically_normal().string(), model::schema(kind)};
        if (holds_already(output.path, output.bytes)) continue;
        paths.push_back(output.path);
        outputs.push_back(std::move(output));
    }
    if (auto written = write_files(outputs); !written) return written.failure();
    return paths;
}

} // namespace benchleaf::driver
