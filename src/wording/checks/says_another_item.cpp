#include "wording/check.h"
#include "wording/deeds.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::wording {

namespace {

using linked::Item;
using linked::ItemId;
using model::VerbName;

// Verbs whose words name what is turned or taken. Of others, the words tell how ("Take the cap off and look"), which may name anything.
bool names_its_own(VerbName verb) {
    static constexpr VerbName verbs[] = {VerbName::slacken, VerbName::remove,  VerbName::fit, VerbName::snug,
                                         VerbName::torque,  VerbName::recheck, VerbName::set};
    return std::find(std::begin(verbs), std::end(verbs), verb) != std::end(verbs);
}

bool holds(const std::vector<ItemId>& all, ItemId one) {
    return std::find(all.begin(), all.end(), one) != all.end();
}

// "Disconnect the lead" is also said where its bolt is taken out, and the other way round.
bool goes_with(const linked::Linked& linked, const linked::Target& target, const Item& other) {
    const Item& own = linked.items[target.item.index()];
    const ItemId id(static_cast<std::size_t>(&other - linked.items.data()));
    if ((own.sort == linked::Sort::setting) != (other.sort == linked::Sort::setting)) return true;
    return holds(own.holds, id) || holds(own.held_by, id) || own.inside == id || other.inside == target.item;
}

bool names_own(const Names& names, const linked::Linked& linked, const Text& text) {
    const linked::Procedure& procedure = linked.procedures[text.in.index()];
    for (std::size_t i = 0; i < text.words.size();) {
        std::size_t other = 0;
        std::size_t own = 0;
        for (const linked::Target& target : text.step->targets)
            own = std::max(own, names_itself(linked.items[target.item.index()], text.words, i));
        for (const Named& each : names.at(procedure, text.words, i)) {
            const bool itself =
                std::any_of(text.step->targets.begin(), text.step->targets.end(), [&](const linked::Target& target) {
                    return &linked.items[target.item.index()] == each.item;
                });
            std::size_t& count = itself ? own : other;
            count = std::max(count, each.count);
        }
        if (own > 0 && own >= other) return true;
        i += std::max<std::size_t>(other, 1);
    }
    return false;
}

void find_says_another_item(const Wording& wording, const Check& self, messages::Messages& out) {
    const linked::Linked& linked = *wording.linked;
    const Names names(wording);
    for (const Text& text : wording.texts) {
        if (text.kind != Kind::say || text.step == nullptr || text.step->kind != linked::StepKind::verb) continue;
        if (!text.in.known() || !names_its_own(text.step->verb)) continue;
        const auto& targets = text.step->targets;
        const bool known =
            std::all_of(targets.begin(), targets.end(), [](const auto& each) { return each.item.known(); });
        if (targets.empty() || !known || names_own(names, linked, text)) continue;
        for (std::size_t i = 0; i < text.words.size(); ++i) {
            if (!begins_order(text.words, i)) continue;
            const auto found = order_on_any(names, linked.procedures[text.in.index()], text.words, i);
            if (!found || std::any_of(targets.begin(), targets.end(), [&](const linked::Target& target) {
                    return goes_with(linked, target, *found->item);
                }))
                continue;
            const Item& own = linked.items[targets.front().item.index()];
            messages::Message& message = out.add(
                self.rule, part_of(wording, text, text.words[i].begin, text.words[found->order.end - 1].end),
                fmt::format("the words name the {}, and the step is done to the {}", found->item->name, own.name),
                fmt::format("printed in place of the {}", own.name));
            message.labels.push_back({targets.front().span, "done to this, as the proof takes it"});
            message.help = fmt::format("name the {} in the words, or give the step the item that they mean", own.name);
            break;
        }
    }
}

} // namespace

namespace checks {
extern const Check says_another_item;
const Check says_another_item = {
    {"says-another-item", messages::Level::error, "a step whose words name another item than it is done to"},
    find_says_another_item};
} // namespace checks

} // namespace benchleaf::wording
