#include "wording/check.h"
#include "wording/deeds.h"

#include <algorithm>
#include <fmt/format.h>
#include <string_view>

namespace benchleaf::wording {

namespace {

using linked::Item;
using model::VerbName;

bool takes_new(const model::Given<model::Reuse>& reuse) {
    return reuse && reuse->value == model::Reuse::never;
}

// "the old nut", with a word in between at most: "the old brake fluid".
const Word* called_old(const Item& item, const std::vector<Word>& words) {
    static constexpr std::string_view old[] = {"old", "used", "same", "drained"};
    for (std::size_t i = 0; i + 1 < words.size(); ++i) {
        if (words[i].item || std::find(std::begin(old), std::end(old), words[i].text) == std::end(old)) continue;
        for (std::size_t at = i + 1; at < words.size() && at <= i + 2 && words[at].before == Before::nothing; ++at)
            if (names_itself(item, words, at) > 0) return &words[i];
    }
    return nullptr;
}

void find_old_in_words(const Wording& wording, const Check& self, messages::Messages& out) {
    const linked::Linked& linked = *wording.linked;
    for (const Text& text : wording.texts) {
        if (text.kind != Kind::say || text.step == nullptr || text.step->kind != linked::StepKind::verb) continue;
        for (const linked::Target& target : text.step->targets) {
            if (!target.item.known()) continue;
            const Item& item = linked.items[target.item.index()];
            const bool fits =
                text.step->verb == VerbName::fit && (takes_new(item.part.reuse) || takes_new(item.fastener.reuse));
            const bool fills = text.step->verb == VerbName::fill;
            // Old ones are named to be laid aside, or to be compared, before the new one goes in.
            const std::string_view first = text.words.front().text;
            if ((!fits && !fills) || (fits && first != "fit" && first != "push" && first != "put" && first != "start" &&
                                      first != "screw" && first != "turn" && first != "press"))
                continue;
            if (fills && first != "pour" && first != "fill") continue;
            const Word* word = called_old(item, text.words);
            if (word == nullptr || static_cast<std::size_t>(word - text.words.data()) > 3) continue;
            messages::Message& message =
                out.add(self.rule, part_of(wording, text, word->begin, word->end),
                        fits ? fmt::format("the old {} goes back in, and is never used again", item.name)
                             : fmt::format("the {} is filled up with what came out of it", item.name));
            message.labels.push_back(
                {fits ? (item.part.reuse ? item.part.reuse->span : item.fastener.reuse->span) : target.span,
                 fits ? "each one that goes in is new" : "filled here"});
            message.help = fits ? "say the new one, or take `reuse: never` away if it may go in again"
                                : "fill in fresh fluid: what comes out carries water and dirt with it";
            break;
        }
    }
}

} // namespace

namespace checks {
extern const Check old_in_words;
const Check old_in_words = {
    {"old-in-words", messages::Level::error, "the words put back what is never used again, or pour old fluid in"},
    find_old_in_words};
} // namespace checks

} // namespace benchleaf::wording
