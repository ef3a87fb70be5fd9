// The records of a shop that lie on a disk, read one at a time: of tens of thousands, a check or a job needs the numbers and days of all and
// the readings of a few.
#pragma once

#include "base/result.h"

#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::driver {

// Is it a file below the shop's own `records`?
bool lies_in_archive(std::string_view path);

class Archive {
public:
    Archive(std::string root, std::vector<std::string> paths) : root_(std::move(root)), paths_(std::move(paths)) {}

    const std::vector<std::string>& paths() const { return paths_; } // below the shop's root, in their order
    base::Result<std::string> read(const std::string& path) const;

private:
    std::string root_;
    std::vector<std::string> paths_;
};

} // namespace benchleaf::driver
