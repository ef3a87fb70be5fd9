#include "driver/land_files.h"

#include "base/text.h"
#include "driver/shop_files.h"
#include "driver/shop_state.h"

#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>

namespace benchleaf::driver {

namespace fs = std::filesystem;

namespace {

base::Failure cannot_land(const std::string& path, int error) {
    return base::Failure{fmt::format("cannot write {}: {}", path, std::strerror(error))};
}

bool leads_out(const fs::path& real_root, const fs::path& real) {
    const fs::path below = real.lexically_relative(real_root);
    return below.empty() || *below.begin() == "..";
}

// The shop's folder, for as long as somebody writes into it.
class ShopLock {
public:
    explicit ShopLock(const std::string& root) : fd_(::open(root.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
        taken_ = fd_ >= 0 && (::flock(fd_, LOCK_EX | LOCK_NB) == 0 || errno != EWOULDBLOCK);
    }
    ShopLock(const ShopLock&) = delete;
    ShopLock& operator=(const ShopLock&) = delete;
    ~ShopLock() {
        if (fd_ >= 0) ::close(fd_);
    }
    bool taken() const { return taken_; }

private:
    int fd_;
    bool taken_ = false;
};

// One file on its way: what was done for it, so that it can be undone.
struct OnItsWay {
    std::string place;
    std::string temporary; // the new bytes
    std::string kept;      // the old file under another name; empty: there was none
    bool landed = false;
};

class Landing {
public:
    Landing() = default;
    Landing(const Landing&) = delete;
    Landing& operator=(const Landing&) = delete;

    // What did not land is put back as it was.
    ~Landing() {
        for (std::size_t i = files_.size(); i-- > 0;) put_back(files_[i]);
        for (std::size_t i = folders_.size(); i-- > 0 && !done_;) ::rmdir(folders_[i].c_str());
    }

    base::Result<base::Done> prepare(const std::string& place, const Coming& file) {
        files_.push_back({place, "", "", false});
        if (auto made = make_folders(fs::path(place).parent_path()); !made) return made;
        if (auto written = write_beside(files_.back().temporary, place, file); !written) return written;
        if (!file.before) return base::Done{};
        // The old file itself is kept where the file system has links; else a copy of it.
        const std::string kept = files_.back().temporary + ".kept";
        std::error_code error;
        if (::link(place.c_str(), kept.c_str()) != 0 && !fs::copy_file(place, kept, error))
            return cannot_land(kept, error ? error.value() : EIO);
        files_.back().kept = kept;
        return base::Done{};
    }

    base::Result<base::Done> land() {
        for (OnItsWay& file : files_) {
            if (file.kept.empty() ? !take_free_name(file) : ::rename(file.temporary.c_str(), file.place.c_str()) != 0)
                return cannot_land(file.place, errno);
            file.landed = true;
        }
        done_ = true;
        for (const OnItsWay& file : files_) sync(fs::path(file.place).parent_path().string());
        return base::Done{};
    }

private:
    void put_back(const OnItsWay& file) const {
        if (!done_ && file.landed && !file.kept.empty())
            ::rename(file.kept.c_str(), file.place.c_str());
        else if (!done_ && file.landed)
            ::unlink(file.place.c_str());
        if (!file.kept.empty()) ::unlink(file.kept.c_str());
        if (!file.landed && !file.temporary.empty()) ::unlink(file.temporary.c_str());
    }

    // link(2) refuses a name that is taken; rename(2) would replace it.
    static bool take_free_name(const OnItsWay& file) {
        if (::link(file.temporary.c_str(), file.place.c_str()) == 0) return ::unlink(file.temporary.c_str()) == 0;
        if (errno != EPERM && errno != ENOTSUP) return false;
        struct stat about {};
        if (::lstat(file.place.c_str(), &about) == 0) {
            errno = EEXIST;
            return false;
        }
        return ::rename(file.temporary.c_str(), file.place.c_str()) == 0;
    }

    base::Result<base::Done> make_folders(const fs::path& folder) {
        std::vector<std::string> lacking;
        std::error_code error;
        for (fs::path at = folder; !at.empty() && !fs::exists(at, error); at = at.parent_path())
            lacking.push_back(at.string());
        for (std::size_t i = lacking.size(); i-- > 0;) {
            if (::mkdir(lacking[i].c_str(), 0777) != 0) return cannot_land(lacking[i], errno);
            folders_.push_back(lacking[i]);
        }
        return base::Done{};
    }

