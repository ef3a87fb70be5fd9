// Every word that the card itself prints, one UTF-8 file a language (src/labels/<language>.yaml), embedded when the program is built.
//
//     const Labels* labels = find("de");                          // nullptr: not a language of the card
//     fill(*labels, Key::do_remove, {"Radmutter"})                // "Ausbauen: Radmutter"
//     fill(labels->text(Key::page_of), {"1", "2"})                // "Seite 1 von 2"
//     join(*labels, names)                                        // "links und rechts"
//
// The keys are those of en.yaml; a key that another language lacks, or has too many of, stops the build. No sentence is put
// together from words: a frame takes names after a colon, so that no language needs case endings, and a counted thing has the forms
// that its language asks for. What the author wrote (names, states, texts) is printed as he wrote it.
#pragma once

#include "labels/keys.h"

#include <array>
#include <cstdint>
#include <initializer_list>
#include <span>
#include <string>
#include <string_view>

namespace benchleaf::labels {

// How many forms a counted thing has and which one a number takes (Unicode CLDR plural rules, from memory): `one_other` one at
// exactly 1; `french` one below 2; `polish` one, few, many, other.
enum class PluralRule : std::uint8_t { one_other, french, polish };

struct Labels {
    std::string_view language; // BCP 47: "en"
    PluralRule rule = PluralRule::one_other;
    std::array<std::string_view, key_count> texts;

    std::string_view text(Key key) const { return texts[static_cast<std::size_t>(key)]; }
    char decimal_mark() const { return text(Key::decimal_mark).front(); }
};

std::span<const Labels> languages(); // English first, the others by name

// By its tag; what comes after a hyphen is passed over ("de-AT" finds "de"). nullptr when the card does not speak it.
const Labels* find(std::string_view language);

// The blanks of a pattern filled: `{}` in order, `{1}` by number. Too few values leave the blank as it is.
std::string fill(std::string_view pattern, std::initializer_list<std::string_view> values);
std::string fill(const Labels& labels, Key key, std::initializer_list<std::string_view> values);

// "left", "left and right", "1, 2 and 3".
std::string join(const Labels& labels, std::span<const std::string> parts);

// The form of a counted thing that the number digits / 10^decimals takes: Key::unit_drop, 2 -> "drops".
std::string_view counted(const Labels& labels, Key unit, std::int64_t digits, unsigned decimals = 0);

// The same by the unit's symbol ("drop"); empty where the language has no word of its own for it ("mm").
std::string_view counted(const Labels& labels, std::string_view symbol, std::int64_t digits, unsigned decimals = 0);

// A value of an axis as it is read in a text ("left") and as it stands over a column ("L"). What the language has no word for
// ("2", a name of the shop's own) is printed as it is.
struct AxisWord {
    std::string_view word;
    std::string_view head;
};
AxisWord axis_word(const Labels& labels, std::string_view value);

} // namespace benchleaf::labels
