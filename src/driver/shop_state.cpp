#include "driver/shop_state.h"

#include "driver/asked.h"
#include "driver/disk.h"
#include "driver/job_cards.h"
#include "driver/load_filled.h"
#include "driver/picture_files.h"
#include "driver/run_program.h"
#include "driver/say.h"

#include "base/text.h"
#include "bundle/bundle.h"

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cstring>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <map>
#include <utility>
#include <vector>

namespace benchleaf::driver {

namespace fs = std::filesystem;

namespace {

bool is_yaml(std::string_view path) {
    const std::string small = base::small_letters(path);
    return small.ends_with(".yaml") || small.ends_with(".yml");
}

bool is_picture(std::string_view path) {
    const std::string small = base::small_letters(path);
    return small.ends_with(".png") || small.ends_with(".jpg") || small.ends_with(".jpeg");
}

std::string folder_above(std::string_view path) {
    const std::size_t slash = path.rfind('/');
    return std::string(slash == std::string_view::npos ? std::string_view() : path.substr(0, slash));
}

// What was done is no part of how it is done.
void leave_out_records(Files& files) {
    std::erase_if(files, [](const auto& file) {
        return lies_below(file.first, "records") || lies_below(file.first, "answers") ||
               lies_below(file.first, "approvals");
    });
}

// -- A revision of git's ----------------------------------------------------------------------------------------------
struct Blob {
    std::string object;
    std::string path;       // below the repository's root
    std::string repository; // its folder: a submodule has one of its own
};

constexpr int most_submodules_deep = 8;

class Revision {
public:
    explicit Revision(std::string revision) : revision_(std::move(revision)) {}

    base::Result<ShopState> read(const std::string& named, std::string path) {
        if (auto listed = list(); !listed) return listed.failure();
        if (path.starts_with("./") || path.starts_with("../") || path == "." || path == "..") {
            const auto here = git(".", {"rev-parse", "--show-prefix"});
            if (!here) return here.failure();
            path = (fs::path(std::string(base::trimmed(here.value()))) / path).lexically_normal().generic_string();
            if (path == ".") path.clear();
        }
        while (path.ends_with('/')) path.pop_back();
        const bool any =
            std::any_of(blobs_.begin(), blobs_.end(), [&](const Blob& blob) { return lies_below(blob.path, path); });
        if (!any) return misnamed(fmt::format("there is no {} in {}", path, revision_));
        const auto roots = roots_for(path);
        if (roots.empty()) return misnamed(fmt::format("there is no shop.yaml in {}, nor above it", named));
        if (roots.size() > 1)
            return misnamed(
                fmt::format("{} has several shops; name one of them: {}:{}", named, revision_, roots.front()));
        const std::string& root = roots.front();
        ShopState state;
        state.named = named;
        state.only = path.size() > root.size() ? path.substr(root.empty() ? 0 : root.size() + 1) : std::string();
        auto bytes = take(root);
        if (!bytes) return bytes.failure();
        state.files = Files(std::move(bytes.value()));
        state.files.shelf = std::make_shared<Shelf>(state.files);
        std::erase_if(state.files, [](const auto& file) { return !is_yaml(file.first); });
        return state;
    }

    bool is_misnamed() const { return misnamed_; } // what read() failed for: there is no such thing

private:
    base::Failure misnamed(std::string what) {
        misnamed_ = true;
        return {std::move(what)};
    }

    static base::Result<std::string> git(const std::string& repository, std::vector<std::string> arguments,
                                         std::string_view in = {}) {
        arguments.insert(arguments.begin(), {"git", "-C", repository});
        auto ran = run_program(arguments, in);
        if (!ran) return ran.failure();
        if (ran.value().status != 0) {
            std::string_view why = base::trimmed(ran.value().err);
            return base::Failure{fmt::format("git: {}", why.substr(0, why.find('\n')))};
        }
        return std::move(ran.value().out);
    }

    base::Result<base::Done> list() {
        const auto object = git(".", {"rev-parse", "--verify", "--quiet", "--end-of-options", revision_ + "^{tree}"});
        const auto top = git(".", {"rev-parse", "--show-toplevel"});
        if (!object || !top) return misnamed(fmt::format("git knows no revision {} here", revision_));
        std::string root = top.value();
        if (root.ends_with('\n')) root.pop_back();
        return list(root, std::string(base::trimmed(object.value())), "", 0);
    }

