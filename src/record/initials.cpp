#include "base/require.h"
#include "base/text.h"
#include "record/judge.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <memory>
#include <utf8proc.h>

namespace benchleaf::record {

namespace {

enum class Script : std::uint8_t { none, latin, greek, cyrillic };

// Small letters and large ones of the three scripts that a card has stand in blocks of their own (Unicode 15, "Latin-1 Supplement" to "Cyrillic").
Script script_of(std::uint32_t letter) {
    if ((letter >= 'a' && letter <= 'z') || (letter >= 'A' && letter <= 'Z')) return Script::latin;
    if (letter >= 0xC0 && letter <= 0x24F && letter != 0xD7 && letter != 0xF7) return Script::latin;
    if (letter >= 0x370 && letter <= 0x3FF) return Script::greek;
    if (letter >= 0x400 && letter <= 0x52F) return Script::cyrillic;
    return Script::none;
}

// Said where something was not done, or typed at the wrong place; in the languages of the cards.
constexpr std::array<std::string_view, 26> no_initials_words{
    "no", "not", "none", "nope", "yes", "ok",   "x",    "nein", "ja",   "non", "oui",  "nie",  "tak",
    "si", "sí",  "oxi",  "όχι",  "ναι", "stop", "back", "skip", "list", "all", "good", "late", "later"};

std::string folded(std::string_view text) {
    utf8proc_uint8_t* to = nullptr;
    const auto length =
        utf8proc_map(reinterpret_cast<const utf8proc_uint8_t*>(text.data()), static_cast<utf8proc_ssize_t>(text.size()),
                     &to, static_cast<utf8proc_option_t>(UTF8PROC_STABLE | UTF8PROC_COMPOSE | UTF8PROC_CASEFOLD));
    const std::unique_ptr<utf8proc_uint8_t, decltype(&std::free)> owner(to, &std::free);
    base::require(length >= 0, "initials are valid UTF-8");
    return {reinterpret_cast<const char*>(to), static_cast<std::size_t>(length)};
}

} // namespace

std::string bare_initials(std::string_view text) {
    if (!in_letters(text)) return {};
    const std::string small = folded(base::trimmed(text));
    if (std::find(no_initials_words.begin(), no_initials_words.end(), small) != no_initials_words.end()) return {};
    std::string bare;
    Script script = Script::none;
    std::size_t letters = 0;
    for (std::size_t at = 0; at < small.size();) {
        const base::CodePoint point = base::code_point_at(small, at);
        const std::string_view letter = std::string_view(small).substr(at, point.bytes);
        at += point.bytes;
        if (letter == " " || letter == "." || letter == "-") continue;
        const Script its = script_of(point.value);
        if (its == Script::none || (script != Script::none && its != script)) return {};
        script = its;
        bare += letter;
        ++letters;
    }
    return letters <= 4 ? bare : std::string();
}

} // namespace benchleaf::record
