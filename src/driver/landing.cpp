#include "driver/landing.h"

#include "driver/disk.h"

#include <cstring>
#include <filesystem>
#include <fmt/format.h>
#include <set>
#include <sys/stat.h>
#include <unistd.h>

namespace benchleaf::driver {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view kept_end = ".kept";

base::Failure cannot_write(const std::string& path, int error) {
    return base::Failure{fmt::format("cannot write {}: {}", path, std::strerror(error))};
}

std::string folder_of(const std::string& path) {
    return fs::path(path).parent_path().string();
}

} // namespace

bool is_leftover(std::string_view name, std::string_view mark) {
    constexpr std::size_t random = 6;
    constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789";
    if (name.ends_with(kept_end)) name.remove_suffix(kept_end.size());
    if (name.size() <= mark.size() + random) return false;
    const std::string_view end = name.substr(name.size() - mark.size() - random);
    return end.starts_with(mark) && end.find_first_not_of(letters, mark.size()) == std::string_view::npos;
}

void remove_leftovers_of(std::string_view mark, const std::string& folder) {
    std::error_code error;
    for (auto entry = fs::directory_iterator(folder.empty() ? "." : folder, error);
         !error && entry != fs::directory_iterator(); entry.increment(error))
        if (is_leftover(entry->path().filename().string(), mark) &&
            entry->symlink_status(error).type() == fs::file_type::regular)
            (void)remove_file(entry->path().string());
}

Landing::~Landing() {
    (void)put_back();
}

base::Result<base::Done> Landing::prepare(const std::string& place, std::string_view bytes, Takes takes) {
    files_.push_back({place, "", "", takes});
    std::string at;
    if (const int wrong = make_folders(folder_of(place), folders_, at))
        return base::Failure{fmt::format("cannot make the folder {}: {}", at, std::strerror(wrong))};
    std::error_code error;
    if (fs::is_directory(place, error)) return cannot_write(place, EISDIR);
    if (const int wrong = write_beside(files_.back(), bytes)) return cannot_write(place, wrong);
    files_.back().stood = fs::exists(place, error);
    if (!several_ || takes == Takes::free_name || !files_.back().stood) return base::Done{};
    if (const int wrong = keep_old(files_.back())) return cannot_write(files_.back().temporary + ".kept", wrong);
    return base::Done{};
}

int Landing::write_beside(OnItsWay& file, std::string_view bytes) const {
    std::string name;
    const int fd = open_new_beside(file.place + std::string(mark_), name);
    if (fd < 0) return errno;
    file.temporary = name;
    // It is made so that only its owner may read it; a card is for everybody, an existing file keeps its mode.
    struct stat about {};
    const bool there = ::stat(file.place.c_str(), &about) == 0;
    int wrong = set_mode(fd, there ? about.st_mode & 07777U : mode_of_new_file());
    if (wrong == 0) wrong = put_all(fd, bytes);
    if (wrong == 0) wrong = sync_file(fd);
    const int lost = close_file(fd);
    return wrong != 0 ? wrong : lost;
}

// The old file itself where the file system has links; else a copy of it.
int Landing::keep_old(OnItsWay& file) const {
    const std::string kept = file.temporary + std::string(kept_end);
    std::error_code error;
    const int wrong = take_free_name(file.place, kept);
    if (wrong == EPERM || wrong == ENOTSUP) {
        if (!fs::copy_file(file.place, kept, error)) return error ? error.value() : EIO;
    } else if (wrong != 0) {
        return wrong;
    }
    file.kept = kept;
    return 0;
}

int Landing::take_its_name(OnItsWay& file) {
    if (file.takes == Takes::any_name) {
        const int wrong = take_name(file.temporary, file.place);
        file.landed = wrong == 0;
        return wrong;
    }
    // link(2) refuses a name that is taken, in one step; rename(2) would replace it.
    int wrong = take_free_name(file.temporary, file.place);
    if (wrong == EPERM || wrong == ENOTSUP) { // a file system without links
        struct stat about {};
        wrong = ::lstat(file.place.c_str(), &about) == 0 ? EEXIST : take_name(file.temporary, file.place);
    }
    taken_ = wrong == EEXIST;
    file.landed = wrong == 0;
    file.stood = taken_;
    if (file.landed) (void)remove_file(file.temporary);
    return wrong;
}

base::Result<base::Done> Landing::land() {
    std::set<std::string> folders;
    for (OnItsWay& file : files_) {
        if (const int wrong = take_its_name(file)) return cannot_write(file.place, wrong);
        folders.insert(folder_of(file.place));
    }
    // What took its name has it for good only when the folder is on the disk.
    for (const std::string& folder : folders)
        if (const int wrong = sync_folder(folder)) return cannot_write(folder.empty() ? "." : folder, wrong);
    done_ = true;
    for (const OnItsWay& file : files_) remove_helpers(file);
    return base::Done{};
}

bool Landing::put_back() {
    if (done_) return true;
    done_ = true;
    for (std::size_t i = files_.size(); i-- > 0;) {
        OnItsWay& file = files_[i];
        if (!file.landed) continue;
        int wrong = 0;
        if (!file.kept.empty())
            wrong = take_name(file.kept, file.place);
        else if (!file.stood)
            wrong = remove_file(file.place);
        if (wrong != 0) return false;
        file.kept.clear();
    }
    for (const OnItsWay& file : files_) remove_helpers(file);
    for (std::size_t i = folders_.size(); i-- > 0;) ::rmdir(folders_[i].c_str());
    return true;
}

// What cannot be removed now is a leftover.
void Landing::remove_helpers(const OnItsWay& file) {
    if (!file.kept.empty()) (void)remove_file(file.kept);
    if (!file.landed && !file.temporary.empty()) (void)remove_file(file.temporary);
}

} // namespace benchleaf::driver
