#include "wording/check.h"

#include <array>
#include <fmt/format.h>

namespace benchleaf::wording {

namespace {

using std::string_view_literals::operator""sv;

// What leaves to the reader what only the author knew: how much, whether at all, how good is good enough. Words for a way to move
// that a hand understands (slowly, firmly, gently) are not among them.
constexpr std::array phrases = {"properly"sv,         "proper"sv,         "adequate"sv,        "adequately"sv,
                                "sufficient"sv,       "sufficiently"sv,   "appropriate"sv,     "appropriately"sv,
                                "suitable"sv,         "suitably"sv,       "satisfactory"sv,    "satisfactorily"sv,
                                "reasonable"sv,       "reasonably"sv,     "excessive"sv,       "excessively"sv,
                                "acceptable"sv,       "acceptably"sv,     "approximately"sv,   "periodically"sv,
                                "occasionally"sv,     "regularly"sv,      "as required"sv,     "as necessary"sv,
                                "as needed"sv,        "as appropriate"sv, "as applicable"sv,   "as desired"sv,
                                "if required"sv,      "if necessary"sv,   "if needed"sv,       "if appropriate"sv,
                                "if applicable"sv,    "if possible"sv,    "when required"sv,   "when necessary"sv,
                                "when needed"sv,      "where required"sv, "where necessary"sv, "where possible"sv,
                                "where applicable"sv, "should be ok"sv,   "and so on"sv,       "etc"sv,
                                "and/or"sv,           "or similar"sv,     "or equivalent"sv,   "good condition"sv,
                                "normal"sv,           "normally"sv,       "a bit"sv,           "a few"sv,
                                "several"sv,          "some time"sv};

// How many words the phrase takes from `at`; 0 where it does not stand there.
std::size_t stands_at(const std::vector<Word>& words, std::size_t at, std::string_view phrase) {
    for (std::size_t count = 0; at + count < words.size(); phrase.remove_prefix(1)) {
        const Word& word = words[at + count];
        if (word.item || !phrase.starts_with(word.text) || (count > 0 && word.before != Before::nothing)) return 0;
        phrase.remove_prefix(word.text.size());
        ++count;
        if (phrase.empty()) return count;
        if (phrase.front() != ' ') return 0;
    }
    return 0;
}

bool judged(Kind kind) {
    return kind == Kind::plain || kind == Kind::say || kind == Kind::look_for || kind == Kind::avoid;
}

void find_vague_words(const Wording& wording, const Check& self, messages::Messages& out) {
    for (const Text& text : wording.texts) {
        if (!judged(text.kind)) continue;
        for (std::size_t at = 0; at < text.words.size(); ++at) {
            if (text.words[at].item) continue;
            for (const std::string_view phrase : phrases) {
                if (phrase.front() != text.words[at].text.front()) continue;
                const std::size_t count = stands_at(text.words, at, phrase);
                if (count == 0) continue;
                out.add(self.rule, part_of(wording, text, text.words[at].begin, text.words[at + count - 1].end),
                        fmt::format("`{}` leaves to the reader what the author has to say", phrase))
                    .help = "say what can be seen, felt or measured, or ask a question with both its ways";
                at += count - 1;
                break;
            }
        }
    }
}

} // namespace

namespace checks {
extern const Check vague_words;
const Check vague_words = {
    {"vague-words", messages::Level::warning, "a word that leaves open how much, whether, or how good"},
    find_vague_words};
} // namespace checks

} // namespace benchleaf::wording
