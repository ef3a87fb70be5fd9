#include "wording/check.h"
#include "wording/english.h"

#include <fmt/format.h>

namespace benchleaf::wording {

namespace {

// Where an order may begin: at the start of a sentence or clause, and behind "and" or "then".
bool begins_clause(const std::vector<Word>& words, std::size_t at) {
    if (at == 0 || words[at].before != Before::nothing) return true;
    return words[at - 1].text == "and" || words[at - 1].text == "then";
}

std::size_t past_manner(const std::vector<Word>& words, std::size_t at) {
    while (at + 1 < words.size() && is_manner(words[at].text)) ++at;
    return at;
}

void find_two_actions(const Wording& wording, const Check& self, messages::Messages& out) {
    for (const Text& text : wording.texts) {
        if (!orders(text)) continue;
        const std::vector<Word>& words = text.words;
        std::size_t first = past_manner(words, 0);
        bool has_first = !opens_circumstance(words[first].text) && !never_begins_order(words[first]) &&
                         !is_gerund_or_participle(words[first].text);
        for (std::size_t i = first + 1; i < words.size(); ++i) {
            if (!begins_clause(words, i)) continue;
            const std::size_t at = past_manner(words, i);
            if (!order_with_object(words, at) || goes_beside(words[at].text)) continue;
            if (!has_first) {
                has_first = true;
                first = i = at;
                continue;
            }
            if (goes_beside(words[first].text)) break;
            if (at == first + 2 && to_and_fro(words[first].text, words[at].text)) continue;
            out.add(self.rule, part_of(wording, text, words[at].begin, words[at].end),
                    fmt::format("two actions in one step: `{}`, and then `{}`", words[first].text, words[at].text),
                    "the second action")
                .help = "make it a step of its own, with a box of its own to tick";
            break;
        }
    }
}

} // namespace

namespace checks {
extern const Check two_actions;
const Check two_actions = {{"two-actions", messages::Level::warning, "two actions in one step"}, find_two_actions};
} // namespace checks

} // namespace benchleaf::wording
