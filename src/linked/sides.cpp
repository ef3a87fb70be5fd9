// An item that says no `each` among such that do: told once, and from there on taken to be where those are, so that the proof does not tell
// it again step by step.
#include "linked/linker.h"
#include "linked/look_over.h"
#include "linked/reports.h"

#include <algorithm>
#include <map>
#include <set>

namespace benchleaf::linked {

namespace {

// What belongs to an item as its own other half.
struct Beside {
    std::string_view how;
    ItemId item;
};

std::vector<Beside> beside(const Linked& linked, ItemId id) {
    const Item& item = linked.items[id.index()];
    std::vector<Beside> all;
    const auto each = [&](std::string_view how, const std::vector<ItemId>& ids) {
        for (const ItemId other : ids) all.push_back({how, other});
    };
    each("it holds", item.holds);
    each("holds it", item.held_by);
    if (item.locks.known()) all.push_back({"it locks", item.locks});
    each("locks it", item.locked_by);
    if (item.inside.known()) all.push_back({"it is inside of", item.inside});
    // An axle housing may hold the shafts of both sides; a wheel holds what is its own.
    if (item.part.system && item.part.system->value == model::System::wheel)
        for (const ItemId other : item.covers)
            if (other.known() && linked.items[other.index()].inside == id) all.push_back({"is inside of it", other});
    return all;
}

// The fasteners that have to be loose while something is adjusted, and what. What only disturbs it, as a rack's bolt the toe on both sides, may
// be there once.
std::map<ItemId, std::vector<ItemId>> loosened_for(const Linked& linked) {
    std::map<ItemId, std::vector<ItemId>> found;
    for (std::size_t i = 0; i < linked.items.size(); ++i)
        for (const While& during : linked.items[i].whiles) {
            if (linked.items[i].sort != Sort::adjustment || during.verb != model::VerbName::adjust) continue;
            for (const Need& need : during.needs)
                if (need.item.known() && need.place != 0 && linked.items[need.item.index()].sort == Sort::fastener)
                    found[need.item].emplace_back(i);
        }
    return found;
}

bool is_bolt_or_part(const Item& item) {
    return item.sort == Sort::part || item.sort == Sort::fastener || item.sort == Sort::clip;
}

bool says_it_is_one(const Item& item) {
    return (item.part.count || item.fastener.count) && item.count == 1;
}

bool says_each(const Item& item) {
    return item.axis.known() || item.part.each || item.fastener.each || item.fastener.unread;
}

// Bolts left and right may hold one seat. What is inside of something, locks it or holds it alone is where that is.
bool surely_beside(const std::vector<Beside>& all) {
    return std::any_of(all.begin(), all.end(), [](const Beside& each) { return each.how != "holds it"; });
}

// What it holds is there on each side, and so is all else that holds that: it was left out here.
bool alone_of_its_holders(const Linked& linked, ItemId id) {
    const Item& item = linked.items[id.index()];
    return !item.holds.empty() && std::all_of(item.holds.begin(), item.holds.end(), [&](ItemId held) {
        const Item& part = linked.items[held.index()];
        return part.axis.known() && part.held_by.size() > 1 &&
               std::all_of(part.held_by.begin(), part.held_by.end(), [&](ItemId other) {
                   return other == id || (other.known() && linked.items[other.index()].axis == part.axis);
               });
    });
}

// Where something is taken off in a section that is worked for each value of an axis, and not put back in it: of what is there once, that
// cannot be done a second time.
class TakenOff {
public:
    explicit TakenOff(const Linked& linked) {
        for (const Procedure& procedure : linked.procedures)
            for (const Section& section : procedure.sections)
                if (procedure.each.known() && !section.once) look(procedure.each, section.steps);
    }

    Span along(ItemId id, AxisId axis) const {
        const auto found = where_.find({id, axis});
        return found == where_.end() ? Span{} : found->second;
    }

private:
    void look(AxisId axis, const Steps& steps) {
        std::set<ItemId> back;
        each_step(steps, [&](const Step& step) {
            for (const Target& target : step.targets)
                if (step.verb == model::VerbName::fit || (step.verb == model::VerbName::move && target.place == 0))
                    back.insert(target.item);
        });
        for (const Step& step : steps) { // those that are surely worked
            if (step.kind != StepKind::verb || !step.only.empty() || step.source->when) continue;
            for (const Target& target : step.targets)
                if (target.item.known() && !back.contains(target.item) &&
                    (step.verb == model::VerbName::remove || (step.verb == model::VerbName::move && target.place != 0)))
                    where_.try_emplace({target.item, axis}, target.span);
        }
    }

    std::map<std::pair<ItemId, AxisId>, Span> where_;
};

} // namespace

void Linker::tell_sides() {
    const TakenOff taken_off(linked);
    const auto loosened = loosened_for(linked);
    std::vector<std::pair<ItemId, AxisId>> told;
    for (std::size_t i = 0; i < linked.items.size(); ++i) {
        const Item& item = linked.items[i];
        if (!is_bolt_or_part(item) || says_each(item)) continue;
        std::vector<Beside> all = beside(linked, ItemId(i));
        if (const auto those = loosened.find(ItemId(i)); those != loosened.end())
            for (const ItemId id : those->second) all.push_back({"it is loosened for", id});
        if (all.empty()) continue;
        const AxisId axis = linked.items[all.front().item.index()].axis;
        const bool one_axis = std::all_of(
            all.begin(), all.end(), [&](const Beside& each) { return linked.items[each.item.index()].axis == axis; });
        if (!axis.known() || !one_axis) continue;
        const Span worked = taken_off.along(ItemId(i), axis);
        const bool one = says_it_is_one(item) && !alone_of_its_holders(linked, ItemId(i));
        if (!worked.known() && (one || !surely_beside(all))) continue;
        const Beside& first = all.front();
        report_each_unsaid(out, linked, item, first.how, linked.items[first.item.index()], axis, worked);
        told.emplace_back(ItemId(i), axis);
    }
    for (const auto& [id, axis] : told) {
        linked.items[id.index()].axis = axis;
        for (Vehicle& vehicle : linked.vehicles)
            for (auto& [own, item] : vehicle.items)
                if (own == id) item.axis = axis;
    }
}

} // namespace benchleaf::linked
