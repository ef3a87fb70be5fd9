// What a thing names of the catalogues' entries: a thing of a catalogue what it belongs to, a procedure what it is done to. An entry that nothing
// but itself and its own torque names is not used (checks/unused_entry.cpp), and what a file names tells whom a change in it can reach.
//
//     named_by(procedure, [&](auto id) { … });    // ItemId, LimitId, ConsumableId, ToolId, CautionId; each is known
#pragma once

#include "linked/linked.h"

#include <ranges>

namespace benchleaf::linked {

// Hands on what is known: of one, or of a list.
template <class To, class Ids>
void hand_on(const Ids& ids, To&& to) {
    if constexpr (std::ranges::range<Ids>) {
        for (const auto id : ids) hand_on(id, to);
    } else if (ids.known()) {
        to(ids);
    }
}

// The items that it is bound to, whatever is being done: what holds it, hides it, moves it, locks it.
template <class To>
void bound_to(const Item& item, To&& to) {
    hand_on(item.held_by, to);
    hand_on(item.behind, to);
    for (const ItemId id : {item.inside, item.circuit, item.opens, item.vents, item.locks}) hand_on(id, to);
    hand_on(item.renew_together, to);
    hand_on(item.renew_with, to);
    hand_on(item.disturbed_by, to);
    hand_on(item.after, to);
}

template <class To>
void named_by(const Item& item, ItemId self, To&& to) {
    bound_to(item, [&](ItemId id) {
        if (id != self) to(id);
    });
    hand_on(item.proved_by, to);
    for (const ConsumableId id : {item.threadlock, item.lubricant, item.fluid}) hand_on(id, to);
    hand_on(item.cautions, to);
    for (const Need& need : item.needs) hand_on(need.item, to);
    for (const While& each : item.whiles)
        for (const Need& need : each.needs) hand_on(need.item, to);
    // What is disturbed by an item is owed without being named.
    if (!item.disturbed_by.empty() || !item.after.empty()) hand_on(self, to);
}

template <class To>
void named_by(const Limit& limit, To&& to) {
    hand_on(limit.of, to);
    hand_on(limit.cautions, to);
}

template <class To>
void named_by(const Consumable& consumable, To&& to) {
    hand_on(consumable.cautions, to);
    for (const Consumable::Enemy& enemy : consumable.never_mix_with)
        hand_on(enemy.consumable, to); // it must not come near
}

template <class To>
void named_by(const Tool& tool, To&& to) {
    hand_on(tool.cautions, to);
}

template <class To>
void named_by(const Steps& steps, To&& to) {
    for (const Step& step : steps) {
        for (const Target& target : step.targets) {
            hand_on(target.item, to);
            hand_on(target.limit, to);
        }
        hand_on(step.consumable, to);
        hand_on(step.wait_for, to);
        hand_on(step.to, to);
        hand_on(step.with_tools, to);
        hand_on(step.with_consumables, to);
        hand_on(step.tools, to);
        hand_on(step.cautions, to);
        for (const Basis& basis : step.basis) hand_on(basis.limit, to);
        for (const Mention& mention : step.mentions) hand_on(mention.item, to);
        for (const PictureMark& pointed_at : step.marks) hand_on(pointed_at.item, to);
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise}) named_by(*below, to);
    }
}

template <class To>
void named_by(const Procedure& procedure, To&& to) {
    hand_on(procedure.cautions, to);
    for (const Entering& entering : procedure.starts_with) hand_on(entering.item, to);
    for (const Entering& entering : procedure.ends_with) hand_on(entering.item, to);
    for (const Section& section : procedure.sections) named_by(section.steps, to);
}

template <class To>
void named_by(const Vehicle& vehicle, To&& to) {
    hand_on(vehicle.cautions, to);
    for (const auto& [id, item] : vehicle.items) named_by(item, id, to);
}

} // namespace benchleaf::linked
