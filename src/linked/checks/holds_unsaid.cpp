#include "linked/look_over.h"
#include "linked/reports.h"

#include <algorithm>
#include <functional>
#include <unordered_set>

namespace benchleaf::linked {

namespace {

void find_holds_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::holds_unsaid = {
    {"holds-unsaid", messages::Level::warning, "a fastener comes off, and nothing says what it holds"},
    find_holds_unsaid};

namespace {

// Fasteners that the proof knows some use of: it holds, opens, locks or sets something, is in the way of something, or something waits for it.
std::unordered_set<ItemId> useful(const Linked& linked) {
    std::unordered_set<ItemId> all;
    const auto look = [&](ItemId id, const Item& item) {
        // What something is set by disturbs it because of that; what clamps, because of what it holds.
        const bool sets =
            !item.disturbs.empty() && item.fastener.duty && item.fastener.duty->value != model::Duty::clamp;
        if (!item.holds.empty() || item.opens.known() || item.vents.known() || item.locks.known() || sets ||
            !item.covers.empty())
            all.insert(id);
        for (const Need& need : item.needs) all.insert(need.item);
        // That play is read, or a gap set, with the nut tight tells nothing of what the nut holds.
        for (const While& each : item.whiles) {
            const bool sees = each.verb == model::VerbName::measure || each.verb == model::VerbName::inspect ||
                              each.verb == model::VerbName::adjust;
            for (const Need& need : each.needs)
                if (!sees || need.place != 0) all.insert(need.item);
        }
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

// What one step takes out, and a part that comes off in it or behind it with no other work in between, held by nothing or by others that came
// out with it: the wheel behind its nuts. Of what nobody is hurt by, too little is known.
void find_before_unheld(const Linked& linked, const Steps& steps,
                        const std::function<void(const Target& out, const Target& off, bool held)>& tell) {
    const auto makes_room = [](const Step& step) {
        return step.kind == StepKind::plain || (step.kind == StepKind::verb && (step.verb == model::VerbName::remove ||
                                                                                step.verb == model::VerbName::slacken));
    };
    for (std::size_t i = 0; i < steps.size(); ++i) {
        for (const Steps* below : {&steps[i].if_so, &steps[i].if_not, &steps[i].steps, &steps[i].otherwise})
            find_before_unheld(linked, *below, tell);
        if (steps[i].kind != StepKind::verb || steps[i].verb != model::VerbName::remove) continue;
        for (std::size_t next = i; next < steps.size() && makes_room(steps[next]); ++next) {
            if (steps[next].kind != StepKind::verb || steps[next].verb != model::VerbName::remove) continue;
            const auto off =
                std::find_if(steps[next].targets.begin(), steps[next].targets.end(),
                             [&](const Target& each) { return each.item.known() && !bolted(linked, each); });
            if (off == steps[next].targets.end()) continue;
            const std::vector<ItemId>& holders = linked.items[off->item.index()].held_by;
            bool held = false; // by one that came out with the others
            for (std::size_t between = i; between <= next; ++between)
                for (const Target& other : steps[between].targets)
                    held = held || std::find(holders.begin(), holders.end(), other.item) != holders.end();
            for (const Target& out : steps[i].targets)
                if (bolted(linked, out)) tell(out, *off, held);
            break; // what comes off further on lay behind that one
        }
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
    const auto tell_before_unheld = [&](const Target& fastener, const Target& off, bool held) {
        const Item& bolt = linked.items[fastener.item.index()];
        const Item& part = linked.items[off.item.index()];
        if (known.contains(fastener.item) || bolt.axis != part.axis) return;
        if (part.sort != Sort::part || (!held && (!part.held_by.empty() || part.part.held_by))) return;
        const bool clamps = bolt.critical || bolt.threadlock.known() || (!held && bears_people(part));
        if (!clamps || !told.insert(fastener.item).second) return;
        messages::Message& message =
            out.add(self.rule, fastener.span, "the " + bolt.name + " holds nothing: no part names it in `held-by`",
                    "may stay out, or go in too early, unseen");
        message.labels.push_back({part.declared, held ? "comes off behind it, held by others alone"
                                                      : "comes off behind it, held by nothing"});
        message.labels.push_back({bolt.declared, "declared here"});
        message.help =
            (held ? "add `" + bolt.id + "` to the `held-by` of the " : "add `held-by: [" + bolt.id + "]` to the ") +
            part.name + ", or to what else it holds";
    };
    for (const Procedure& procedure : linked.procedures)
        for (const Section& section : procedure.sections) find_before_unheld(linked, section.steps, tell_before_unheld);
}

} // namespace
} // namespace benchleaf::linked
