#include "bundle/bundle.h"

#include "base/require.h"
#include "base/text.h"
#include "bundle/form.h"
#include "digest/digest.h"

#include <algorithm>
#include <charconv>
#include <cstdint>
#include <cstdlib>
#include <fmt/format.h>
#include <iterator>
#include <map>
#include <memory>
#include <optional>
#include <utf8proc.h>

namespace benchleaf::bundle {

namespace {

base::Failure refused(std::size_t line, std::string_view why) {
    return base::Failure{fmt::format("line {}: {}", line, why)};
}

// The lines of a bundle one by one. Each ends with a line feed: that was looked at before.
struct Lines {
    std::string_view rest;
    std::size_t taken = 0; // and so the number of the last one

    bool more() const { return !rest.empty(); }
    std::string_view next() const { return rest.substr(0, rest.find('\n')); }
    std::string_view take() {
        const std::string_view line = next();
        rest.remove_prefix(std::min(line.size() + 1, rest.size()));
        ++taken;
        return line;
    }
};

std::size_t line_of(std::string_view bundle, std::size_t at) {
    return 1 +
           static_cast<std::size_t>(std::count(bundle.begin(), bundle.begin() + static_cast<std::ptrdiff_t>(at), '\n'));
}

bool take_front(std::string_view& text, std::string_view front) {
    if (!text.starts_with(front)) return false;
    text.remove_prefix(front.size());
    return true;
}

bool is_control(char32_t c) {
    return c < 0x20 || (c >= 0x7F && c <= 0x9F);
}

// A path as it may stand in a message, in backticks.
std::string shown_path(std::string_view path) {
    constexpr std::size_t most_shown = 100;
    std::string to = "`";
    std::size_t shown = 0;
    for (std::size_t at = 0; at < path.size(); ++shown) {
        if (shown == most_shown) return to + "…`";
        const base::CodePoint point = base::code_point_at(path, at);
        if (is_control(point.value))
            to += '?';
        else
            to += path.substr(at, point.bytes);
        at += point.bytes;
    }
    return to + "`";
}

// -- Double quotes, as `write` sets them ----------------------------------------------------------------------------------

enum class Quotes : std::uint8_t { closed, go_on, wrong };

// The letter that `digits` name. Surrogates are none, so what comes out is UTF-8.
bool add_numbered(std::string& to, std::string_view digits, std::size_t count) {
    if (digits.size() < count) return false;
    std::uint32_t value = 0;
    const char* end = digits.data() + count;
    if (std::from_chars(digits.data(), end, value, 16).ptr != end) return false;
    if (value > 0x10FFFF || (value >= 0xD800 && value <= 0xDFFF)) return false;
    base::append_utf8(to, static_cast<char32_t>(value));
    return true;
}

// What one line holds of a quoted text: up to the quote that closes it, or to the backslash that says that it goes on.
Quotes add_unquoted(std::string& to, std::string_view line) {
    for (std::size_t at = 0; at < line.size(); ++at) {
        if (line[at] == '"') return at + 1 == line.size() ? Quotes::closed : Quotes::wrong;
        if (line[at] != '\\') {
            to += line[at];
            continue;
        }
        if (++at == line.size()) return Quotes::go_on;
        switch (line[at]) {
        case '"':
        case '\\':
            to += line[at];
            break;
        case 'n':
            to += '\n';
            break;
        case 'r':
            to += '\r';
            break;
        case 'u':
            if (!add_numbered(to, line.substr(at + 1), 4)) return Quotes::wrong;
            at += 4;
            break;
        case 'U':
            if (!add_numbered(to, line.substr(at + 1), 8)) return Quotes::wrong;
            at += 8;
            break;
        default:
            return Quotes::wrong;
        }
    }
    return Quotes::wrong;
}

// `line` begins behind the quote that opens.
std::optional<std::string> unquoted(Lines& lines, std::string_view line) {
    std::string text;
    for (;;) {
        const Quotes quotes = add_unquoted(text, line);
        if (quotes == Quotes::closed) return text;
        if (quotes == Quotes::wrong || !lines.more()) return std::nullopt;
        line = lines.take();
        if (!take_front(line, indent)) return std::nullopt;
        if (line.starts_with("\\ ") || line.starts_with("\\\t")) line.remove_prefix(1);
    }
}

// -- Paths ------------------------------------------------------------------------------------------------------------------

// What is wrong with a path by itself; nothing when it is right.
std::optional<std::string> wrong_path(std::string_view path) {
    for (std::size_t at = 0; at < path.size();) {
        const base::CodePoint point = base::code_point_at(path, at);
        if (is_control(point.value)) return "has a control character";
        at += point.bytes;
    }
    if (path.size() > longest_path) return fmt::format("has more than {} bytes", longest_path);
    if (path.find('\\') != std::string_view::npos) return "has a backslash; folders are parted by `/`";
    if (path.starts_with('/')) return "begins with `/`; it must begin at the shop's folder";
    const std::string front = base::small_letters(path.substr(0, 2));
    if (front.size() == 2 && front[0] >= 'a' && front[0] <= 'z' && front[1] == ':')
        return "begins with the letter of a drive; it must begin at the shop's folder";
    for (const std::string_view part : base::split(path, '/')) {
        if (part.empty()) return path.empty() ? "is empty" : "has an empty part";
        if (part == "..") return "has `..` in it, which leads out of a folder";
        if (part == ".") return "has `.` in it, which is no name";
        if (part.starts_with('.')) return "has a hidden part; no name may begin with a dot";
        if (part.size() > longest_part) return fmt::format("has a part of more than {} bytes", longest_part);
    }
    return std::nullopt;
}

// What of a path a disk may tell apart that does so least: with small letters, an accent and its letter in one. Folders part at a byte
// that sorts before all others, so that what lies in a folder stands right behind it.
std::string least_of(std::string_view path) {
    utf8proc_uint8_t* normal = nullptr;
    const auto length =
        utf8proc_map(reinterpret_cast<const utf8proc_uint8_t*>(path.data()), static_cast<utf8proc_ssize_t>(path.size()),
                     &normal, static_cast<utf8proc_option_t>(UTF8PROC_STABLE | UTF8PROC_COMPOSE));
    base::require(length >= 0, "a path in a bundle is valid UTF-8");
    const std::unique_ptr<utf8proc_uint8_t, decltype(&std::free)> owner(normal, &std::free);
    const std::string_view composed(reinterpret_cast<const char*>(normal), static_cast<std::size_t>(length));
    std::string to;
    for (std::size_t at = 0; at < composed.size();) {
        const base::CodePoint point = base::code_point_at(composed, at);
        if (point.value == '/')
            to += '\1';
        else
            base::append_utf8(to, static_cast<char32_t>(utf8proc_tolower(static_cast<utf8proc_int32_t>(point.value))));
        at += point.bytes;
    }
    return to;
}

using Paths = std::map<std::string, std::string>; // by the least of them

// What is wrong with a path beside those before it.
std::optional<std::string> wrong_beside(Paths& paths, const std::string& path) {
    const auto [here, is_new] = paths.emplace(least_of(path), path);
    if (!is_new)
        return here->second == path
                   ? "is there twice"
                   : fmt::format("differs from {} in nothing but capitals or the encoding of an accent",
                                 shown_path(here->second));
    const auto lies_in = [](const Paths::value_type& inner, const Paths::value_type& outer) {
        return inner.first.starts_with(outer.first) && inner.first[outer.first.size()] == '\1';
    };
    if (here != paths.begin() && lies_in(*here, *std::prev(here)))
        return fmt::format("lies in {}, which is a file", shown_path(std::prev(here)->second));
    if (std::next(here) != paths.end() && lies_in(*std::next(here), *here))
        return fmt::format("is a file, and {} lies in it", shown_path(std::next(here)->second));
    return std::nullopt;
}

// -- One file ---------------------------------------------------------------------------------------------------------------

// Lines that are set in, and empty ones.
std::string literal_text(Lines& lines, std::string_view header) {
    std::string text;
    while (lines.more() && (lines.next().empty() || lines.next().starts_with(indent))) {
        std::string_view line = lines.take();
        take_front(line, indent);
        text += line;
        text += '\n';
    }
    if (header.ends_with('-') && !text.empty()) text.pop_back();
    return text;
}

std::optional<std::string> picture_bytes(Lines& lines) {
    std::string base64;
    while (lines.more()) {
        std::string_view line = lines.next();
        if (!take_front(line, indent)) break;
        base64 += line;
        lines.take();
    }
    return digest::from_base64(base64);
}

base::Result<Unpacked> read_one(Lines& lines, Paths& paths) {
    Unpacked file;
    std::string_view line = lines.take();
    const std::size_t path_line = lines.taken;
    if (!take_front(line, "  - path: \""))
        return refused(path_line, "here only another file may begin: `  - path: \"…\"`");
    if (add_unquoted(file.path, line) != Quotes::closed) return refused(path_line, "the quotes of the path are wrong");
    const std::string path = shown_path(file.path);
    const auto refused_path = [&](std::string_view why) {
        return refused(path_line, fmt::format("the path {} {}", path, why));
    };
    if (const auto wrong = wrong_path(file.path)) return refused_path(*wrong);
    if (const auto wrong = wrong_beside(paths, file.path)) return refused_path(*wrong);

    line = lines.take();
    const std::size_t sum_line = lines.taken;
    std::string sum;
    if (!take_front(line, "    sha256: \"") || add_unquoted(sum, line) != Quotes::closed)
        return refused(sum_line, fmt::format("here the SHA-256 of {} must stand: `    sha256: \"…\"`", path));

    line = lines.take();
    const std::size_t header_line = lines.taken;
    const std::string small = base::small_letters(file.path);
    if (line == "    base64: |") {
        if (small.ends_with(".yaml") || small.ends_with(".yml"))
            return refused_path("is a picture's here, but names a text");
        file.picture = true;
        auto bytes = picture_bytes(lines);
        if (!bytes) return refused(header_line, fmt::format("the Base64 of {} is wrong", path));
        file.bytes = std::move(*bytes);
    } else if (take_front(line, "    text: ")) {
        if (!file.path.ends_with(".yaml")) return refused_path("is a text's, and does not end in `.yaml`");
        if (line == "|2" || line == "|2-" || line == "|2+") {
            file.bytes = literal_text(lines, line);
        } else {
            auto text = take_front(line, "\"") ? unquoted(lines, line) : std::nullopt;
            if (!text) return refused(lines.taken, fmt::format("the quotes of the text of {} are wrong", path));
            file.bytes = std::move(*text);
        }
    } else {
        return refused(header_line, fmt::format("here {} must begin: `    text: …` or `    base64: |`", path));
    }
    if (digest::sha256_hex(file.bytes) != sum)
        return refused(sum_line,
                       fmt::format("{} is not what it was when the bundle was made: its SHA-256 is another", path));
    return file;
}

// What is wrong with the bundle before its first file.
std::optional<base::Failure> wrong_head(Lines& lines) {
    const std::string_view first = lines.take();
    const std::string_view second = lines.take();
    std::string_view number = second;
    if (take_front(number, "bundle: ") && number != version && !number.empty() && number.size() < 10 &&
        std::all_of(number.begin(), number.end(), base::is_digit))
        return refused(2,
                       fmt::format("the bundle is of version {}, and this program reads version {}", number, version));
    if (first != of_a_card && first != handed_over)
        return refused(1, fmt::format("this is no bundle; one begins `{}`", handed_over));
    if (second != fmt::format("bundle: {}", version))
        return refused(2, fmt::format("here the version must stand: `bundle: {}`", version));
    if (lines.take() != "files:") return refused(3, "here the files must begin: `files:`");
    return std::nullopt;
}

} // namespace

base::Result<std::vector<Unpacked>> read(std::string_view bundle) {
    if (bundle.size() > most_bytes)
        return base::Failure{fmt::format("the bundle has more than {} million bytes", most_bytes / 1'000'000)};
    // Nothing that `write` makes has a carriage return of its own; where mail has changed the line ends, that is what to say.
    if (const std::size_t at = bundle.find('\r'); at != std::string_view::npos)
        return refused(line_of(bundle, at), "a carriage return; the line ends were changed on the way");
    if (const auto at = base::first_bad_utf8(bundle)) return refused(line_of(bundle, *at), "bytes that are no UTF-8");
    Lines lines{bundle};
    if (auto wrong = wrong_head(lines)) return *wrong;
    if (!bundle.ends_with('\n')) return refused(line_of(bundle, bundle.size()), "the last line is cut off");

    std::vector<Unpacked> files;
    Paths paths;
    while (lines.more()) {
        if (files.size() == most_files) return refused(lines.taken + 1, fmt::format("more than {} files", most_files));
        auto file = read_one(lines, paths);
        if (!file) return file.failure();
        files.push_back(std::move(file.value()));
    }

    // One text can be written in several ways, and only one of them is ours.
    std::vector<File> same;
    same.reserve(files.size());
    for (const Unpacked& file : files) same.push_back({file.path, file.bytes, file.picture});
    const std::string again = write(same, bundle.starts_with(handed_over) ? Heading::handed_over : Heading::of_a_card);
    if (again != bundle) {
        const auto at = std::mismatch(bundle.begin(), bundle.end(), again.begin(), again.end()).first;
        return refused(line_of(bundle, static_cast<std::size_t>(at - bundle.begin())),
                       "this is not how a bundle is written; it was changed after it was made");
    }
    return files;
}

std::optional<std::string> wrong_beside(std::span<const std::string> there, std::span<const std::string> coming) {
    Paths paths;
    Paths folders;
    const auto folders_above = [](const std::string& path) {
        std::vector<std::string> above;
        for (std::size_t slash = path.find('/'); slash != std::string::npos; slash = path.find('/', slash + 1))
            above.push_back(path.substr(0, slash));
        return above;
    };
    for (const std::string& path : there) {
        paths.emplace(least_of(path), path);
        for (const std::string& folder : folders_above(path)) folders.emplace(least_of(folder), folder);
    }
    for (const std::string& path : coming) {
        const auto is = paths.find(least_of(path));
        if (is != paths.end() && is->second == path) continue;
        auto wrong = wrong_path(path);
        if (!wrong) wrong = wrong_beside(paths, path);
        for (const std::string& folder : folders_above(path))
            if (const auto same = folders.emplace(least_of(folder), folder).first; !wrong && same->second != folder)
                wrong = fmt::format("lies in a folder that differs from {} in nothing but capitals or the encoding of "
                                    "an accent",
                                    shown_path(same->second));
        if (wrong) return fmt::format("the path {} {}", shown_path(path), *wrong);
    }
    return std::nullopt;
}

} // namespace benchleaf::bundle
