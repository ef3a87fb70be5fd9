#include "filled/text.h"

#include "base/text.h"

#include <cstddef>

namespace benchleaf::filled {

namespace {

constexpr char32_t escape = 0x1B;
constexpr std::size_t longest_mark = 4; // "enGB"

// What no single line has: C0, DEL, C1, the separators of lines and paragraphs.
bool breaks(char32_t c) {
    return c < 0x20 || (c >= 0x7F && c <= 0x9F) || c == 0x2028 || c == 0x2029;
}

// Where the text goes on after the mark of a language that begins at `at`; `at` itself where there is none.
std::size_t after_mark(std::string_view text, std::size_t at) {
    if (text[at] != static_cast<char>(escape)) return at;
    const std::size_t end = text.find(static_cast<char>(escape), at + 1);
    return end == std::string_view::npos || end - at - 1 > longest_mark ? at : end + 1;
}

} // namespace

std::string one_line(std::string_view utf8) {
    std::string line;
    std::string blanks; // since the last letter
    bool broken = false;
    for (std::size_t at = 0; at < utf8.size();) {
        if (const std::size_t after = after_mark(utf8, at); after != at) {
            at = after;
            continue;
        }
        const base::CodePoint point = base::code_point_at(utf8, at);
        const std::string_view letter = utf8.substr(at, point.bytes);
        at += point.bytes;
        if (breaks(point.value)) {
            broken = true;
        } else if (base::shows_nothing(letter)) {
            blanks += letter;
        } else {
            if (!line.empty()) line += broken ? " " : blanks;
            line += letter;
            blanks.clear();
            broken = false;
        }
    }
    return line;
}

std::string clipped(std::string_view utf8) {
    constexpr std::size_t most = 40;
    std::size_t at = 0;
    for (std::size_t n = 0; n < most && at < utf8.size(); ++n) at += base::code_point_at(utf8, at).bytes;
    return at == utf8.size() ? std::string(utf8) : std::string(utf8.substr(0, at)) + "…";
}

} // namespace benchleaf::filled
