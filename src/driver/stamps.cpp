#include "driver/stamps.h"

#include "base/text.h"
#include "driver/disk.h"
#include "driver/shop_files.h"

#include <ctime>
#include <dirent.h>
#include <fcntl.h>
#include <limits>
#include <memory>
#include <string_view>
#include <sys/stat.h>
#include <unistd.h>

namespace benchleaf::driver {

namespace {

// The coarsest clock of a file system goes in steps of two seconds (FAT); what a second computer shares is a little late or early.
constexpr std::int64_t settling = 3'000'000'000;

std::int64_t now() {
    timespec at{};
    clock_gettime(CLOCK_REALTIME, &at);
    return in_nanoseconds(at);
}

Stamp stamp_from(const struct stat& about, std::int64_t looked_at) {
    Stamp stamp{about.st_dev, about.st_ino, about.st_size, in_nanoseconds(about.st_mtim), in_nanoseconds(about.st_ctim),
                false};
    const std::int64_t settled_by = looked_at - settling;
    stamp.settled = stamp.written < settled_by && stamp.changed < settled_by;
    return stamp;
}

// What lies in a folder: the files of a shop with their stamps, and the folders, by their paths in their order.
struct Stamped {
    std::string path;
    std::optional<Stamp> stamp; // nothing: a folder
};

// False: it is not sure what read_shop would read.
bool is_sure(std::string_view name, const std::string& path, const struct stat& about, bool& of_a_shop) {
    of_a_shop = false;
    if (S_ISDIR(about.st_mode)) return true;
    if (S_ISLNK(about.st_mode)) return false;
    if (name.ends_with(".yaml") || path == allowed_signers_file) {
        of_a_shop = true;
        return S_ISREG(about.st_mode) && !base::first_bad_utf8(path);
    }
    return !looks_like_yaml(name); // which a check tells of
}

bool list(const std::string& root, const std::string& below, std::int64_t looked_at, std::vector<Stamped>& into) {
    const int folder = open_file(below.empty() ? root : root + "/" + below, O_RDONLY | O_DIRECTORY | O_NOFOLLOW);
    if (folder < 0) return false;
    const std::unique_ptr<DIR, int (*)(DIR*)> entries(::fdopendir(folder), ::closedir);
    if (entries == nullptr) {
        ::close(folder);
        return false;
    }
    std::vector<std::string> names;
    errno = 0;
    while (const dirent* entry = ::readdir(entries.get()))
        if (entry->d_name[0] != '.') names.emplace_back(entry->d_name);
    if (errno != 0) return false;
    std::sort(names.begin(), names.end());
    for (std::string& name : names) {
        struct stat about {};
        if (::fstatat(folder, name.c_str(), &about, AT_SYMLINK_NOFOLLOW) != 0) return false;
        std::string path = below.empty() ? std::move(name) : below + "/" + name;
        bool of_a_shop = false;
        if (!is_sure(std::string_view(path).substr(path.rfind('/') + 1), path, about, of_a_shop)) return false;
        if (S_ISDIR(about.st_mode))
            into.push_back({std::move(path), std::nullopt});
        else if (of_a_shop)
            into.push_back({std::move(path), stamp_from(about, looked_at)});
    }
    return true;
}

// All below a folder, in the place of it.
bool list_all(const std::string& root, const std::string& below, std::int64_t looked_at, std::size_t depth,
              std::vector<Stamped>& into) {
    std::vector<Stamped> own;
    if (depth > most_folders_deep || !list(root, below, looked_at, own)) return false;
    for (Stamped& each : own) {
        if (each.stamp)
            into.push_back(std::move(each));
        else if (!list_all(root, each.path, looked_at, depth + 1, into))
            return false;
    }
    return true;
}

} // namespace

bool ByFolder::operator()(std::string_view a, std::string_view b) const {
    const std::size_t both = std::min(a.size(), b.size());
    const auto at = static_cast<std::size_t>(
        std::mismatch(a.begin(), a.begin() + static_cast<std::ptrdiff_t>(both), b.begin()).first - a.begin());
    if (at == both) return a.size() < b.size();
    if (a[at] == '/' || b[at] == '/') return a[at] == '/';
    return static_cast<unsigned char>(a[at]) < static_cast<unsigned char>(b[at]);
}

std::int64_t in_nanoseconds(const timespec& at) {
    constexpr std::int64_t second = 1'000'000'000;
    constexpr std::int64_t most = std::numeric_limits<std::int64_t>::max() / second / 2;
    return std::clamp<std::int64_t>(at.tv_sec, -most, most) * second + at.tv_nsec;
}

std::optional<Stamp> stamp_of(const std::string& path) {
    struct stat about {};
    const std::int64_t looked_at = now();
    if (::stat(path.c_str(), &about) != 0 || !S_ISREG(about.st_mode)) return std::nullopt;
    return stamp_from(about, looked_at);
}

std::optional<Stamps> stamps_of(const std::string& root, Threads threads) {
    const std::int64_t looked_at = now();
    // Down to the second folder, below which each can be looked at by itself: there is one a vehicle in `records`.
    std::vector<Stamped> first, second;
    if (!list(root, "", looked_at, first)) return std::nullopt;
    for (Stamped& each : first) {
        if (each.stamp)
            second.push_back(std::move(each));
        else if (!list(root, each.path, looked_at, second))
            return std::nullopt;
    }
    constexpr std::size_t portion = 64; // of them at a time, and so many make a thread pay
    const std::size_t portions = (second.size() + portion - 1) / portion;
    const auto folders = static_cast<std::size_t>(
        std::count_if(second.begin(), second.end(), [](const Stamped& each) { return !each.stamp; }));
    struct Made {
        std::vector<Stamped> all;
        bool good = true;
    };
    Stamps stamps;
    bool good = true;
    in_order(
        portions, threads.among(folders, 4 * portion),
        [&](std::size_t i) {
            Made made;
            for (std::size_t j = i * portion; j < std::min((i + 1) * portion, second.size()); ++j) {
                Stamped& each = second[j];
                if (each.stamp)
                    made.all.push_back(std::move(each));
                else
                    made.good = made.good && list_all(root, each.path, looked_at, 3, made.all);
            }
            return made;
        },
        [&](std::size_t, Made made) {
            good = good && made.good;
            for (Stamped& each : made.all) stamps.add(std::move(each.path), *each.stamp);
            return good;
        });
    if (!good) return std::nullopt;
    return stamps;
}

bool look_again_at(const std::string& root, const std::set<std::string>& paths, Stamps& stamps) {
    for (const std::string& path : paths) {
        struct stat about {};
        const std::int64_t looked_at = now();
        if (::lstat((root + "/" + path).c_str(), &about) != 0) {
            if (errno != ENOENT) return false;
            stamps.erase(path);
            continue;
        }
        bool of_a_shop = false;
        if (S_ISDIR(about.st_mode) ||
            !is_sure(std::string_view(path).substr(path.rfind('/') + 1), path, about, of_a_shop))
            return false;
        if (of_a_shop) stamps.put(path, stamp_from(about, looked_at));
    }
    return true;
}

} // namespace benchleaf::driver
