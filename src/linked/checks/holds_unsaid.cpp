#include "linked/reports.h"

#include <algorithm>
#include <functional>
#include <unordered_set>

namespace benchleaf::linked {

namespace {

void find_holds_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::holds_unsaid = {
    {"holds-unsaid", messages::Level::warning, "a fastener comes off with a part, and nothing says what it holds"},
    find_holds_unsaid};

namespace {

// Fasteners that the proof knows some use of: it holds, opens, locks or sets something, is in the way of something, or something waits for it.
std::unordered_set<ItemId> useful(const Linked& linked) {
    std::unordered_set<ItemId> all;
    const auto look = [&](ItemId id, const Item& item) {
        if (!item.holds.empty() || item.opens.known() || item.vents.known() || item.locks.known() ||
            !item.disturbs.empty() || !item.covers.empty())
            all.insert(id);
        for (const Need& need : item.needs) all.insert(need.item);
        for (const While& each : item.whiles)
            for (const Need& need : each.needs) all.insert(need.item);
    };
    for (std::size_t i = 0; i < linked.items.size(); ++i) look(ItemId(i), linked.items[i]);
    for (const Vehicle& vehicle : linked.vehicles)
        for (const auto& [id, item] : vehicle.items) look(id, item);
    return all;
}

bool bolted(const Linked& linked, const Target& target) {
    if (!target.item.known()) return false;
    const Sort sort = linked.items[target.item.index()].sort;
    return sort == Sort::fastener || sort == Sort::clip;
}

// What one step takes out together, and what comes off in it or in the steps right behind it, is one thing taken apart.
void find_in(const Linked& linked, const Steps& steps,
             const std::function<void(const Target& out, const Target& off, const Step& together)>& tell) {
    for (std::size_t i = 0; i < steps.size(); ++i) {
        for (const Steps* below : {&steps[i].if_so, &steps[i].if_not, &steps[i].steps, &steps[i].otherwise})
            find_in(linked, *below, tell);
        const auto removes = [](const Step& step) {
            return step.kind == StepKind::verb && step.verb == model::VerbName::remove;
        };
        for (std::size_t next = i; next < steps.size() && removes(steps[next]); ++next)
            for (const Target& off : steps[next].targets)
                for (const Target& out : steps[i].targets)
                    if (bolted(linked, out) && off.item.known() && !bolted(linked, off)) tell(out, off, steps[i]);
    }
}

void find_holds_unsaid(const Linked& linked, const Check& self, Messages& out) {
    const std::unordered_set<ItemId> known = useful(linked);
    std::unordered_set<ItemId> told;
    const auto tell = [&](const Target& fastener, const Target& part, const Step& step) {
        const Item& bolt = linked.items[fastener.item.index()];
        const Item& held = linked.items[part.item.index()];
        const auto holds_it = [&](const Target& each) {
            return std::find(held.held_by.begin(), held.held_by.end(), each.item) != held.held_by.end();
        };
        if (known.contains(fastener.item) || bolt.axis != held.axis) return;
        if (std::none_of(step.targets.begin(), step.targets.end(), holds_it)) return;
        if (!told.insert(fastener.item).second) return;
        messages::Message& message = out.add(self.rule, fastener.span,
                                             "the " + bolt.name + " comes off with the " + held.name +
                                                 ", and nothing says that it holds anything",
                                             "may stay out, or go in too early, unseen");
        message.labels.push_back({held.declared, "held by others alone"});
        message.labels.push_back({bolt.declared, "declared here"});
        message.help = "name it in the `held-by` of the " + held.name + ", or of what else it holds";
    };
    for (const Procedure& procedure : linked.procedures)
        for (const Section& section : procedure.sections) find_in(linked, section.steps, tell);
}

} // namespace
} // namespace benchleaf::linked
