#include "driver/shop_files.h"

#include "base/text.h"
#include "driver/archive.h"
#include "driver/disk.h"
#include "driver/picture_files.h"
#include "driver/shop_lock.h"
#include "syntax/syntax.h"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <sys/stat.h>
#include <unistd.h>
#include <vector>

namespace benchleaf::driver {

namespace fs = std::filesystem;

bool looks_like_yaml(std::string_view name) {
    const std::string small = base::small_letters(name);
    return small.ends_with(".yaml") || small.ends_with(".yml");
}

namespace {

std::string reason() {
    return std::strerror(errno);
}

// A path as it may be shown in a message, whatever bytes it has.
std::string shown(const std::string& path) {
    std::string to;
    for (const char c : path)
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F)
            to += '?';
        else
            to += c;
    while (const auto bad = base::first_bad_utf8(to)) to[*bad] = '?';
    return to;
}

class Descriptor {
public:
    explicit Descriptor(int fd) : fd_(fd) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (fd_ >= 0) ::close(fd_);
    }
    int get() const { return fd_; }

private:
    int fd_;
};

// One byte more than a file may have is enough for the syntax stage to refuse it with a message; more is never read.
base::Result<std::string> read_file(const std::string& path) {
    const Descriptor file(open_file(path, O_RDONLY | O_NONBLOCK));
    if (file.get() < 0) return base::Failure{fmt::format("cannot read {}: {}", shown(path), reason())};
    struct stat about {};
    if (::fstat(file.get(), &about) != 0)
        return base::Failure{fmt::format("cannot read {}: {}", shown(path), reason())};
    if (!S_ISREG(about.st_mode)) return base::Failure{fmt::format("cannot read {}: not a plain file", shown(path))};
    std::string bytes;
    const std::size_t expected = std::min(static_cast<std::size_t>(about.st_size), syntax::most_bytes) + 1;
    bytes.resize(expected);
    std::size_t got = 0;
    for (;;) {
        if (got == bytes.size()) {
            if (got > syntax::most_bytes) break;
            bytes.resize(std::min(bytes.size() * 2, syntax::most_bytes + 1)); // it grew while it was read
        }
        const ssize_t n = ::read(file.get(), bytes.data() + got, bytes.size() - got);
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) return base::Failure{fmt::format("cannot read {}: {}", shown(path), reason())};
        if (n == 0) break;
        got += static_cast<std::size_t>(n);
    }
    bytes.resize(got);
    return bytes;
}

struct FolderId {
    dev_t device;
    ino_t node;
    bool operator==(const FolderId&) const = default;
};

// An empty folder in which a git submodule should lie: the `.gitmodules` of the repository around it names it. Every name that
// it should bring would be unknown, a riot of messages that do not say why.
bool is_unfetched_submodule(const std::string& folder) {
    std::error_code error;
    const fs::path at = fs::weakly_canonical(folder, error);
    for (fs::path above = at.parent_path(); !error; above = above.parent_path()) {
        if (fs::exists(above / ".git", error)) {
            std::ifstream modules(above / ".gitmodules");
            for (std::string line; std::getline(modules, line);) {
                const std::size_t sign = std::min(line.find('='), line.size());
                if (sign == line.size() || base::trimmed(std::string_view(line).substr(0, sign)) != "path") continue;
                if (at == above / base::trimmed(std::string_view(line).substr(sign + 1))) return true;
            }
            return false;
        }
        if (!above.has_relative_path()) return false;
    }
    return false;
}

// The files of a shop by their paths below its root, in the order of those; and its records.
struct FilesListed {
    std::vector<std::string> files;
    std::vector<std::string> records;
};

// Adds what lies in one folder and below. `above` are the folders on the way here, for a link that leads back.
base::Result<base::Done> list_folder(const std::string& folder, const std::string& below, std::vector<FolderId>& above,
                                     FilesListed& into) {
    struct stat about {};
    if (::stat(folder.c_str(), &about) != 0)
        return base::Failure{fmt::format("cannot read {}: {}", shown(folder), reason())};
    const FolderId self{about.st_dev, about.st_ino};
    if (std::find(above.begin(), above.end(), self) != above.end())
        return base::Failure{
            fmt::format("cannot read {}: the link leads back to a folder that it lies in", shown(folder))};
    if (above.size() >= most_folders_deep)
        return base::Failure{
            fmt::format("cannot read {}: more than {} folders deep", shown(folder), most_folders_deep)};
    std::error_code error;
    std::vector<std::string> names;
    fs::directory_iterator entries;
    do entries = fs::directory_iterator(folder, error);
    while (error == std::errc::interrupted);
    for (; !error && entries != fs::directory_iterator(); entries.increment(error))
        names.push_back(entries->path().filename().string());
    if (error) return base::Failure{fmt::format("cannot read {}: {}", shown(folder), error.message())};
    if (names.empty() && is_unfetched_submodule(folder))
        return base::Failure{fmt::format("{} is empty: git has not fetched what is shared there. `git submodule update "
                                         "--init --recursive` fetches it",
                                         shown(folder))};
    std::sort(names.begin(), names.end());

    above.push_back(self);
    for (const std::string& name : names) {
        if (name.front() == '.') continue;
        const std::string path = fmt::format("{}/{}", folder, name);
        const std::string path_below = below.empty() ? name : fmt::format("{}/{}", below, name);
        const bool yaml = looks_like_yaml(name) || path_below == allowed_signers_file;
        if (::stat(path.c_str(), &about) != 0) {
            // What we would not read need not be there. But a link that leads nowhere may have been to a folder.
            if (!yaml && fs::path(name).has_extension()) continue;
            return base::Failure{fmt::format("cannot read {}: {}", shown(path), reason())};
        }
        if (path_below == allowed_signers_file && !S_ISREG(about.st_mode))
            return base::Failure{fmt::format("cannot read {}: not a plain file", shown(path))};
        if (S_ISDIR(about.st_mode)) {
            auto listed = list_folder(path, path_below, above, into);
            if (!listed) return listed;
        } else if (yaml) {
            if (base::first_bad_utf8(path_below) || shown(path_below) != path_below)
                return base::Failure{
                    fmt::format("cannot read {}: its name has characters that cannot be shown", shown(path))};
            std::vector<std::string>& to = lies_in_archive(path_below) ? into.records : into.files;
            const std::size_t most = &to == &into.records ? most_records : most_files;
            if (to.size() == most)
                return base::Failure{fmt::format("{} files and no end: this is not a shop's folder", most)};
            to.push_back(path_below);
        }
    }
    above.pop_back();
    return base::Done{};
}

