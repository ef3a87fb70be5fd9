#include "wording/check.h"
#include "wording/deeds.h"

#include "linked/look_over.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>
#include <utility>

namespace benchleaf::wording {

namespace {

using linked::Item;
using linked::ItemId;
using model::VerbName;

bool is_never(const model::Given<model::Reuse>& reuse) {
    return reuse && reuse->value == model::Reuse::never;
}

// What the proof and the parts list take for new: what is renewed in this procedure, never used again, or comes new with a fastener. What begins off was
// perhaps renewed by another card.
std::set<ItemId> known_new(const linked::Linked& linked, const linked::Procedure& procedure) {
    std::set<ItemId> all;
    linked::each_step(procedure, [&](const linked::Step& step) {
        if (step.kind != linked::StepKind::verb) return;
        for (const linked::Target& target : step.targets) {
            if (!target.item.known()) continue;
            const Item& item = linked.items[target.item.index()];
            if (step.verb == VerbName::renew || is_never(item.part.reuse) || is_never(item.fastener.reuse))
                all.insert(target.item);
            if (step.verb == VerbName::fit) all.insert(item.renew_with.begin(), item.renew_with.end());
        }
    });
    for (const linked::Entering& entering : procedure.starts_with)
        if (entering.has_place && entering.place != 0) all.insert(entering.item);
    return all;
}

// Where it is bad, and people rely on it: bad-goes-on asks for the `renew`.
std::set<std::pair<linked::StepId, ItemId>> asked_for(const linked::Linked& linked,
                                                      const linked::Procedure& procedure) {
    linked::Looked looked;
    linked::each_step(procedure, [&](const linked::Step& step) { looked.emplace(step.id, &step); });
    std::set<std::pair<linked::StepId, ItemId>> all;
    linked::each_step(procedure, [&](const linked::Step& decision) {
        if (decision.kind != linked::StepKind::decide) return;
        for (const linked::Basis& basis : decision.basis)
            for (const ItemId item : linked::rests_on(linked, basis, looked)) {
                if (linked::relied_on_for(linked, linked.items[item.index()]) == nullptr) continue;
                linked::each_step(decision.if_not, [&](const linked::Step& step) { all.emplace(step.id, item); });
            }
    });
    return all;
}

// "new" with the thing's own name behind it, or one word in between: "the new brake shoes".
const Word* called_new(const Item& item, const std::vector<Word>& words) {
    for (std::size_t i = 0; i + 1 < words.size(); ++i) {
        if (words[i].item || words[i].text != "new") continue;
        for (std::size_t at = i + 1; at < words.size() && at <= i + 2 && words[at].before == Before::nothing; ++at)
            if (names_itself(item, words, at) > 0) return &words[i];
    }
    return nullptr;
}

void find_new_in_words(const Wording& wording, const Check& self, messages::Messages& out) {
    const linked::Linked& linked = *wording.linked;
    for (const Text& text : wording.texts) {
        if (text.kind != Kind::say || text.step == nullptr || !text.in.known()) continue;
        if (text.step->kind != linked::StepKind::verb || text.step->verb != VerbName::fit) continue;
        const linked::Procedure& procedure = linked.procedures[text.in.index()];
        const std::set<ItemId> are_new = known_new(linked, procedure);
        for (const linked::Target& target : text.step->targets) {
            if (!target.item.known() || are_new.contains(target.item)) continue;
            const Item& item = linked.items[target.item.index()];
            const Word* word = called_new(item, text.words);
            if (word == nullptr || asked_for(linked, procedure).contains({text.step->id, target.item})) continue;
            messages::Message& message =
                out.add(self.rule, part_of(wording, text, word->begin, word->end),
                        fmt::format("the {} that goes in is called new in words alone", item.name),
                        "for all that the proof and the parts list know, it is the one that came out");
            message.labels.push_back({target.span, "goes in here"});
            message.help = fmt::format("add `- renew: {}` before this step; or if each one that goes in is new, say "
                                       "`reuse: never` where it is declared",
                                       item.id);
            break;
        }
    }
}

} // namespace

namespace checks {
extern const Check new_in_words;
const Check new_in_words = {
    {"new-in-words", messages::Level::warning, "a part is called new in words, and nothing renews it"},
    find_new_in_words};
} // namespace checks

} // namespace benchleaf::wording
