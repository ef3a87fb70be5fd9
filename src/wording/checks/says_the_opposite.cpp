#include "wording/check.h"
#include "wording/deeds.h"

#include "base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::wording {

namespace {

using model::VerbName;

bool one_of(VerbName verb, std::initializer_list<VerbName> all) {
    return std::find(all.begin(), all.end(), verb) != all.end();
}

// Does the deed undo what the step does?
bool against(const linked::Item& item, const linked::Step& step, linked::Place place, const Deed& deed) {
    using enum VerbName;
    switch (step.verb) {
    case torque:
    case recheck:
        return one_of(deed.verb, {slacken, remove});
    case snug:
        return deed.verb == remove || (deed.verb == slacken && !deed.leaves);
    case fit:
        return deed.verb == remove || (deed.verb == slacken && !deed.leaves);
    case slacken:
    case remove:
        return one_of(deed.verb, {torque, snug, fit});
    case set: {
        if (place >= item.places.size() || deed.verb != set) return false;
        const std::vector<std::string_view> states = base::split(deed.against, ' ');
        return std::find(states.begin(), states.end(), item.places[place].name) != states.end();
    }
    default:
        return false;
    }
}

// One that is tightened in stages may be loosened between them.
bool goes_back(const linked::Linked& linked, linked::ItemId item) {
    const auto one = [item](const std::vector<linked::Torque>& torques) {
        return std::any_of(torques.begin(), torques.end(), [item](const linked::Torque& torque) {
            if (torque.fastener != item || !torque.figures.value) return false;
            const auto& stages = torque.figures.value->value.stages;
            return std::any_of(stages.begin(), stages.end(),
                               [](const units::Stage& stage) { return std::holds_alternative<units::BackOff>(stage); });
        });
    };
    const auto any = [&one](const auto& all) {
        return std::any_of(all.begin(), all.end(), [&one](const auto& each) { return one(each.torques); });
    };
    return any(linked.catalogues) || any(linked.procedures) || any(linked.vehicles) || any(linked.jobs);
}

void judge_words(const Wording& wording, const Text& text, const linked::Target& target, const Check& self,
                 messages::Messages& out) {
    const linked::Linked& linked = *wording.linked;
    const linked::Item& item = linked.items[target.item.index()];
    const std::vector<Word>& words = text.words;
    std::optional<Order> opposite;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (!begins_order(words, i)) continue;
        const auto order = order_at(words, i, item, [&](std::size_t at) {
            const bool pronoun = !words[at].item && (words[at].text == "it" || words[at].text == "them");
            return pronoun ? std::size_t{1} : names_itself(item, words, at);
        });
        if (!order) continue;
        if (!against(item, *text.step, target.place, *order->deed)) return; // it says the right thing, too
        if (!opposite) opposite = order;
    }
    if (!opposite || goes_back(linked, target.item)) return;
    messages::Message& message =
        out.add(self.rule, part_of(wording, text, words[opposite->begin].begin, words[opposite->end - 1].end),
                fmt::format("the words order the opposite of what the step does to the {}", item.name),
                "printed in place of the step");
    message.labels.push_back({target.place_span.known() ? target.place_span : target.span,
                              "so the proof takes it to stand afterwards as this step leaves it"});
    message.help = "write what the step does, or the step that does what the words say";
}

void find_says_the_opposite(const Wording& wording, const Check& self, messages::Messages& out) {
    for (const Text& text : wording.texts) {
        if (text.kind != Kind::say || text.step == nullptr || text.step->kind != linked::StepKind::verb) continue;
        for (const linked::Target& target : text.step->targets) {
            if (!target.item.known()) continue;
            const std::size_t before = out.all().size();
            judge_words(wording, text, target, self, out);
            if (out.all().size() > before) break; // the words are the same for all of them
        }
    }
}

} // namespace

namespace checks {
extern const Check says_the_opposite;
const Check says_the_opposite = {
    {"says-the-opposite", messages::Level::error, "a step whose words order the opposite of what it does"},
    find_says_the_opposite};
} // namespace checks

} // namespace benchleaf::wording
