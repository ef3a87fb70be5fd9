#include "linked/reports.h"

#include <algorithm>
#include <optional>

namespace benchleaf::linked {

namespace {

void find_else_goes_on(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::else_goes_on = {{"else-goes-on", messages::Level::warning,
                                     "a repeat that did not come right does the same once more, and the work goes on"},
                                    find_else_goes_on};

namespace {

// What a step does to one thing.
struct Act {
    model::VerbName verb{};
    ItemId item;
    Place place = 0;
    ConsumableId consumable;
    Span at;

    bool same(const Act& other) const {
        return verb == other.verb && item == other.item && place == other.place && consumable == other.consumable;
    }
};

// Looking, waiting and writing bring nothing right, nor does a question of which no more follows.
bool only_looks(const Step& step) {
    using V = model::VerbName;
    const auto all_look = [](const Steps& steps) { return std::all_of(steps.begin(), steps.end(), only_looks); };
    if (step.kind == StepKind::ask || step.kind == StepKind::decide)
        return all_look(step.if_so) && all_look(step.if_not);
    return step.kind == StepKind::plain ||
           (step.kind == StepKind::verb &&
            (step.verb == V::measure || step.verb == V::inspect || step.verb == V::record || step.verb == V::wait));
}

void add_acts(const Step& step, std::vector<Act>& to) {
    if (step.kind != StepKind::verb || only_looks(step)) return;
    if (step.verb == model::VerbName::apply) {
        for (std::size_t i = 0; i < step.to.size(); ++i)
            if (step.to[i].known())
                to.push_back({step.verb, step.to[i], 0, step.consumable, step.source->to->value[i].span});
        return;
    }
    for (const Target& target : step.targets)
        if (target.item.known()) to.push_back({step.verb, target.item, target.place, {}, target.span});
}

void add_all_acts(const Step& step, std::vector<Act>& to) {
    add_acts(step, to);
    for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise})
        for (const Step& inner : *below) add_all_acts(inner, to);
}

// All that the `else` does, if it is nothing but steps one after the other: a question, a `stop`, another procedure may mend it.
std::optional<std::vector<Act>> acts_of(const Steps& otherwise) {
    std::vector<Act> acts;
    for (const Step& step : otherwise) {
        if (only_looks(step)) continue;
        const std::size_t before = acts.size();
        add_acts(step, acts);
        if (acts.size() == before) return std::nullopt;
    }
    return acts;
}

Span span_of(const Step& step) {
    const model::Step& written = *step.source;
    if (written.verb) return written.verb->key;
    if (written.plain) return written.plain->span;
    if (written.ask) return written.ask->span;
    return written.say ? written.say->span : written.span;
}

constexpr std::string_view help = "end the `else` with a `stop`, or with what mends it and a question whether it did";

// What is not clean or free after three rounds may stay so; a circuit or an adjustment that is not right may not.
bool bears_on_it(const Linked& linked, const Act& act) {
    const Sort sort = linked.items[act.item.index()].sort;
    return sort == Sort::circuit || sort == Sort::adjustment || act.verb == model::VerbName::bleed;
}

void find_else_goes_on(const Linked& linked, const Steps& steps, const Check& self, Messages& out) {
    for (const Step& step : steps) {
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise})
            find_else_goes_on(linked, *below, self, out);
        if (step.kind != StepKind::again || !step.from.known()) continue;
        const auto acts = acts_of(step.otherwise);
        if (!acts || step.otherwise.empty()) continue;
        std::vector<Act> rounds;
        for (const Step& each : steps)
            if (each.id.index() >= step.from.index() && each.id.index() < step.id.index()) add_all_acts(each, rounds);
        if (acts->empty()) {
            if (step.basis.empty() &&
                std::none_of(rounds.begin(), rounds.end(), [&](const Act& act) { return bears_on_it(linked, act); }))
                continue;
            messages::Message& message =
                out.add(self.rule, span_of(step.otherwise.front()),
                        "after the last round nothing is done but this, and the work goes on as if it had come right");
            message.help = help;
            continue;
        }
        const auto in_rounds = [&rounds](const Act& act) {
            return std::find_if(rounds.begin(), rounds.end(), [&act](const Act& each) { return each.same(act); });
        };
        if (!std::all_of(acts->begin(), acts->end(), [&](const Act& act) { return in_rounds(act) != rounds.end(); }))
            continue;
        messages::Message& message =
            out.add(self.rule, acts->front().at,
                    "after the last round this is only done once more, and the work goes on as if it had come right");
        message.labels.push_back({in_rounds(acts->front())->at, "done in every round, and it did not come right"});
        message.help = help;
    }
}

void find_else_goes_on(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures)
        for (const Section& section : procedure.sections) find_else_goes_on(linked, section.steps, self, out);
}

} // namespace
} // namespace benchleaf::linked
