#include "driver/picture_files.h"

#include "base/text.h"
#include "digest/digest.h"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>
#include <vector>

namespace benchleaf::driver {

namespace fs = std::filesystem;

namespace {

using pictures::Refused;

void see_steps(const model::Steps& steps, const std::function<void(const source::Spanned<std::string>&)>& see) {
    for (const model::Step& step : steps) {
        if (const auto* file = model::picture_file(step)) see(*file);
        for (const auto* below : {&step.if_so, &step.if_not, &step.steps})
            if (*below) see_steps((*below)->value, see);
        if (step.again && step.again->value.otherwise) see_steps(step.again->value.otherwise->value, see);
    }
}

// Below the shop's folder as it is written, part by part.
std::string wrong_path(std::string_view path) {
    if (path.starts_with('/') || path.find('\\') != std::string_view::npos || path.find(':') != std::string_view::npos)
        return "a picture lies in the shop's folder, and its path counts from there";
    for (const std::string_view part : base::split(path, '/')) {
        if (part == ".." || part == ".") return "a picture lies in the shop's folder, and its path counts from there";
        if (part.empty() || part.front() == '.') return "no part of a path is empty or begins with a point";
    }
    return "";
}

constexpr std::string_view where_it_goes =
    "put the file into the shop's folder, and write its path from there, as in `pictures/caliper.png`";

// The files beside it whose names are near.
std::string near_to(const std::string& root, const std::string& path) {
    std::error_code error;
    std::vector<std::string> there;
    const fs::path folder = fs::path(path).parent_path();
    fs::directory_iterator entries(fs::path(root) / folder, error);
    for (; !error && entries != fs::directory_iterator() && there.size() < 1000; entries.increment(error)) {
        const std::string name = entries->path().filename().string();
        if (pictures::named_as_picture(name) && !base::first_bad_utf8(name)) there.push_back((folder / name).string());
    }
    std::sort(there.begin(), there.end());
    const std::vector<std::string_view> names(there.begin(), there.end());
    const std::string_view near = base::nearest(path, names);
    return near.empty() ? std::string(where_it_goes) : fmt::format("did you mean `{}`?", near);
}

struct OpenedPicture {
    int fd = -1;
    explicit OpenedPicture(int opened) : fd(opened) {}
    OpenedPicture(const OpenedPicture&) = delete;
    OpenedPicture& operator=(const OpenedPicture&) = delete;
    ~OpenedPicture() {
        if (fd >= 0) ::close(fd);
    }
};

struct NotThere {
    Refused refused;
};
using Bytes = std::variant<std::string, Refused, NotThere>;

Bytes picture_bytes(const std::string& root, const std::string& path) {
    std::error_code error;
    const fs::path whole = fs::path(root) / path;
    const fs::path real_root = fs::canonical(root, error);
    const fs::path real = error ? fs::path() : fs::canonical(whole, error);
    if (error) return NotThere{{"there is no such file in the shop's folder", near_to(root, path)}};
    const fs::path below = real.lexically_relative(real_root);
    if (below.empty() || *below.begin() == "..")
        return NotThere{{"it is a link that leads out of the shop's folder", "put the file itself there"}};
    const OpenedPicture file(::open(real.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOFOLLOW));
    struct stat about {};
    if (file.fd < 0 || ::fstat(file.fd, &about) != 0)
        return Refused{fmt::format("it cannot be read: {}", std::strerror(errno)), "look who may read the file"};
    if (!S_ISREG(about.st_mode))
        return Refused{S_ISDIR(about.st_mode) ? "it is a folder" : "it is no plain file", "name a PNG or JPEG file"};
    std::string bytes;
    bytes.resize(std::min(static_cast<std::size_t>(about.st_size), pictures::most_bytes) + 1);
    std::size_t got = 0;
    while (got < bytes.size()) { // one byte more than it may have is enough to refuse it
        const ssize_t n = ::read(file.fd, bytes.data() + got, bytes.size() - got);
        if (n < 0 && errno == EINTR) continue;
        if (n < 0)
            return Refused{fmt::format("it cannot be read: {}", std::strerror(errno)),
                           "look whether the disk is in order"};
        if (n == 0) break;
        got += static_cast<std::size_t>(n);
    }
    bytes.resize(got);
    return bytes;
}

} // namespace

void for_each_picture(const model::Procedure& procedure,
                      const std::function<void(const source::Spanned<std::string>&)>& see) {
    if (procedure.steps) see_steps(procedure.steps->value, see);
}

Shelf::Shelf(const Files& files) {
    for (const auto& [path, bytes] : files)
        if (pictures::named_as_picture(path)) in_memory_.emplace(path, bytes);
}

Shelf::Held Shelf::at(const std::string& path, bool pixels) const {
    const std::lock_guard lock(reading_);
    const auto found = held_.find(path);
    if (found != held_.end()) {
        const auto& picture = found->second.picture;
        if (!pixels || picture == nullptr || !picture->bytes.empty()) return found->second;
    }
    Held held = read(path);
    if (!pixels && held.picture != nullptr) {
        auto size = std::make_shared<pictures::Picture>();
        size->width = held.picture->width;
        size->height = held.picture->height;
        size->sha256 = held.picture->sha256;
        held.picture = std::move(size);
    }
    return held_.insert_or_assign(path, std::move(held)).first->second;
}

Shelf::Held Shelf::read(const std::string& path) const {
    const auto missing = [](Refused why) { return Held{nullptr, true, std::move(why)}; };
    const auto refused = [](Refused why) { return Held{nullptr, false, std::move(why)}; };
    if (const std::string wrong = wrong_path(path); !wrong.empty()) return missing({wrong, std::string(where_it_goes)});
    if (!pictures::named_as_picture(path))
        return missing({"a picture is a file whose name ends in `.png`, `.jpg` or `.jpeg`",
                        "open it in a program for pictures, and save it as a PNG; a photo as a JPEG"});
    std::string bytes;
    if (const auto held = in_memory_.find(path); held != in_memory_.end()) {
        bytes = held->second;
    } else if (root_.empty()) {
        return missing({"there is no such file in the shop's folder", std::string(where_it_goes)});
    } else {
        Bytes file = picture_bytes(root_, path);
        if (auto* none = std::get_if<NotThere>(&file)) return missing(std::move(none->refused));
        if (auto* wrong = std::get_if<Refused>(&file)) return refused(std::move(*wrong));
        bytes = std::move(*std::get_if<std::string>(&file));
    }
    const std::string sha256 = digest::sha256_hex(bytes);
    auto made = pictures::read(std::move(bytes), path);
    if (auto* wrong = std::get_if<Refused>(&made)) return refused(std::move(*wrong));
    auto picture = std::make_shared<pictures::Picture>(std::move(*std::get_if<pictures::Picture>(&made)));
    picture->sha256 = sha256;
    return {std::move(picture), false, {}};
}

} // namespace benchleaf::driver
