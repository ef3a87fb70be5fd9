#include "driver/write_files.h"

#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <map>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>

namespace benchleaf::driver {

namespace fs = std::filesystem;

namespace {

base::Failure failure(std::string_view path, int error) {
    return base::Failure{fmt::format("cannot write {}: {}", path, std::strerror(error))};
}

// Removes what was written when the scope is left before `keep`.
struct Temporaries {
    std::vector<std::string> paths;
    Temporaries() = default;
    Temporaries(const Temporaries&) = delete;
    Temporaries& operator=(const Temporaries&) = delete;
    ~Temporaries() {
        for (const std::string& path : paths) ::unlink(path.c_str());
    }
};

// No name that anybody else gives: what is called so is removed, once nobody writes there.
constexpr std::string_view being_written = ".writing-XXXXXX"; // the X by mkostemp

bool is_leftover(const std::string& name) {
    constexpr std::size_t random = 6;
    const std::string_view words = being_written.substr(0, being_written.size() - random);
    if (name.size() <= being_written.size()) return false;
    const std::string_view end = std::string_view(name).substr(name.size() - being_written.size());
    constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789";
    return end.starts_with(words) && end.find_first_not_of(letters, words.size()) == std::string_view::npos;
}

// A folder as long as somebody writes there. Where the file system cannot lock it, nothing is ever removed, and everything is written.
class InFolder {
public:
    explicit InFolder(const std::string& path)
        : fd_(::open(path.empty() ? "." : path.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
        if (fd_ < 0) return;
        if (::flock(fd_, LOCK_EX | LOCK_NB) == 0) remove_what_was_left(path.empty() ? "." : path);
        // Who has it alone is clearing up, and soon done.
        for (int tries = 0; tries < 100 && ::flock(fd_, LOCK_SH | LOCK_NB) != 0 && errno == EWOULDBLOCK; ++tries)
            ::usleep(10'000);
    }
    InFolder(InFolder&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}
    InFolder& operator=(InFolder&&) = delete;
    ~InFolder() {
        if (fd_ >= 0) ::close(fd_);
    }

    // What was renamed stays renamed only when the folder itself is on the disk. Best effort: not every file system can.
    void sync() const {
        if (fd_ >= 0) (void)::fsync(fd_);
    }

private:
    static void remove_what_was_left(const std::string& folder) {
        std::error_code error;
        for (auto entry = fs::directory_iterator(folder, error); !error && entry != fs::directory_iterator();
             entry.increment(error))
            if (is_leftover(entry->path().filename().string()) &&
                entry->symlink_status(error).type() == fs::file_type::regular)
                ::unlink(entry->path().c_str());
    }

    int fd_;
};

// 0, or the error. The descriptor is closed in any case.
int write_and_close(int fd, std::string_view bytes) {
    int error = 0;
    while (!bytes.empty() && error == 0) {
        const ssize_t n = ::write(fd, bytes.data(), bytes.size());
        if (n >= 0)
            bytes.remove_prefix(static_cast<std::size_t>(n));
        else if (errno != EINTR)
            error = errno;
    }
    // Some file systems (and all pipes) cannot sync; that is no loss.
    if (error == 0 && ::fsync(fd) != 0 && errno != EINVAL && errno != ENOTSUP && errno != EROFS) error = errno;
    if (::close(fd) != 0 && error == 0) error = errno;
    return error;
}

base::Result<base::Done> make_folder_of(const std::string& path) {
    const fs::path folder = fs::path(path).parent_path();
    std::error_code error;
    if (!folder.empty()) fs::create_directories(folder, error);
    if (error) return base::Failure{fmt::format("cannot make the folder {}: {}", folder.string(), error.message())};
    return base::Done{};
}

} // namespace

base::Result<base::Done> write_files(const std::vector<Output>& outputs) {
    std::map<std::string, InFolder> folders; // let go after the temporary files
    Temporaries temporaries;
    for (const Output& output : outputs) {
        if (auto made = make_folder_of(output.path); !made) return made;
        const std::string folder = fs::path(output.path).parent_path().string();
        folders.try_emplace(folder, folder);
        std::error_code error;
        if (fs::is_directory(output.path, error)) return failure(output.path, EISDIR);
        std::string name = output.path + std::string(being_written);
        const int fd = ::mkostemp(name.data(), O_CLOEXEC);
        if (fd < 0) return failure(output.path, errno);
        temporaries.paths.push_back(name);
        // mkostemp makes a file that only its owner may read; a card is for everybody, an existing file keeps its mode.
        struct stat about {};
        mode_t mode = 0;
        if (::stat(output.path.c_str(), &about) == 0) {
            mode = about.st_mode & 07777U;
        } else {
            const mode_t mask = ::umask(0);
            ::umask(mask);
            mode = 0666U & ~mask;
        }
        (void)::fchmod(fd, mode);
        if (const int wrong = write_and_close(fd, output.bytes)) return failure(output.path, wrong);
    }
    for (std::size_t i = 0; i < outputs.size(); ++i) {
        if (::rename(temporaries.paths[i].c_str(), outputs[i].path.c_str()) != 0)
            return failure(outputs[i].path, errno);
    }
    temporaries.paths.clear();
    for (const auto& [path, folder] : folders) folder.sync();
    return base::Done{};
}

base::Result<bool> write_new_file(const Output& output) {
    if (auto made = make_folder_of(output.path); !made) return made.failure();
    const InFolder folder(fs::path(output.path).parent_path().string());
    Temporaries temporaries;
    std::string name = output.path + std::string(being_written);
    const int fd = ::mkostemp(name.data(), O_CLOEXEC);
    if (fd < 0) return failure(output.path, errno);
    temporaries.paths.push_back(name);
    const mode_t mask = ::umask(0);
    ::umask(mask);
    (void)::fchmod(fd, 0666U & ~mask);
    if (const int wrong = write_and_close(fd, output.bytes)) return failure(output.path, wrong);
    // link(2) refuses a name that is taken, in one step; rename(2) would replace it.
    if (::link(name.c_str(), output.path.c_str()) == 0) return true;
    if (errno == EEXIST) return false;
    // A file system without links: take the name first, then fill it.
    if (errno != EPERM && errno != ENOTSUP) return failure(output.path, errno);
    const int own = ::open(output.path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (own < 0 && errno == EEXIST) return false;
    if (own < 0) return failure(output.path, errno);
    if (const int wrong = write_and_close(own, output.bytes)) {
        ::unlink(output.path.c_str());
        return failure(output.path, wrong);
    }
    return true;
}

void remove_leftovers(const std::string& folder) {
    const InFolder cleared(folder);
}

} // namespace benchleaf::driver
