#include "wording/check.h"
#include "wording/english.h"

#include <fmt/format.h>

namespace benchleaf::wording {

namespace {

// "Do not lift it and fit the stand": what "and" joins to an order that begins so is forbidden, too. Behind "and then" work is ordered, and so it may be where
// the "not" is of something else ("Keep off what is not cold and clean both faces").
bool forbidden(const std::vector<Word>& words, std::size_t at) {
    if (at == 0 || words[at - 1].text != "and" || words[at].before != Before::nothing) return false;
    std::size_t begin = at;
    while (begin > 0 && words[begin].before == Before::nothing) --begin;
    return words[begin].text == "never" ||
           (words[begin].text == "do" && begin + 1 < at && words[begin + 1].text == "not");
}

// A door is opened in words; `open` is of a circuit.
std::string as_step(const Word& order) {
    if (order.text == "open") return "Open ";
    return (order.text == "press" ? "press-back" : order.text) + ": ";
}

void find_step_in_caution(const Wording& wording, const Check& self, messages::Messages& out) {
    for (const Text& text : wording.texts) {
        if (text.kind != Kind::hazard && text.kind != Kind::avoid) continue;
        const std::vector<Word>& words = text.words;
        for (std::size_t i = 0; i < words.size(); ++i) {
            const bool begins = i == 0 || words[i].before != Before::nothing || words[i - 1].text == "and" ||
                                is_manner(words[i - 1].text);
            if (!begins || forbidden(words, i) || !verb_with_object(words, i)) continue;
            out.add(self.rule, part_of(wording, text, words[i].begin, words[i].end),
                    fmt::format("a caution orders work: `{}` is a step, and nobody ticks a caution", words[i].text),
                    "a step hidden here")
                .help =
                fmt::format("make it a step, `- {}…`, and let the caution say what harms and how to stay clear of it",
                            as_step(words[i]));
            break;
        }
    }
}

} // namespace

namespace checks {
extern const Check step_in_caution;
const Check step_in_caution = {{"step-in-caution", messages::Level::warning, "a step of work hidden in a caution"},
                               find_step_in_caution};
} // namespace checks

} // namespace benchleaf::wording
