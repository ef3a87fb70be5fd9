#include "wording/check.h"
#include "wording/deeds.h"

#include "model/verbs.h"

#include <fmt/format.h>

namespace benchleaf::wording {

namespace {

using model::VerbName;

std::string as_step(const linked::Linked& linked, const linked::Item& item, VerbName verb) {
    std::string what = item.id;
    if (verb == VerbName::bleed && !item.vented_by.empty()) what = linked.items[item.vented_by.front().index()].id;
    if (verb == VerbName::set) what = fmt::format("{{ {}: … }}", item.id);
    return fmt::format("- {}: {}", model::verb(verb).word, what);
}

void find_told_in_words(const Wording& wording, const Check& self, messages::Messages& out) {
    const linked::Linked& linked = *wording.linked;
    const Names names(wording);
    for (const Text& text : wording.texts) {
        if (text.kind != Kind::plain || !text.in.known()) continue;
        const std::vector<Word>& words = text.words;
        for (std::size_t i = 0; i < words.size(); ++i) {
            if (!begins_order(words, i)) continue;
            const auto found = order_on_any(names, linked.procedures[text.in.index()], words, i);
            if (!found || found->order.deed->leaves) continue;
            messages::Message& message =
                out.add(self.rule, part_of(wording, text, words[i].begin, words[found->order.end - 1].end),
                        fmt::format("this is done to the {} in words alone, which the proof does not follow",
                                    found->item->name),
                        "so it takes it to stand as before");
            message.labels.push_back({found->item->declared, "declared here"});
            message.help = fmt::format("write it as a step of its own, `{}`, with these words as its `say`",
                                       as_step(linked, *found->item, found->order.deed->verb));
        }
    }
}

} // namespace

namespace checks {
extern const Check told_in_words;
const Check told_in_words = {
    {"told-in-words", messages::Level::warning, "work on an item of the shop, in words that the proof does not follow"},
    find_told_in_words};
} // namespace checks

} // namespace benchleaf::wording
