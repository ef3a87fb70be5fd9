#include "linked/link.h"
#include "linked/reports.h"

#include "linked/names.h"

#include <set>
#include <utility>

namespace benchleaf::linked {

const Check checks::unused_entry = {
    {"unused-entry", messages::Level::warning, "an entry of a catalogue that nothing in the shop names"}};

namespace {

// Marks what is named by anything but itself and its own torque.
class Used {
public:
    explicit Used(const Linked& linked)
        : items(linked.items.size()), limits(linked.limits.size()), consumables(linked.consumables.size()),
          tools(linked.tools.size()), cautions(linked.cautions.size()) {}

    std::vector<char> items, limits, consumables, tools, cautions;

    void mark(ItemId id) { mark(items, id); }
    void mark(LimitId id) { mark(limits, id); }
    void mark(ConsumableId id) { mark(consumables, id); }
    void mark(ToolId id) { mark(tools, id); }
    void mark(CautionId id) { mark(cautions, id); }
    template <class Id>
    void mark(const std::vector<Id>& ids) {
        for (const Id id : ids) mark(id);
    }

    void item(const Item& item, ItemId self) {
        const auto other = [&](const std::vector<ItemId>& ids) {
            for (const ItemId id : ids) {
                if (id != self) mark(id);
            }
        };
        other(item.held_by);
        other(item.behind);
        other({item.inside, item.circuit, item.opens, item.vents, item.locks});
        other(item.renew_together);
        other(item.renew_with);
        other(item.disturbed_by);
        other(item.after);
        mark(item.proved_by);
        mark(item.threadlock);
        mark(item.lubricant);
        mark(item.fluid);
        mark(item.cautions);
        for (const Need& need : item.needs) mark(need.item);
        for (const While& each : item.whiles) {
            for (const Need& need : each.needs) mark(need.item);
        }
        // What is disturbed by an item is owed without being named.
        if (!item.disturbed_by.empty() || !item.after.empty()) mark(self);
    }

    void steps(const Steps& steps) {
        for (const Step& step : steps) {
            for (const Target& target : step.targets) {
                mark(target.item);
                mark(target.limit);
            }
            mark(step.consumable);
            mark(step.wait_for);
            mark(step.to);
            mark(step.with_tools);
            mark(step.with_consumables);
            mark(step.tools);
            mark(step.cautions);
            for (const Basis& basis : step.basis) mark(basis.limit);
            for (const Mention& mention : step.mentions) mark(mention.item);
            for (const PictureMark& pointed_at : step.marks) mark(pointed_at.item);
            this->steps(step.if_so);
            this->steps(step.if_not);
            this->steps(step.steps);
            this->steps(step.otherwise);
        }
    }

private:
    template <class Id>
    static void mark(std::vector<char>& marks, Id id) {
        if (id.known()) marks[id.index()] = 1;
    }
};

// Of each file, whether it lies in a folder below the shop's that has a shop.yaml of its own.
std::vector<char> shared_files(const source::Sources& sources) {
    constexpr std::string_view own_shop = "/shop.yaml";
    std::vector<char> shared(sources.size(), 0);
    for (std::size_t i = 0; i < sources.size(); ++i) {
        std::string_view folder = sources.file(source::FileId(i)).path;
        if (!folder.ends_with(own_shop)) continue;
        folder.remove_suffix(own_shop.size() - 1); // up to its `/`
        for (std::size_t j = 0; j < sources.size(); ++j)
            if (sources.file(source::FileId(j)).path.starts_with(folder)) shared[j] = 1;
    }
    return shared;
}

} // namespace

void find_unused(const Linked& linked, const source::Sources& sources, Messages& out) {
    Used used(linked);
    for (std::size_t i = 0; i < linked.items.size(); ++i) used.item(linked.items[i], ItemId(i));
    for (const Limit& limit : linked.limits) {
        used.mark(limit.of);
        used.mark(limit.cautions);
    }
    for (const Consumable& each : linked.consumables) {
        used.mark(each.cautions);
        for (const Consumable::Enemy& enemy : each.never_mix_with) used.mark(enemy.consumable); // it must not come near
    }
    for (const Tool& each : linked.tools) used.mark(each.cautions);
    for (const Procedure& procedure : linked.procedures) {
        used.mark(procedure.cautions);
        for (const Entering& entering : procedure.starts_with) used.mark(entering.item);
        for (const Entering& entering : procedure.ends_with) used.mark(entering.item);
        for (const Section& section : procedure.sections) used.steps(section.steps);
    }
    for (const Vehicle& vehicle : linked.vehicles) {
        used.mark(vehicle.cautions);
        for (const auto& [id, item] : vehicle.items) used.item(item, id);
    }
    // What a message points at already, as that which is missing somewhere.
    std::set<std::pair<std::uint32_t, std::uint32_t>> told;
    for (const messages::Message& message : out.all())
        for (const messages::Label& label : message.labels)
            if (label.span.known()) told.insert({label.span.file.value, label.span.begin});
    const std::vector<char> shared = shared_files(sources);
    const auto report = [&](const std::vector<char>& marks, const auto& entries, const auto& noun) {
        for (std::size_t i = 0; i < entries.size(); ++i) {
            const Span at = entries[i].declared;
            if (marks[i] != 0 || shared[at.file.index()] != 0 || told.contains({at.file.value, at.begin})) continue;
            out.add(checks::unused_entry.rule, at,
                    "nothing in the shop names the " + std::string(noun(entries[i])) + " `" + entries[i].id + "`",
                    "never used")
                .help = noun(entries[i]) == "caution"
                            ? "name it under the `cautions` of what it warns of; take it out only "
                              "where there is no such thing any more"
                            : "take it out, or use it";
        }
    };
    report(used.items, linked.items, [](const Item& item) { return sort_word(item.sort); });
    report(used.limits, linked.limits, [](const Limit&) { return std::string_view("limit"); });
    report(used.consumables, linked.consumables, [](const Consumable&) { return std::string_view("consumable"); });
    report(used.tools, linked.tools, [](const Tool&) { return std::string_view("tool"); });
    report(used.cautions, linked.cautions, [](const Caution&) { return std::string_view("caution"); });
}

} // namespace benchleaf::linked
