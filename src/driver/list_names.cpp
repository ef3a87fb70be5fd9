#include "driver/list_names.h"

#include "base/text.h"
#include "driver/shop_files.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <dirent.h>
#include <sys/stat.h>

namespace benchleaf::driver {

namespace {

constexpr std::size_t most_deep = 12; // well below what is read whole
constexpr std::string_view yaml = ".yaml";

constexpr std::array kinds_in_folders = {model::Kind::catalogue, model::Kind::vehicle, model::Kind::job,
                                         model::Kind::record,    model::Kind::answers, model::Kind::approval};

// `Catalogue`, `catalogues`, `catalog`: what lies there is not taken for what it is by its folder, and was meant to be.
bool is_slip_for_a_kind(std::string_view folder) {
    constexpr std::size_t least = 4; // letters of a beginning
    return std::any_of(kinds_in_folders.begin(), kinds_in_folders.end(), [&](model::Kind kind) {
        const std::string_view meant = model::folder(kind);
        return folder != meant &&
               (base::is_slip(folder, meant) || (folder.size() >= least && meant.starts_with(folder)));
    });
}

bool is_plain(std::string_view name) {
    return !base::first_bad_utf8(name) && std::none_of(name.begin(), name.end(), [](char c) {
        return static_cast<unsigned char>(c) < 0x20 || c == 0x7F;
    });
}

struct Listing {
    explicit Listing(const std::string& path) : entries(::opendir(path.c_str())) {}
    Listing(const Listing&) = delete;
    Listing& operator=(const Listing&) = delete;
    ~Listing() {
        if (entries != nullptr) ::closedir(entries);
    }
    DIR* entries;
};

struct NamesInFolder {
    std::vector<std::string> folders;
    std::string names; // of what ends in .yaml, each with a 0 behind it
    std::size_t files = 0;
    bool signers = false;
};

// False: not as it mostly is.
bool look_into(const std::string& path, bool approvals, NamesInFolder& into) {
    const Listing listing(path);
    if (listing.entries == nullptr) return false;
    std::size_t count = 0;
    errno = 0;
    while (const dirent* entry = ::readdir(listing.entries)) {
        const std::string_view name = entry->d_name;
        if (name == "." || name == "..") continue;
        ++count;
        if (name.front() == '.') continue;
        if (entry->d_type == DT_DIR) {
            into.folders.emplace_back(name);
            continue;
        }
        if (entry->d_type != DT_REG) return false;
        if (name.ends_with(yaml)) {
            if (!is_plain(name)) return false;
            into.names += name;
            into.names += '\0';
            ++into.files;
        } else if (looks_like_yaml(name)) {
            return false;
        } else if (approvals && name == "allowed-signers") {
            into.signers = true;
        }
    }
    return errno == 0 && count > 0;
}

} // namespace

model::Kind kind_of_folder(std::string_view below) {
    model::Kind found = model::Kind::procedure;
    for (const std::string_view part : base::split(below, '/'))
        for (const model::Kind kind : kinds_in_folders)
            if (part == model::folder(kind)) found = kind;
    return found;
}

bool is_catalogue(std::string_view path) {
    const std::size_t slash = path.rfind('/');
    return slash != std::string_view::npos && kind_of_folder(path.substr(0, slash)) == model::Kind::catalogue;
}

std::string_view stem_of(std::string_view path) {
    const std::string_view name = path.substr(path.rfind('/') + 1);
    return name.substr(0, name.rfind('.'));
}

bool NamesListed::list(const std::string& root, const std::string& below, std::size_t depth) {
    if (depth > most_deep || !is_plain(below)) return false;
    NamesInFolder found;
    if (!look_into(below.empty() ? root : root + "/" + below, below == "approvals", found)) return false;
    has_signers_ = has_signers_ || found.signers;
    if (files_.size() + found.files > most_files) return false;
    const std::size_t at = folders_.size();
    folders_.push_back({below, kind_of_folder(below), std::make_shared<std::string>(std::move(found.names))});
    std::string_view rest = *folders_.back().names;
    while (!rest.empty()) {
        const std::string_view name = rest.substr(0, rest.find('\0'));
        rest.remove_prefix(name.size() + 1);
        files_.push_back({at, name});
    }
    for (const std::string& each : found.folders) {
        if (below.empty() && each == "records") continue;
        if (is_slip_for_a_kind(each)) return false;
        if (!list(root, below.empty() ? each : below + "/" + each, depth + 1)) return false;
    }
    return true;
}

std::optional<NamesListed> NamesListed::of(const std::string& root) {
    NamesListed listed;
    if (!listed.list(root, "", 0)) return std::nullopt;
    listed.by_stem_.reserve(listed.files_.size());
    for (std::size_t i = 0; i < listed.files_.size(); ++i) {
        std::string_view stem = listed.files_[i].name;
        stem.remove_suffix(yaml.size());
        listed.by_stem_.emplace(stem, i);
    }
    return listed;
}

std::optional<std::vector<std::string>> NamesListed::folders_in(const std::string& root, const std::string& below) {
    const std::string path = root + "/" + below;
    struct stat about {};
    if (::lstat(path.c_str(), &about) != 0)
        return errno == ENOENT ? std::optional<std::vector<std::string>>(std::in_place) : std::nullopt;
    NamesInFolder found;
    if (!S_ISDIR(about.st_mode) || !look_into(path, false, found) || found.files != 0) return std::nullopt;
    std::sort(found.folders.begin(), found.folders.end());
    return std::move(found.folders);
}

std::optional<std::vector<std::string>> NamesListed::of_folder(const std::string& root, const std::string& below) {
    const std::string path = root + "/" + below;
    std::vector<std::string> paths;
    NamesInFolder found;
    if (!look_into(path, false, found) || !found.folders.empty()) return std::nullopt;
    for (const std::string_view name : base::split(found.names, '\0'))
        if (!name.empty()) paths.push_back(below + "/" + std::string(name));
    std::sort(paths.begin(), paths.end());
    return paths;
}

std::string NamesListed::path_of(const File& file) const {
    const std::string& below = folders_[file.folder].below;
    return below.empty() ? std::string(file.name) : below + "/" + std::string(file.name);
}

std::string NamesListed::path_of(model::Kind kind, std::string_view stem) const {
    const std::vector<std::string> all = paths_of(kind, stem);
    return all.size() == 1 ? all.front() : std::string();
}

std::vector<std::string> NamesListed::paths_of(model::Kind kind, std::string_view stem) const {
    std::vector<std::string> paths;
    const auto [begin, end] = by_stem_.equal_range(stem);
    for (auto at = begin; at != end; ++at)
        if (folders_[files_[at->second].folder].kind == kind) paths.push_back(path_of(files_[at->second]));
    return paths;
}

std::vector<std::string> NamesListed::of_another_kind(model::Kind kind, std::string_view stem) const {
    std::vector<std::string> paths;
    for (const model::Kind other :
         {model::Kind::catalogue, model::Kind::vehicle, model::Kind::procedure, model::Kind::job})
        if (other != kind)
            for (std::string& path : paths_of(other, stem)) paths.push_back(std::move(path));
    return paths;
}

std::vector<std::string> NamesListed::paths_of(model::Kind kind) const {
    std::vector<std::string> paths;
    for (const File& file : files_)
        if (folders_[file.folder].kind == kind) paths.push_back(path_of(file));
    std::sort(paths.begin(), paths.end());
    return paths;
}

} // namespace benchleaf::driver
