#include "driver/write_files.h"

#include "driver/disk.h"
#include "driver/landing.h"

#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <map>
#include <set>
#include <sys/file.h>
#include <unistd.h>
#include <utility>

namespace benchleaf::driver {

namespace {

// A folder as long as somebody writes there. Where the file system cannot lock it, nothing is ever removed, and everything is written.
class InFolder {
public:
    explicit InFolder(const std::string& path) : fd_(open_file(path.empty() ? "." : path, O_RDONLY | O_DIRECTORY)) {
        if (fd_ < 0) return;
        if (lock_file(fd_, LOCK_EX, 0) == 0) remove_leftovers_of(being_written, path);
        (void)lock_file(fd_, LOCK_SH, soon); // who has it alone is clearing up
    }
    InFolder(InFolder&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}
    InFolder& operator=(InFolder&&) = delete;
    ~InFolder() {
        if (fd_ >= 0) ::close(fd_);
    }

private:
    static constexpr int soon = 1000; // milliseconds
    int fd_;
};

// The folders of some files, which are made where they lack, each for as long as somebody writes there.
class InFolders {
public:
    base::Result<base::Done> enter(const std::string& path) {
        const std::string folder = std::filesystem::path(path).parent_path().string();
        if (folders_.contains(folder)) return base::Done{};
        std::vector<std::string> made;
        std::string at;
        if (const int wrong = make_folders(folder, made, at))
            return base::Failure{fmt::format("cannot make the folder {}: {}", at, std::strerror(wrong))};
        folders_.try_emplace(folder, folder);
        return base::Done{};
    }

private:
    std::map<std::string, InFolder> folders_;
};

} // namespace

base::Result<base::Done> write_files(const std::vector<Output>& outputs) {
    InFolders folders; // let go after the temporary files
    Landing landing(being_written, outputs.size() > 1);
    for (const Output& output : outputs) {
        if (auto entered = folders.enter(output.path); !entered) return entered;
        if (auto done = landing.prepare(output.path, output.bytes, Landing::Takes::any_name); !done) return done;
    }
    return landing.land();
}

bool holds_already(const std::string& path, const std::string& bytes) {
    std::string there;
    return read_all(path, bytes.size() + 1, there) == 0 && there == bytes;
}

base::Result<std::vector<std::string>> write_what_differs(std::vector<Output> outputs) {
    std::set<std::string> folders;
    for (const Output& output : outputs) folders.insert(std::filesystem::path(output.path).parent_path().string());
    for (const std::string& folder : folders) remove_leftovers(folder); // also where nothing is to be written
    std::erase_if(outputs, [](const Output& output) { return holds_already(output.path, output.bytes); });
    if (auto written = write_files(outputs); !written) return written.failure();
    std::vector<std::string> paths;
    for (Output& output : outputs) paths.push_back(std::move(output.path));
    return paths;
}

base::Result<bool> write_new_file(const Output& output) {
    InFolders folders;
    Landing landing(being_written, false);
    if (auto entered = folders.enter(output.path); !entered) return entered.failure();
    if (auto done = landing.prepare(output.path, output.bytes, Landing::Takes::free_name); !done) return done.failure();
    if (auto landed = landing.land(); landed)
        return true;
    else if (!landing.taken())
        return landed.failure();
    return false;
}

void remove_leftovers(const std::string& folder) {
    const InFolder cleared(folder);
}

} // namespace benchleaf::driver
