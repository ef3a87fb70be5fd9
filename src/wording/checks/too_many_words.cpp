#include "wording/check.h"

#include <fmt/format.h>

namespace benchleaf::wording {

namespace {

constexpr std::size_t most = 20; // ASD-STE100, rule 5.1, which says it of a sentence

void find_too_many_words(const Wording& wording, const Check& self, messages::Messages& out) {
    for (const Text& text : wording.texts) {
        if (!orders(text)) continue;
        std::size_t count = 0;
        std::size_t over = 0; // where the twenty-first begins
        for (const Word& word : text.words) {
            if (count <= most && count + word.count > most) over = word.begin;
            count += word.count;
        }
        if (count <= most) continue;
        out.add(self.rule, part_of(wording, text, over, text.words.back().end),
                fmt::format("a step of {} words, which nobody keeps in mind on the way to the vehicle", count),
                fmt::format("beyond {} words", most))
            .help = "cut it, make two steps of it, or move the reason to `why`";
    }
}

} // namespace

namespace checks {
extern const Check too_many_words;
const Check too_many_words = {{"too-many-words", messages::Level::warning, "a step of more than twenty words"},
                              find_too_many_words};
} // namespace checks

} // namespace benchleaf::wording
