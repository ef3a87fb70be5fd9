#include "text/wrap.h"

#include "base/text.h"

#include <algorithm>
#include <linebreak.h>
#include <utf8proc.h>

namespace benchleaf::text {

namespace {

std::size_t cells_of(char32_t code_point) {
    const int width = utf8proc_charwidth(static_cast<utf8proc_int32_t>(code_point));
    return width < 0 ? 0 : static_cast<std::size_t>(width);
}

bool is_control(char32_t c) {
    return c < 0x20 || (c >= 0x7f && c < 0xa0);
}

// What is printed of a text: controls shown, no-break spaces plain.
std::string shown(std::string_view text) {
    std::string made;
    for (std::size_t i = 0; i < text.size();) {
        const base::CodePoint at = base::code_point_at(text, i);
        if (at.value == 0xa0 || at.value == 0x202f)
            made += ' ';
        else if (is_control(at.value))
            made += '?';
        else
            made += text.substr(i, at.bytes);
        i += at.bytes;
    }
    while (!made.empty() && made.back() == ' ') made.pop_back();
    return made;
}

} // namespace

std::size_t cells(std::string_view text) {
    std::size_t sum = 0;
    for (std::size_t i = 0; i < text.size();) {
        const base::CodePoint at = base::code_point_at(text, i);
        sum += is_control(at.value) ? 1 : cells_of(at.value);
        i += at.bytes;
    }
    return sum;
}

std::vector<std::string> wrap(std::string_view text, std::size_t width, std::string_view language) {
    static const bool ready = (init_linebreak(), true);
    static_cast<void>(ready);
    width = std::max<std::size_t>(width, 1);
    std::vector<char> breaks(text.size() + 1, LINEBREAK_NOBREAK);
    const std::string tag(language);
    if (!text.empty())
        set_linebreaks_utf8(reinterpret_cast<const utf8_t*>(text.data()), text.size(), tag.c_str(), breaks.data());

    std::vector<std::string> lines;
    std::size_t start = 0;     // of the line
    std::size_t may_break = 0; // the last place in it after which it may break; start: none
    std::size_t taken = 0;     // cells from start
    for (std::size_t i = 0; i < text.size();) {
        const base::CodePoint at = base::code_point_at(text, i);
        const std::size_t end = i + at.bytes;
        if (at.value == '\n') {
            lines.push_back(shown(text.substr(start, i - start)));
            start = may_break = i = end;
            taken = 0;
            continue;
        }
        const std::size_t more = is_control(at.value) ? 1 : cells_of(at.value);
        if (taken + more > width && at.value != ' ') { // a space may hang over the edge: it is not printed
            const std::size_t cut = may_break > start ? may_break : i;
            if (cut > start) {
                lines.push_back(shown(text.substr(start, cut - start)));
                start = may_break = cut;
                taken = cells(text.substr(start, i - start));
                if (taken + more > width) continue; // once more, from the new start
            }
        }
        taken += more;
        if (breaks[end - 1] == LINEBREAK_ALLOWBREAK || breaks[end - 1] == LINEBREAK_MUSTBREAK) may_break = end;
        i = end;
    }
    if (start < text.size() || lines.empty()) lines.push_back(shown(text.substr(start)));
    return lines;
}

std::string padded(std::string text, std::size_t width) {
    const std::size_t has = cells(text);
    if (has < width) text.append(width - has, ' ');
    return text;
}

std::string padded_left(std::string text, std::size_t width) {
    const std::size_t has = cells(text);
    if (has < width) text.insert(0, width - has, ' ');
    return text;
}

std::string repeated(std::string_view part, std::size_t times) {
    std::string made;
    for (std::size_t i = 0; i < times; ++i) made += part;
    return made;
}

} // namespace benchleaf::text
