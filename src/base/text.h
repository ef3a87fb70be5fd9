// Small helpers over UTF-8 text that more than one folder needs. No locale, no allocation where a view will do.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::base {

// The byte offset of the first byte that is not valid UTF-8 (overlong forms, surrogates and what lies beyond U+10FFFF
// are not).
std::optional<std::size_t> first_bad_utf8(std::string_view text);

// The code point at `at` and how many bytes it takes; for text already known to be valid UTF-8.
struct CodePoint {
    char32_t value;
    std::uint32_t bytes;
};
CodePoint code_point_at(std::string_view text, std::size_t at);

// Where, from `at` on, the first byte stands that is no printed ASCII, tab or line feed: most of a text can be passed over so.
std::size_t plain_ascii_end(std::string_view text, std::size_t at);

void append_utf8(std::string& to, char32_t code_point);

// How many terminal columns or character cells the text takes, counting code points.
std::size_t code_points(std::string_view text);

std::vector<std::string_view> split(std::string_view text, char at);
std::string_view trimmed(std::string_view text);

// Is there nothing in it that anybody could see on paper: blanks of every width, characters of no width? For valid UTF-8.
bool shows_nothing(std::string_view text);

// ASCII capitals made small; and blanks and underscores made hyphens, too: what `Held_By` was meant to be.
std::string small_letters(std::string_view text);
std::string kebab_case(std::string_view text);

constexpr bool is_digit(char byte) {
    return byte >= '0' && byte <= '9';
}

// The candidate that a person most likely meant by `word`: least edit distance (a swap of neighbours counts one), and
// only if that is at most a third of its length. Empty when none is near, or two are as near.
std::string_view nearest(std::string_view word, std::span<const std::string_view> candidates);

// Is `word` so surely a slip of the pen for `meant` that a machine may correct it? One letter too many, too few, another, or two that
// changed places, within a word of four letters or more and not its first; or other capitals, blanks and underscores. `lug-nut` is
// no slip for `hub-nut`, and `if-no` none for `if-so`.
bool is_slip(std::string_view word, std::string_view meant);

bool is_kebab_case(
    std::string_view name); // a-z, 0-9 and single hyphens between them; does not start or end with a hyphen

// "a", "a and b", "a, b and c": for messages, which are in English.
std::string join_and(std::span<const std::string> parts);

} // namespace benchleaf::base
