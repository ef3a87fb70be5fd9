// The schemas in a shop's folder: `.schemas/KIND.json`, by which an editor with a YAML language server completes the keys of a file,
// explains them and marks what is wrong. A file names its own in its first line. They are made by this program and by nobody else,
// so that what differs is written anew. `read_shop` passes the folder over, as any hidden one.
#pragma once

#include "base/result.h"
#include "model/kind.h"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::driver {

// "# yaml-language-server: $schema=../.schemas/job.json" of `jobs/a.yaml`, with its line end: the convention of the general YAML
// language server.
std::string schema_line(std::string_view path_below_root, model::Kind kind);

// Gives the paths of what was written: what is there already and is the same stays.
base::Result<std::vector<std::string>> write_schemas(const std::string& root, std::span<const model::Kind> kinds);

} // namespace benchleaf::driver
