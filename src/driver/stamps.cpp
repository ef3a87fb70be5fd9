#include "driver/stamps.h"

#include "base/text.h"
#include "driver/disk.h"
#include "driver/shop_files.h"

#include <ctime>
#include <dirent.h>
#include <fcntl.h>
#include <memory>
#include <string_view>
#include <sys/stat.h>
#include <unistd.h>

namespace benchleaf::driver {

namespace {

// The coarsest clock of a file system goes in steps of two seconds (FAT); what a second computer shares is a little late or early.
constexpr std::int64_t settling = 3'000'000'000;
constexpr std::size_t deepest = 16; // as read_shop

std::int64_t in_nanoseconds(const timespec& at) {
    return static_cast<std::int64_t>(at.tv_sec) * 1'000'000'000 + at.tv_nsec;
}

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

class Looking {
public:
    bool look_into(int folder, const std::string& below, std::size_t depth) {
        const std::unique_ptr<DIR, int (*)(DIR*)> entries(::fdopendir(folder), ::closedir);
        if (entries == nullptr) {
            ::close(folder);
            return false;
        }
        if (depth > deepest) return false;
        for (;;) {
            errno = 0;
            const dirent* entry = ::readdir(entries.get());
            if (entry == nullptr) return errno == 0;
            const std::string_view name = entry->d_name;
            if (name.front() != '.' && !look_at(::dirfd(entries.get()), name, below, depth)) return false;
        }
    }

    std::map<std::string, Stamp> stamps;

private:
    bool look_at(int folder, std::string_view name, const std::string& below, std::size_t depth) {
        std::string path = below;
        if (!path.empty()) path += '/';
        path += name;
        struct stat about {};
        if (::fstatat(folder, std::string(name).c_str(), &about, AT_SYMLINK_NOFOLLOW) != 0) return false;
        if (S_ISDIR(about.st_mode)) {
            const int inner = ::openat(folder, std::string(name).c_str(),
                                       O_RDONLY | O_DIRECTORY | O_CLOEXEC | O_NOFOLLOW); // NOLINT: as open(2) is called
            return inner >= 0 && look_into(inner, path, depth + 1);
        }
        if (S_ISLNK(about.st_mode)) return false;
        if (name.ends_with(".yaml") || path == allowed_signers_file) {
            if (!S_ISREG(about.st_mode) || base::first_bad_utf8(path)) return false;
            stamps.emplace(std::move(path), stamp_from(about, looked_at_));
            return true;
        }
        const std::string small = base::small_letters(name);
        return !small.ends_with(".yaml") && !small.ends_with(".yml"); // which a check tells of
    }

    const std::int64_t looked_at_ = now();
};

} // namespace

std::optional<Stamp> stamp_of(const std::string& path) {
    struct stat about {};
    const std::int64_t looked_at = now();
    if (::stat(path.c_str(), &about) != 0 || !S_ISREG(about.st_mode)) return std::nullopt;
    return stamp_from(about, looked_at);
}

std::optional<std::map<std::string, Stamp>> stamps_of(const std::string& root) {
    const int folder = open_file(root, O_RDONLY | O_DIRECTORY);
    Looking looking;
    if (folder < 0 || !looking.look_into(folder, "", 1)) return std::nullopt;
    return std::move(looking.stamps);
}

} // namespace benchleaf::driver
