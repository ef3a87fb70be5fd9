#include "driver/write_files.h"

#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <set>
#include <sys/stat.h>
#include <unistd.h>

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

// What was renamed stays renamed only when the folder itself is on the disk. Best effort: not every file system can.
void sync_folder(const std::string& folder) {
    const int fd = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd < 0) return;
    (void)::fsync(fd);
    ::close(fd);
}

} // namespace

base::Result<base::Done> write_files(const std::vector<Output>& outputs) {
    Temporaries temporaries;
    for (const Output& output : outputs) {
        if (auto made = make_folder_of(output.path); !made) return made;
        std::error_code error;
        if (fs::is_directory(output.path, error)) return failure(output.path, EISDIR);
        std::string name = output.path + ".XXXXXX";
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
    std::set<std::string> folders;
    for (std::size_t i = 0; i < outputs.size(); ++i) {
        if (::rename(temporaries.paths[i].c_str(), outputs[i].path.c_str()) != 0)
            return failure(outputs[i].path, errno);
        folders.insert(fs::path(outputs[i].path).parent_path().string());
    }
    temporaries.paths.clear();
    for (const std::string& folder : folders) sync_folder(folder);
    return base::Done{};
}

base::Result<bool> write_new_file(const Output& output) {
    if (auto made = make_folder_of(output.path); !made) return made.failure();
    Temporaries temporaries;
    std::string name = output.path + ".XXXXXX";
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

} // namespace benchleaf::driver
