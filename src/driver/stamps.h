// What the system says of each file of a shop without opening it: by that a file is known to be as it was. A time stamp goes in steps: what was
// written shortly before it was looked at can be written once more within the same step, so that its stamp is not believed (`settled`).
#pragma once

#include "driver/in_order.h"

#include <algorithm>
#include <cstdint>
#include <ctime>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

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

// A clock that is wrong by centuries stands still at the last that can be said.
std::int64_t in_nanoseconds(const timespec& at);

std::optional<Stamp> stamp_of(const std::string& path);

// What is known of files, in the order in which a walk through sorted folders comes to them: all of a folder before what stands behind it.
struct ByFolder {
    using is_transparent = void;
    bool operator()(std::string_view a, std::string_view b) const;
};
template <class T>
class ByPath {
public:
    using Each = std::pair<std::string, T>;

    const T* find(std::string_view path) const {
        const auto at = place(path);
        return at != all_.end() && at->first == path ? &at->second : nullptr;
    }
    T* find(std::string_view path) { return const_cast<T*>(std::as_const(*this).find(path)); } // NOLINT
    bool contains(std::string_view path) const { return find(path) != nullptr; }
    void put(const std::string& path, T value) {
        const auto at = all_.begin() + (place(path) - all_.cbegin());
        if (at != all_.end() && at->first == path)
            at->second = std::move(value);
        else
            all_.emplace(at, path, std::move(value));
    }
    void erase(std::string_view path) {
        const auto at = place(path);
        if (at != all_.end() && at->first == path) all_.erase(at);
    }
    void reserve(std::size_t count) { all_.reserve(count); }
    // To be put in its order when all are there.
    void add(std::string path, T value) { all_.emplace_back(std::move(path), std::move(value)); }
    void sort() {
        std::sort(all_.begin(), all_.end(), [](const Each& a, const Each& b) { return ByFolder{}(a.first, b.first); });
    }

    std::size_t size() const { return all_.size(); }
    auto begin() const { return all_.begin(); }
    auto end() const { return all_.end(); }
    std::vector<Each>& each() { return all_; }

private:
    auto place(std::string_view path) const {
        return std::lower_bound(all_.begin(), all_.end(), path,
                                [](const Each& a, std::string_view b) { return ByFolder{}(a.first, b); });
    }
    std::vector<Each> all_;
};
using Stamps = ByPath<Stamp>;

// Each file of the shop that read_shop would read, by its path below the root. Nothing where that is not sure: a file that is not read for its name's end, a
// link, a folder that cannot be read, more than 16 folders deep.
std::optional<Stamps> stamps_of(const std::string& root, Threads threads);

// Looks at these paths again, of which some may be no files of a shop. False: all has to be looked at.
bool look_again_at(const std::string& root, const std::set<std::string>& paths, Stamps& stamps);

} // namespace benchleaf::driver
