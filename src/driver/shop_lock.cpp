#include "driver/shop_lock.h"

#include "driver/disk.h"
#include "driver/shop_state.h"

#include "base/text.h"
#include "digest/digest.h"

#include <algorithm>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <set>
#include <sys/file.h>
#include <unistd.h>

namespace benchleaf::driver {

namespace fs = std::filesystem;

namespace {

constexpr int most_wait = 3000; // milliseconds: reading a shop, or writing into it, takes less
constexpr std::size_t most_list_bytes = 16U << 20U;
constexpr std::string_view list_head = "benchleaf puts these files in their places, and goes on if it was stopped";

std::string list_path(const std::string& root) {
    return root + "/.landing";
}

// A file of the list: where it goes, and where it lies.
struct Listed {
    std::string place, temporary;
    FileDigests digests;
};

// Empty: nothing stands there.
base::Result<std::string> digest_of_file(const std::string& path) {
    std::error_code error;
    if (fs::symlink_status(path, error).type() == fs::file_type::not_found) return std::string();
    const auto bytes = read_bytes(path, bundle::most_bytes);
    if (!bytes) return bytes.failure();
    return digest::sha256_hex(bytes.value());
}

// Below the root as far as it lies there, so that the shop may be moved.
std::string named_from(const fs::path& root, const std::string& path) {
    std::error_code error;
    const fs::path real = fs::canonical(root, error);
    const fs::path below = fs::absolute(path, error).lexically_relative(real);
    return below.empty() || *below.begin() == ".." ? fs::absolute(path, error).string() : below.string();
}

// Between zeros, which no path has.
std::string list_of(const std::string& root, const Landing& landing, const std::vector<FileDigests>& digests) {
    std::string list(list_head);
    const auto field = [&](const std::string& text) { list += '\0' + text; };
    for (std::size_t i = 0; i < landing.files().size(); ++i) {
        field(named_from(root, landing.files()[i].place));
        field(named_from(root, landing.files()[i].temporary));
        field(digests.at(i).before);
        field(digests.at(i).after);
    }
    return list;
}

// A plain file of the shop itself: below its root, not by way of a link that leads out of it, and nothing hidden, as git's own files are; and
// what waits for its name lies beside it.
bool may_be_finished(const std::string& root, const fs::path& place, const fs::path& temporary) {
    const auto hidden = [](const fs::path& part) { return part.string().starts_with('.'); };
    if (place.is_absolute() || place.empty() || std::any_of(place.begin(), place.end(), hidden)) return false;
    if (temporary.parent_path() != place.parent_path() || !is_leftover(temporary.filename().string(), being_landed))
        return false;
    std::error_code error;
    const fs::path real = fs::canonical(root, error);
    if (error) return false;
    const fs::path folder = fs::weakly_canonical(real / place.parent_path(), error).lexically_relative(real);
    return !error && !folder.empty() && *folder.begin() != "..";
}

base::Result<std::vector<Listed>> read_list(const std::string& root) {
    auto bytes = read_bytes(list_path(root), most_list_bytes);
    if (!bytes) return bytes.failure();
    const auto fields = base::split(bytes.value(), '\0');
    if (fields.size() % 4 != 1 || fields[0] != list_head)
        return base::Failure{
            fmt::format("{} is no list of files that were being put in their places", list_path(root))};
    std::vector<Listed> files;
    for (std::size_t i = 1; i < fields.size(); i += 4) {
        // A shop may have come from anybody, and this list with it.
        if (!may_be_finished(root, fields[i], fields[i + 1]))
            return base::Failure{fmt::format("{} tells of a file that no other program puts in its place: {}. See what "
                                             "it is, and remove the list",
                                             list_path(root), fields[i])};
        files.push_back({(fs::path(root) / fields[i]).string(),
                         (fs::path(root) / fields[i + 1]).string(),
                         {std::string(fields[i + 2]), std::string(fields[i + 3])}});
    }
    return files;
}

base::Failure cannot_finish(const std::string& root, const std::string& path, std::string_view why) {
    return base::Failure{fmt::format("a program that was putting files into {} was stopped half-way, and {} cannot be "
                                     "put in its place: {}",
                                     root, path, why)};
}

// What a stopped program left. Nothing is overwritten that somebody has changed since.
base::Result<base::Done> finish_landing(const std::string& root) {
    std::error_code error;
    if (!fs::exists(list_path(root), error)) return base::Done{}; // somebody else has been here
    const auto files = read_list(root);
    if (!files) return files.failure();
    std::vector<const Listed*> waiting;
    std::set<std::string> folders;
    for (const Listed& file : files.value()) {
        folders.insert(fs::path(file.place).parent_path().string());
        const auto waits = digest_of_file(file.temporary);
        if (!waits) return waits.failure();
        if (waits.value() != file.digests.after) continue; // it has its name, and may have been changed since
        const auto now = digest_of_file(file.place);
        if (!now) return now.failure();
        if (now.value() != file.digests.before && now.value() != file.digests.after)
            return cannot_finish(root, file.place,
                                 fmt::format("it was changed since. The new one is {}; see which of them is right, let "
                                             "it stand there alone, and remove the other",
                                             file.temporary));
        waiting.push_back(&file);
    }
    for (const Listed* file : waiting)
        if (const int wrong = take_name(file->temporary, file->place))
            return cannot_finish(root, file->place, std::strerror(wrong));
    folders.insert(root);
    for (const std::string& folder : folders) {
        if (const int wrong = sync_folder(folder)) return cannot_finish(root, folder, std::strerror(wrong));
        remove_leftovers_of(being_landed, folder);
    }
    if (const int wrong = remove_file(list_path(root)))
        return cannot_finish(root, list_path(root), std::strerror(wrong));
    (void)sync_folder(root);
    return base::Done{};
}

} // namespace

base::Result<std::unique_ptr<ShopLock>> ShopLock::take(const std::string& root, For what) {
    const int file = open_file(root, O_RDONLY | O_DIRECTORY);
    std::unique_ptr<ShopLock> lock(new ShopLock(file));
    if (file < 0 && what == For::writing)
        return base::Failure{fmt::format("cannot write into {}: {}", root, std::strerror(errno))};
    if (file < 0) return lock; // whoever reads it says why not
    const int how = what == For::reading ? LOCK_SH : LOCK_EX;
    for (;;) {
        if (lock_file(file, how, most_wait) == EWOULDBLOCK)
            return base::Failure{what == For::reading
                                     ? fmt::format("somebody else is writing into {}; nothing was read", root)
                                     : fmt::format("somebody else is at work in {}; nothing was written", root)};
        if (::faccessat(file, ".landing", F_OK, 0) != 0) return lock;
        if (lock_file(file, LOCK_EX, most_wait) == EWOULDBLOCK)
            return base::Failure{fmt::format("somebody else is at work in {}", root)};
        if (auto finished = finish_landing(root); !finished) return finished.failure();
    }
}

ShopLock::~ShopLock() {
    if (file_ >= 0) ::close(file_);
}

base::Result<base::Done> land_in_shop(const std::string& root, Landing& landing,
                                      const std::vector<FileDigests>& digests) {
    // One name is taken in one step.
    if (landing.files().size() < 2) return landing.land();
    Landing list(being_landed, false);
    if (auto made = list.prepare(list_path(root), list_of(root, landing, digests), Landing::Takes::any_name); !made)
        return made;
    if (auto made = list.land(); !made) return made;
    auto landed = landing.land();
    // What cannot even be put back is finished by whoever comes next.
    if (!landed && !landing.put_back()) return landed;
    const int wrong = remove_file(list_path(root));
    (void)sync_folder(root);
    if (landed && wrong != 0) return cannot_finish(root, list_path(root), std::strerror(wrong));
    return landed;
}

} // namespace benchleaf::driver
