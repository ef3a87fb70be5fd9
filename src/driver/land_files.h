// Files that come from elsewhere into a shop: all of them land, or none does. Each is written beside its place and brought to the disk; only then do
// they take their names, one after another, and where one cannot, those before it are put back. Nothing is written through a link that
// leads out of the shop, and over nothing that has changed since it was read.
#pragma once

#include "base/result.h"

#include <optional>
#include <string>
#include <vector>

namespace benchleaf::driver {

struct Coming {
    std::string path; // below the shop's root, with `/`
    std::string bytes;
    std::optional<std::string> before; // what stands there now, as it was read; none: nothing does
};

// Where a file would be written, with links within the shop followed; what leads out of it, or is no plain file, is a Failure that names it.
base::Result<std::string> place_in(const std::string& root, const std::string& path);

// Every file and folder below the root that is not hidden.
base::Result<std::vector<std::string>> all_paths_in(const std::string& root);

base::Result<base::Done> land_files(const std::string& root, const std::vector<Coming>& files);

} // namespace benchleaf::driver
