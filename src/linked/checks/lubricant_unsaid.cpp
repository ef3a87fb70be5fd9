#include "linked/look_over.h"
#include "linked/reports.h"

#include <map>
#include <set>

namespace benchleaf::linked {

namespace {

void find_lubricant_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::lubricant_unsaid = {
    {"lubricant-unsaid", messages::Level::warning,
     "a part is cleaned or renewed and then greased, and its declaration names no lubricant"},
    find_lubricant_unsaid};

namespace {

// On the catalogue's word, or on that of any vehicle.
std::set<ItemId> saying(const Linked& linked) {
    std::set<ItemId> all;
    for (std::size_t i = 0; i < linked.items.size(); ++i)
        if (linked.items[i].lubricant.known()) all.insert(ItemId(i));
    for (const Vehicle& vehicle : linked.vehicles)
        for (const auto& [id, item] : vehicle.items)
            if (item.lubricant.known()) all.insert(id);
    return all;
}

void find_lubricant_unsaid(const Linked& linked, const Check& self, Messages& out) {
    std::set<ItemId> told = saying(linked);
    for (const Procedure& procedure : linked.procedures) {
        std::map<ItemId, Span> bared; // and by which step
        each_step(procedure, [&](const Step& step) {
            if (step.kind != StepKind::verb) return;
            if (step.verb == model::VerbName::clean || step.verb == model::VerbName::renew)
                for (const Target& target : step.targets)
                    if (target.item.known()) bared.try_emplace(target.item, target.span);
            if (step.verb != model::VerbName::apply ||
                !is_of_sort(linked, step.consumable, model::ConsumableSort::lubricant))
                return;
            for (std::size_t i = 0; i < step.to.size(); ++i) {
                const auto bare = bared.find(step.to[i]);
                if (bare == bared.end() || told.contains(step.to[i])) continue;
                const Item& item = linked.items[step.to[i].index()];
                // The threads of a bolt have a state of their own.
                if (item.sort != Sort::part && item.sort != Sort::clip) continue;
                told.insert(step.to[i]);
                const Consumable& with = linked.consumables[step.consumable.index()];
                messages::Message& message =
                    out.add(self.rule, step.source->to->value[i].span,
                            with.name + " goes on the " + item.name +
                                " here, and no declaration says so: an `apply` that is forgotten would not be missed");
                message.labels.push_back({bare->second, "bare since here"});
                message.labels.push_back({item.declared, "has no `lubricant`"});
                message.help = "add `lubricant: " + with.id + "` to the declaration of the " + item.name;
            }
        });
    }
}

} // namespace
} // namespace benchleaf::linked
