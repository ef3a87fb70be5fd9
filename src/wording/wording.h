// The texts that people wrote for people, taken apart into words, so that the checks on wording need not read them letter by letter.
// What is English is judged and nothing else: in a shop whose `language` is another, the value is empty. The linked shop and the
// sources must outlive it.
#pragma once

#include "linked/linked.h"
#include "source/source.h"

#include <cstdint>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::wording {

// Where a text stands: a step that is only a text, or the key that holds it.
enum class Kind : std::uint8_t { plain, say, why, ask, look_for, until, stop, hazard, avoid };

// What stands before a word, besides blanks: nothing, a comma or its like (brackets, dashes), or the end of a sentence (or semicolon,
// colon, the start of the text).
enum class Before : std::uint8_t { nothing, comma, stop };

// Letters, digits, and the hyphens, apostrophes and points within them. An item that the text names as `{lower-guide-bolt}` is one
// word, as its name is.
struct Word {
    std::string text;        // ASCII letters in small; of an item its name
    std::uint16_t count = 1; // how many words it is on paper
    bool item = false;       // stands for an item
    Before before = Before::nothing;
    std::uint32_t begin = 0; // bytes of the text's value, with the braces
    std::uint32_t end = 0;
};

struct Text {
    Kind kind{};
    const source::Spanned<std::string>* source = nullptr;
    std::vector<Word> words;            // never none
    linked::ProcedureId in;             // not known of a catalogue's
    const linked::Step* step = nullptr; // that it belongs to, if it is a step's
};

struct Wording {
    const source::Sources* sources = nullptr;
    const linked::Linked* linked = nullptr;
    std::vector<Text> texts;     // in the order of the files
    std::set<std::string> names; // of items, tools and consumables, in small letters, those of two words and more
};

// Is it an order to the mechanic: a plain step, or the wording of a verb?
bool orders(const Text& text);

// The part [begin, end) of a text's value in its file; the whole text where the file spells it otherwise.
source::Span part_of(const Wording& wording, const Text& text, std::size_t begin, std::size_t end);

} // namespace benchleaf::wording
