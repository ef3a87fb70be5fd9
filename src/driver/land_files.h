// Files that are put into a shop together: all of them land, or none does, whether one of them cannot or the program is killed (shop_lock.h), and over
// nothing that has changed since it was read. What comes from elsewhere is not written through a link that leads out of the shop.
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

// Each file's path leads to its place by itself: the shop's own files, where its links lead.
base::Result<base::Done> land_at(const std::string& root, const std::vector<Coming>& files);

// By paths below the root, within it.
base::Result<base::Done> land_files(const std::string& root, const std::vector<Coming>& files);

} // namespace benchleaf::driver
