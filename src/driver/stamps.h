// What the system says of each file of a shop without opening it: by that a file is known to be as it was. A time stamp goes in steps: what was
// written shortly before it was looked at can be written once more within the same step, so that its stamp is not believed (`settled`).
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>

namespace benchleaf::driver {

struct Stamp {
    std::uint64_t device = 0, node = 0;
    std::int64_t size = 0, written = 0, changed = 0; // the times in nanoseconds
    bool settled = false;                            // it was looked at well after that
    // Known to be as it was; two that are not settled are never known to be the same.
    bool same_as(const Stamp& other) const {
        return settled && other.settled && device == other.device && node == other.node && size == other.size &&
               written == other.written && changed == other.changed;
    }
};

std::optional<Stamp> stamp_of(const std::string& path);

// Each file of the shop that read_shop would read, by its path below the root. Nothing where that is not sure: a file that is not read for its name's end, a
// link, a folder that cannot be read, more than 16 folders deep.
std::optional<std::map<std::string, Stamp>> stamps_of(const std::string& root);

} // namespace benchleaf::driver