bool is_shop(const fs::path& folder) {
    std::error_code error;
    return fs::exists(folder / "shop.yaml", error);
}

} // namespace

std::optional<std::string> find_shop(const std::string& start) {
    std::error_code error;
    fs::path folder =
        fs::weakly_canonical(fs::absolute(start, error), error); // one that is not there stays relative else
    if (error) folder = fs::current_path(error);
    if (!fs::is_directory(folder, error)) folder = folder.parent_path();
    const fs::path here = fs::current_path(error);
    for (;; folder = folder.parent_path()) {
        if (is_shop(folder)) {
            // What is shown is short where it can be: the way from here.
            const std::string near = folder.lexically_proximate(here).string();
            return near.starts_with("../../..") ? folder.string() : near;
        }
        if (!folder.has_relative_path()) break;
    }
    if (is_shop("procedures")) return "procedures";
    return std::nullopt;
}

bool lies_in_archive(std::string_view path) {
    return path.starts_with("records/");
}

base::Result<std::string> Archive::read(const std::string& path) const {
    return read_file(fmt::format("{}/{}", root_, path));
}

namespace {

base::Result<FilesListed> list_shop(const std::string& root) {
    FilesListed listed;
    std::vector<FolderId> above;
    if (auto done = list_folder(root, "", above, listed); !done) return done.failure();
    std::sort(listed.records.begin(), listed.records.end());
    return listed;
}

base::Result<base::Done> read_into(const std::string& root, const std::string& path, Files& files) {
    auto bytes = read_file(fmt::format("{}/{}", root, path));
    if (!bytes) return bytes.failure();
    files.emplace(path, std::move(bytes.value()));
    return base::Done{};
}

Shop empty_shop(const std::string& root) {
    Shop shop{root, {}};
    shop.files.shelf = std::make_shared<Shelf>(root);
    return shop;
}

} // namespace

base::Result<Shop> read_shop(const std::string& root, Records records) {
    std::error_code error;
    if (!fs::is_directory(root, error))
        return base::Failure{fmt::format("cannot read {}: {}", shown(root),
                                         fs::exists(root, error) ? "not a folder" : "no such folder")};
    const auto lock = ShopLock::take(root, ShopLock::For::reading);
    if (!lock) return lock.failure();
    auto listed = list_shop(root);
    if (!listed) return listed.failure();
    Shop shop = empty_shop(root);
    for (const std::string& path : listed.value().files)
        if (auto read = read_into(root, path, shop.files); !read) return read.failure();
    std::vector<std::string>& paths = listed.value().records;
    if (records == Records::in_the_archive && !paths.empty())
        shop.files.archive = std::make_shared<Archive>(root, std::move(paths));
    else
        for (const std::string& path : paths)
            if (auto read = read_into(root, path, shop.files); !read) return read.failure();
    return shop;
}

bool lies_in(std::string_view path, std::string_view folder) {
    const auto parts = base::split(path, '/');
    return std::find(parts.begin(), parts.end() - 1, folder) != parts.end() - 1;
}

std::optional<std::string> below_root(const std::string& root, const std::string& path) {
    std::error_code error;
    // Links are kept as they are named: read_shop names files by the way it came to them.
    const fs::path from = fs::absolute(root, error).lexically_normal();
    for (const fs::path& candidate : {fs::absolute(path, error), fs::absolute(fs::path(root) / path, error)}) {
        if (!fs::exists(candidate, error)) continue;
        std::string below = candidate.lexically_normal().lexically_relative(from).generic_string();
        if (below == ".") return "";
        while (below.ends_with('/')) below.pop_back();
        if (below.empty() || below == ".." || below.starts_with("../")) continue;
        if (below.ends_with("/.")) below.resize(below.size() - 2);
        return below;
    }
    return std::nullopt;
}

} // namespace benchleaf::driver