    static base::Result<base::Done> write_beside(std::string& temporary, const std::string& place, const Coming& file) {
        std::string name = place + ".writing-XXXXXX";
        const int fd = ::mkostemp(name.data(), O_CLOEXEC);
        if (fd < 0) return cannot_land(place, errno);
        temporary = name;
        struct stat about {};
        const mode_t mask = ::umask(0);
        ::umask(mask);
        (void)::fchmod(fd, file.before && ::stat(place.c_str(), &about) == 0 ? about.st_mode & 07777U : 0666U & ~mask);
        int wrong = 0;
        for (std::string_view rest = file.bytes; !rest.empty() && wrong == 0;) {
            const ssize_t n = ::write(fd, rest.data(), rest.size());
            if (n >= 0)
                rest.remove_prefix(static_cast<std::size_t>(n));
            else if (errno != EINTR)
                wrong = errno;
        }
        if (wrong == 0 && ::fsync(fd) != 0 && errno != EINVAL && errno != ENOTSUP) wrong = errno;
        if (::close(fd) != 0 && wrong == 0) wrong = errno;
        if (wrong != 0) return cannot_land(place, wrong);
        return base::Done{};
    }

    static void sync(const std::string& folder) {
        const int fd = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
        if (fd < 0) return;
        (void)::fsync(fd);
        ::close(fd);
    }

    std::vector<OnItsWay> files_;
    std::vector<std::string> folders_; // made, the outer ones first
    bool done_ = false;
};

bool is_as_it_was(const std::string& place, const Coming& file) {
    std::error_code error;
    if (!file.before) return fs::symlink_status(place, error).type() == fs::file_type::not_found;
    const auto bytes = read_bytes(place, file.before->size());
    return bytes && bytes.value() == *file.before;
}

} // namespace

base::Result<std::string> place_in(const std::string& root, const std::string& path) {
    std::error_code error;
    const fs::path real_root = fs::canonical(root, error);
    if (error) return base::Failure{fmt::format("cannot read {}: {}", root, error.message())};
    fs::path place = real_root;
    for (const std::string_view part : base::split(path, '/')) {
        place /= part;
        const auto is = fs::symlink_status(place, error);
        if (is.type() == fs::file_type::not_found) continue;
        if (is.type() == fs::file_type::symlink) {
            const fs::path real = fs::canonical(place, error);
            if (error || leads_out(real_root, real))
                return base::Failure{fmt::format("{} would be written through a link that leads out of the shop: {}",
                                                 path, place.lexically_relative(real_root).string())};
            place = real;
        }
    }
    const auto is = fs::status(place, error);
    if (is.type() != fs::file_type::not_found && is.type() != fs::file_type::regular)
        return base::Failure{
            fmt::format("{} cannot be written: there is something of that name, and no plain file", path)};
    return place.string();
}

base::Result<std::vector<std::string>> all_paths_in(const std::string& root) {
    std::vector<std::string> paths;
    std::error_code error;
    fs::recursive_directory_iterator entries(root, error);
    for (; !error && entries != fs::recursive_directory_iterator(); entries.increment(error)) {
        if (entries->path().filename().string().starts_with('.')) {
            entries.disable_recursion_pending();
            continue;
        }
        const std::string path = entries->path().lexically_relative(root).generic_string();
        if (base::first_bad_utf8(path)) continue; // what is no text is like no path of a bundle
        if (!entries->is_directory(error)) paths.push_back(path);
        if (paths.size() > most_files)
            return base::Failure{fmt::format("{} has no end: this is not a shop's folder", root)};
    }
    if (error) return base::Failure{fmt::format("cannot read {}: {}", root, error.message())};
    return paths;
}

base::Result<base::Done> land_files(const std::string& root, const std::vector<Coming>& files) {
    const ShopLock lock(root);
    if (!lock.taken()) return base::Failure{fmt::format("somebody else is writing into {}; nothing was written", root)};
    Landing landing;
    for (const Coming& file : files) {
        const auto place = place_in(root, file.path);
        if (!place) return place.failure();
        if (!is_as_it_was(place.value(), file))
            return base::Failure{fmt::format("{} has changed since it was read; nothing was written", place.value())};
        if (auto prepared = landing.prepare(place.value(), file); !prepared) return prepared;
    }
    return landing.land();
}

} // namespace benchleaf::driver
