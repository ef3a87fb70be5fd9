#include "wording/check.h"
#include "wording/english.h"

#include <fmt/format.h>

namespace benchleaf::wording {

namespace {

bool ends_sentence(const Word& word) {
    return word.before == Before::stop && word.begin > 0;
}

// "Wheel nuts tight." begins with what the shop calls a thing. Of one word a name may be a verb too ("cover", "clamp"), of more it is not.
std::size_t words_of_name(const Wording& wording, const Text& text, std::size_t at) {
    std::string name;
    std::size_t found = 0;
    for (std::size_t i = at; i < text.words.size() && i < at + 5; ++i) {
        const Word& word = text.words[i];
        if (i > at && (word.before != Before::nothing || word.item)) break;
        name += (i > at ? " " : "") + word.text;
        const std::string one = name.ends_with('s') ? name.substr(0, name.size() - 1) : name;
        if (i > at && (wording.names.contains(name) || wording.names.contains(one))) found = i - at + 1;
    }
    return found;
}

bool is_said_of_it(std::string_view word) {
    for (const char* each : {"is", "are", "was", "were", "must", "should", "shall", "has"})
        if (word == each) return true;
    return false;
}

// How many words, from `at`, are certainly no verb in the form of an order; 0 where they may be one.
std::size_t no_order(const Wording& wording, const Text& text, std::size_t at) {
    const std::vector<Word>& words = text.words;
    if (never_begins_order(words[at])) return 1;
    if (const std::size_t named = words_of_name(wording, text, at)) return named;
    const bool said =
        at + 1 < words.size() && words[at + 1].before == Before::nothing && is_said_of_it(words[at + 1].text);
    return said ? 2 : 0;
}

std::size_t past_opening(const std::vector<Word>& words, std::size_t at) {
    while (at + 1 < words.size() && is_manner(words[at].text) && !ends_sentence(words[at + 1])) ++at;
    return at;
}

// The same of the text's opening. After a circumstance the verb follows a comma; without a comma nobody can tell.
std::size_t opening(const Wording& wording, const Text& text, std::size_t& at) {
    const std::vector<Word>& words = text.words;
    at = past_opening(words, 0);
    const bool form = is_gerund_or_participle(words[at].text);
    if (!form && !opens_circumstance(words[at].text)) return no_order(wording, text, at);
    const std::size_t opened = at;
    std::size_t found = form ? 1 : 0; // "removing the cap" has no order at all, where none follows
    for (std::size_t i = at + 1; i < words.size() && !ends_sentence(words[i]); ++i) {
        if (words[i].before != Before::comma) continue;
        const std::size_t begin = past_opening(words, i);
        if (is_gerund_or_participle(words[begin].text)) continue;
        const std::size_t none = no_order(wording, text, begin);
        if (none == 0) return 0;
        at = form ? opened : begin;
        found = form ? 1 : none;
    }
    return found;
}

void find_verb_not_first(const Wording& wording, const Check& self, messages::Messages& out) {
    for (const Text& text : wording.texts) {
        if (!orders(text)) continue;
        std::size_t at = 0;
        const std::size_t count = opening(wording, text, at);
        if (count == 0) continue;
        const std::size_t last = std::min(at + count, text.words.size()) - 1;
        const bool question = text.source->value.ends_with('?');
        out.add(self.rule, part_of(wording, text, text.words[at].begin, text.words[last].end),
                "a step does not begin with the verb that says what to do", question ? "a question" : "no order")
            .help = question
                        ? "a question is written `ask:`"
                        : "put the verb first, or a condition with a comma: \"With the engine cold, drain the oil.\"";
    }
}

} // namespace

namespace checks {
extern const Check verb_not_first;
const Check verb_not_first = {{"verb-not-first", messages::Level::warning, "a step that does not begin with a verb"},
                              find_verb_not_first};
} // namespace checks

} // namespace benchleaf::wording