    base::Result<base::Done> list(const std::string& repository, const std::string& tree, const std::string& below,
                                  int depth) {
        const auto listed = git(repository, {"ls-tree", "-r", "-z", "--full-tree", tree});
        if (!listed) return listed.failure();
        for (const std::string_view entry : base::split(listed.value(), '\0')) { // "100644 blob 4b825d…\tpath"
            const std::size_t tab = entry.find('\t');
            const auto parts = base::split(entry.substr(0, tab), ' ');
            if (tab == std::string_view::npos || parts.size() != 3 || parts[0] == "120000") continue;
            const std::string path = below + std::string(entry.substr(tab + 1));
            if (parts[1] == "blob") {
                blobs_.push_back({std::string(parts[2]), path, repository});
            } else if (parts[1] == "commit" && depth < most_submodules_deep) { // what that revision has of a submodule
                const std::string inside = repository + "/" + std::string(entry.substr(tab + 1));
                if (auto of = list(inside, std::string(parts[2]) + "^{tree}", path + "/", depth + 1); !of)
                    return base::Failure{fmt::format(
                        "the submodule {} is not here as {} has it ({}); `git submodule update --init` fetches it",
                        path, revision_, of.failure().what)};
            }
        }
        return base::Done{};
    }

    // The nearest folder upward with a shop.yaml; of the repository's root also those below.
    std::vector<std::string> roots_for(const std::string& path) const {
        const auto has_shop = [&](const std::string& folder) {
            const std::string file = folder.empty() ? "shop.yaml" : folder + "/shop.yaml";
            return std::any_of(blobs_.begin(), blobs_.end(), [&](const Blob& blob) { return blob.path == file; });
        };
        for (std::string folder = path;; folder = folder_above(folder)) {
            if (has_shop(folder)) return {folder};
            if (folder.empty()) break;
        }
        std::vector<std::string> found;
        if (!path.empty()) return found;
        for (const Blob& blob : blobs_)
            if (blob.path.ends_with("/shop.yaml")) found.push_back(folder_above(blob.path));
        return found;
    }

    base::Result<std::map<std::string, std::string>> take(const std::string& root) {
        std::map<std::string, std::vector<const Blob*>> wanted; // by their repository
        for (const Blob& blob : blobs_) {
            const bool hidden = blob.path.starts_with('.') || blob.path.find("/.") != std::string::npos;
            if (lies_below(blob.path, root) && !hidden && (is_yaml(blob.path) || is_picture(blob.path)))
                wanted[blob.repository].push_back(&blob);
        }
        std::map<std::string, std::string> files;
        for (const auto& [repository, blobs] : wanted)
            if (auto taken = take(repository, blobs, root.empty() ? 0 : root.size() + 1, files); !taken)
                return taken.failure();
        return files;
    }

    base::Result<base::Done> take(const std::string& repository, const std::vector<const Blob*>& blobs,
                                  std::size_t root, std::map<std::string, std::string>& files) {
        std::string objects;
        for (const Blob* blob : blobs) objects += blob->object + "\n";
        auto all = git(repository, {"cat-file", "--batch"}, objects);
        if (!all) return all.failure();
        std::string_view rest = all.value();
        for (const Blob* blob : blobs) { // "4b825d… blob 123\n", the bytes, "\n"
            const std::size_t end = rest.find('\n');
            const auto head = base::split(rest.substr(0, end), ' ');
            std::size_t size = 0;
            if (end == std::string_view::npos || head.size() != 3 ||
                std::from_chars(head[2].data(), head[2].data() + head[2].size(), size).ec != std::errc() ||
                rest.size() < end + 1 + size)
                return base::Failure{fmt::format("git gave no {} of {}", blob->path, revision_)};
            files.emplace(blob->path.substr(root), rest.substr(end + 1, size));
            rest.remove_prefix(std::min(rest.size(), end + 2 + size));
        }
        return base::Done{};
    }

