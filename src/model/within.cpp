#include "model/within.h"

#include <algorithm>
#include <string_view>
#include <vector>

namespace benchleaf::model {

namespace {

// For each byte of the value, and for its end, the byte of the spelling that it comes from. Empty when spelling and
// value do not match up.
std::vector<std::size_t> places_in(std::string_view spelling, std::string_view value, syntax::Style style) {
    std::vector<std::size_t> places;
    std::size_t at = 1; // after the quote
    for (std::size_t i = 0; i < value.size();) {
        if (at + 1 >= spelling.size()) return {};
        std::size_t wide = 1;  // bytes of the spelling
        std::size_t bytes = 1; // bytes of the value
        if (style == syntax::Style::single_quoted) {
            if (spelling[at] == '\'') wide = 2;
        } else if (spelling[at] == '\\') {
            const char kind = spelling[at + 1];
            wide = kind == 'x' ? 4 : kind == 'u' ? 6 : kind == 'U' ? 10 : 2;
            // An escape stands for one character, which may be several bytes.
            while (i + bytes < value.size() && (static_cast<unsigned char>(value[i + bytes]) & 0xC0U) == 0x80U) ++bytes;
        }
        places.insert(places.end(), bytes, at);
        i += bytes;
        at += wide;
    }
    places.push_back(at);
    return places;
}

} // namespace

source::Span within(const syntax::Node& scalar, const source::Sources& sources, std::size_t begin, std::size_t end) {
    using syntax::Style;
    const std::string_view spelling = sources.text(scalar.span);
    const auto span = [&](std::size_t from, std::size_t to) {
        return source::Span{scalar.span.file, static_cast<std::uint32_t>(scalar.span.begin + from),
                            static_cast<std::uint32_t>(scalar.span.begin + to)};
    };
    begin = std::min(begin, scalar.text.size());
    end = std::clamp(end, begin, scalar.text.size());
    if (scalar.style == Style::plain && spelling == scalar.text) return span(begin, end);
    if (scalar.style == Style::single_quoted || scalar.style == Style::double_quoted) {
        const auto places = places_in(spelling, scalar.text, scalar.style);
        if (!places.empty()) return span(places[begin], places[end]);
    }
    return scalar.span;
}

} // namespace benchleaf::model
