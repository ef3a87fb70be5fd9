#include "driver/land_files.h"

#include "base/text.h"
#include "digest/digest.h"
#include "driver/shop_files.h"
#include "driver/shop_lock.h"
#include "driver/shop_state.h"

#include <filesystem>
#include <fmt/format.h>
#include <utility>

namespace benchleaf::driver {

namespace fs = std::filesystem;

namespace {

bool leads_out(const fs::path& real_root, const fs::path& real) {
    const fs::path below = real.lexically_relative(real_root);
    return below.empty() || *below.begin() == "..";
}

base::Result<base::Done> is_as_it_was(const Coming& file) {
    std::error_code error;
    bool same = fs::symlink_status(file.path, error).type() == fs::file_type::not_found;
    if (file.before && !same) {
        auto bytes = read_bytes(file.path, bundle::most_bytes);
        if (!bytes) return bytes.failure();
        same = bytes.value() == *file.before;
    } else if (file.before) {
        same = false;
    }
    if (same) return base::Done{};
    return base::Failure{fmt::format("{} has changed since it was read; nothing was written", file.path)};
}

// What programs left that were killed before they were done with what they were landing.
void clear_up(const std::string& root) {
    std::error_code error;
    remove_leftovers_of(being_landed, root);
    fs::recursive_directory_iterator entries(root, error);
    for (; !error && entries != fs::recursive_directory_iterator(); entries.increment(error))
        if (entries->is_directory(error)) remove_leftovers_of(being_landed, entries->path().string());
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

base::Result<base::Done> land_at(const std::string& root, const std::vector<Coming>& files) {
    const auto lock = ShopLock::take(root, ShopLock::For::writing);
    if (!lock) return lock.failure();
    Landing landing(being_landed, files.size() > 1);
    clear_up(root);
    std::vector<FileDigests> digests;
    for (const Coming& file : files) {
        if (auto same = is_as_it_was(file); !same) return same;
        const auto takes = file.before ? Landing::Takes::any_name : Landing::Takes::free_name;
        if (auto prepared = landing.prepare(file.path, file.bytes, takes); !prepared) return prepared;
        digests.push_back(
            {file.before ? digest::sha256_hex(*file.before) : std::string(), digest::sha256_hex(file.bytes)});
    }
    return land_in_shop(root, landing, digests);
}

base::Result<base::Done> land_files(const std::string& root, const std::vector<Coming>& files) {
    std::vector<Coming> placed;
    for (const Coming& file : files) {
        auto place = place_in(root, file.path);
        if (!place) return place.failure();
        placed.push_back({std::move(place.value()), file.bytes, file.before});
    }
    return land_at(root, placed);
}

} // namespace benchleaf::driver
