#include "bundle/bundle.h"

#include "base/require.h"
#include "base/text.h"
#include "bundle/form.h"
#include "digest/digest.h"

#include <fmt/format.h>

#include <algorithm>

namespace benchleaf::bundle {

namespace {

// Every reader of YAML gives these back as they are in literal text (YAML 1.2.2, 5.1 and 5.4; 1.1 takes three more for line ends).
bool plain(std::uint32_t character) {
    if (character < 0x20) return character == '\n' || character == '\t';
    return (character < 0x7F || character > 0x9F) && character != 0x2028 && character != 0x2029 &&
           character != 0xFEFF && (character & 0xFFFEU) != 0xFFFEU;
}

bool literal(std::string_view text) {
    if (text.find_first_not_of(" \t\n") == std::string_view::npos) return false;
    for (std::size_t at = 0; (at = base::plain_ascii_end(text, at)) < text.size();) {
        const base::CodePoint point = base::code_point_at(text, at);
        if (!plain(point.value)) return false;
        at += point.bytes;
    }
    return true;
}

// Line by line, so that people can read it too: a backslash at the end of a line stands for no line end, and one before a line's
// first blank keeps the blank (7.3.1).
std::string in_quotes(std::string_view text) {
    std::string to = "\"";
    for (std::size_t at = 0; at < text.size();) {
        const base::CodePoint point = base::code_point_at(text, at);
        const auto value = static_cast<std::uint32_t>(point.value);
        if (value == '"' || value == '\\')
            to += {'\\', static_cast<char>(value)};
        else if (value == '\r')
            to += "\\r";
        else if (value == '\n') {
            to += "\\n";
            if (at + 1 < text.size()) {
                to += fmt::format("\\\n{}", indent);
                if (text[at + 1] == ' ' || text[at + 1] == '\t') to += '\\';
            }
        } else if (plain(value))
            to += text.substr(at, point.bytes);
        else
            to += value < 0x10000 ? fmt::format("\\u{:04X}", value) : fmt::format("\\U{:08X}", value);
        at += point.bytes;
    }
    return to + "\"";
}

void add_text(std::string& to, std::string_view text) {
    if (!literal(text)) {
        to += in_quotes(text) + "\n";
        return;
    }
    // How many line ends it closes with: none, one, or all that there are.
    to += !text.ends_with('\n') ? "|2-\n" : text.ends_with("\n\n") ? "|2+\n" : "|2\n";
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        if (end > at) to += indent;
        to += text.substr(at, end - at);
        to += '\n';
        at = end + 1;
    }
}

void add_base64(std::string& to, std::string_view bytes) {
    const std::string text = digest::base64(bytes);
    constexpr std::size_t line = 76;
    for (std::size_t at = 0; at < text.size(); at += line) {
        to += indent;
        to += std::string_view(text).substr(at, line);
        to += '\n';
    }
}

} // namespace

std::string write(std::span<const File> files, Heading heading) {
    std::string to =
        fmt::format("{}\nbundle: {}\nfiles:\n", heading == Heading::of_a_card ? of_a_card : handed_over, version);
    for (const File& file : files) {
        base::require(!base::first_bad_utf8(file.path) && (file.picture || !base::first_bad_utf8(file.bytes)),
                      "a file that a card was made of is UTF-8, unless it is a picture");
        to += fmt::format("  - path: {}\n    sha256: {}\n", in_quotes(file.path),
                          in_quotes(digest::sha256_hex(file.bytes)));
        if (file.picture) {
            to += "    base64: |\n";
            add_base64(to, file.bytes);
        } else {
            to += "    text: ";
            add_text(to, file.bytes);
        }
    }
    return to;
}

} // namespace benchleaf::bundle
