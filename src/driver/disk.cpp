#include "driver/disk.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <fcntl.h>
#include <filesystem>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

namespace benchleaf::driver {

namespace {

int error_of(int got) {
    return got == 0 ? 0 : errno;
}

} // namespace

int open_file(const std::string& path, int flags) {
    return uninterrupted([&] { return ::open(path.c_str(), flags | O_CLOEXEC, 0666); });
}

int open_new_beside(const std::string& begin, std::string& name) {
    return uninterrupted([&] {
        name = begin + "XXXXXX";
        return ::mkostemp(name.data(), O_CLOEXEC);
    });
}

int read_all(const std::string& path, std::size_t most, std::string& bytes) {
    const int file = open_file(path, O_RDONLY);
    if (file < 0) return errno;
    constexpr std::size_t piece = 1U << 16U;
    int wrong = 0;
    bytes.clear();
    while (wrong == 0 && bytes.size() < most) {
        const std::size_t got = bytes.size();
        bytes.resize(std::min(most, got + piece));
        const ssize_t n = uninterrupted([&] { return ::read(file, bytes.data() + got, bytes.size() - got); });
        if (n < 0) wrong = errno;
        bytes.resize(got + static_cast<std::size_t>(std::max<ssize_t>(n, 0)));
        if (n == 0) break;
    }
    ::close(file);
    return wrong;
}

int put_all(int file, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t n = uninterrupted([&] { return ::write(file, bytes.data(), bytes.size()); });
        if (n < 0) return errno;
        if (n == 0) return ENOSPC;
        bytes.remove_prefix(static_cast<std::size_t>(n));
    }
    return 0;
}

int sync_file(int file) {
    const int error = error_of(uninterrupted([&] { return ::fsync(file); }));
    return error == EINVAL || error == ENOTSUP || error == EROFS ? 0 : error;
}

int sync_folder(const std::string& folder) {
    const int file = open_file(folder.empty() ? "." : folder, O_RDONLY | O_DIRECTORY);
    if (file < 0) return errno == EACCES ? 0 : errno; // one may write into a folder that one may not read
    const int error = sync_file(file);
    ::close(file);
    return error;
}

int close_file(int file) {
    // Interrupted it is closed all the same; what was to be synced is.
    return ::close(file) == 0 || errno == EINTR ? 0 : errno;
}

int lock_file(int file, int how, int most_milliseconds) {
    using Clock = std::chrono::steady_clock;
    const auto end = Clock::now() + std::chrono::milliseconds(most_milliseconds);
    for (;;) {
        const int error = error_of(uninterrupted([&] { return ::flock(file, how | LOCK_NB); }));
        if (error != EWOULDBLOCK || Clock::now() >= end) return error;
        ::usleep(5'000);
    }
}

int take_free_name(const std::string& from, const std::string& to) {
    return error_of(uninterrupted([&] { return ::link(from.c_str(), to.c_str()); }));
}

int take_name(const std::string& from, const std::string& to) {
    return error_of(uninterrupted([&] { return ::rename(from.c_str(), to.c_str()); }));
}

int remove_file(const std::string& path) {
    return error_of(uninterrupted([&] { return ::unlink(path.c_str()); }));
}

int make_folders(const std::string& folder, std::vector<std::string>& made, std::string& at) {
    std::vector<std::string> lacking;
    std::error_code error;
    std::filesystem::path each = folder;
    if (!each.has_filename()) each = each.parent_path();
    for (; !each.empty() && !std::filesystem::exists(each, error); each = each.parent_path())
        lacking.push_back(each.string());
    for (std::size_t i = lacking.size(); i-- > 0;) {
        at = lacking[i];
        const int wrong = error_of(uninterrupted([&] { return ::mkdir(lacking[i].c_str(), 0777); }));
        if (wrong == EEXIST) continue; // somebody else made it
        if (wrong != 0) return wrong;
        made.push_back(lacking[i]);
        if (const int lost = sync_folder(std::filesystem::path(lacking[i]).parent_path().string())) return lost;
    }
    return 0;
}

int set_mode(int file, unsigned mode) {
    const int error = error_of(uninterrupted([&] { return ::fchmod(file, mode); }));
    return error == EPERM || error == EINVAL || error == ENOTSUP ? 0 : error;
}

unsigned mode_of_new_file() {
    const mode_t mask = ::umask(0);
    ::umask(mask);
    return 0666U & ~mask;
}

} // namespace benchleaf::driver