    std::string revision_;
    std::vector<Blob> blobs_;
    bool misnamed_ = false;
};

base::Result<ShopState> read_folder_or_file(const std::string& named) {
    ShopState state;
    state.named = named;
    std::error_code error;
    const auto root = fs::exists(fs::path(named) / "shop.yaml", error) ? std::optional(named) : find_shop(named);
    const auto below = root ? below_root(*root, named) : std::nullopt;
    if (below) {
        auto shop = read_shop(*root);
        if (!shop) return shop.failure();
        state.files = std::move(shop.value().files);
        state.only = *below;
        return state;
    }
    if (fs::is_directory(named, error)) { // of a shared catalogue, say: all that it has
        auto shop = read_shop(named);
        if (!shop) return shop.failure();
        state.files = std::move(shop.value().files);
        state.whole = false;
        return state;
    }
    auto bytes = read_bytes(named, bundle::most_bytes);
    if (!bytes) return bytes.failure();
    state.loose = std::move(bytes.value());
    state.whole = false;
    return state;
}

} // namespace

base::Result<std::string> read_bytes(const std::string& path, std::size_t most) {
    std::error_code error;
    const auto size = fs::file_size(path, error);
    if (error) return base::Failure{fmt::format("cannot read {}: {}", path, error.message())};
    if (size > most) return base::Failure{fmt::format("cannot read {}: it has more than {} bytes", path, most)};
    std::string bytes;
    if (const int wrong = read_all(path, most, bytes))
        return base::Failure{fmt::format("cannot read {}: {}", path, std::strerror(wrong))};
    return bytes;
}

bool is_bundle(std::string_view bytes) {
    while (bytes.starts_with('#')) bytes.remove_prefix(std::min(bytes.size(), bytes.find('\n') + 1));
    return bytes.starts_with("bundle:");
}

base::Result<std::vector<bundle::Unpacked>> unpack(const std::string& path, const std::string& bytes) {
    std::string source;
    if (is_pdf(bytes)) {
        const auto reader = load_filled();
        if (!reader) return reader.failure();
        auto pdf = read_pdf(*reader.value(), filled::Form::may_be_missing, path, bytes);
        if (!pdf) return pdf.failure();
        source = std::move(pdf.value().filled.source);
    } else if (is_bundle(bytes)) {
        source = bytes;
    } else {
        return base::Failure{fmt::format("{} is neither a bundle nor a printed card", path)};
    }
    auto unpacked = bundle::read(source);
    if (!unpacked) return base::Failure{fmt::format("{}: {}", path, unpacked.failure().what)};
    return std::move(unpacked.value());
}

base::Result<Files> read_bundle(const std::string& path, const std::string& bytes) {
    auto unpacked = unpack(path, bytes);
    if (!unpacked) return unpacked.failure();
    Files files;
    for (bundle::Unpacked& each : unpacked.value()) files.emplace(std::move(each.path), std::move(each.bytes));
    files.shelf = std::make_shared<Shelf>(files);
    std::erase_if(files, [](const auto& file) { return !is_yaml(file.first); });
    return files;
}

std::optional<ShopState> read_state(const std::string& named, Terminal& terminal, int& status) {
    std::error_code error;
    const std::size_t colon = named.find(':');
    bool misnamed = false;
    auto read = [&]() -> base::Result<ShopState> {
        if (fs::exists(named, error)) {
            if (!fs::is_directory(named, error)) {
                auto bytes = read_bytes(named, bundle::most_bytes);
                if (!bytes) return bytes.failure();
                if (is_pdf(bytes.value()) || is_bundle(bytes.value())) {
                    auto files = read_bundle(named, bytes.value());
                    if (!files) return files.failure();
                    ShopState state;
                    state.named = named;
                    state.files = std::move(files.value());
                    state.whole = false;
                    return state;
                }
            }
            return read_folder_or_file(named);
        }
        if (colon != std::string::npos && colon > 0) {
            Revision revision(named.substr(0, colon));
            auto state = revision.read(named, named.substr(colon + 1));
            misnamed = revision.is_misnamed();
            return state;
        }
        misnamed = true;
        return base::Failure{
            fmt::format("there is no {}; a state in git is said as REVISION:PATH, like HEAD:procedures", named)};
    }();
    if (!read) {
        if (misnamed) {
            status = usage_error(terminal, read.failure().what);
            return std::nullopt;
        }
        terminal.say(fmt::format("benchleaf: {}\n", read.failure().what));
        status = input_has_errors;
        return std::nullopt;
    }
    leave_out_records(read.value().files);
    return std::move(read.value());
}

} // namespace benchleaf::driver
