#include "linked/look_over.h"
#include "linked/reports.h"

#include "model/words.h"

#include <unordered_map>

namespace benchleaf::linked {

namespace {

void find_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::critical_unsaid = {
    {"critical-unsaid", messages::Level::error,
     "a fastener holds a brake, wheel, steering or suspension part and does not say whether it is critical"},
    find_unsaid};

namespace {

bool says(const Item& item) {
    return item.critical || item.fastener.not_critical.has_value() || item.fastener.unread;
}

bool report(const Item& item, const Item& part, Messages& out) {
    if (says(item) || !bears_people(part)) return false;
    const std::string system(model::word(part.part.system->value));
    messages::Message& message =
        out.add(checks::critical_unsaid.rule, item.declared,
                "the " + item.name + " holds the " + part.name + " and does not say whether it is critical",
                "is anybody hurt if this comes loose?");
    message.labels.push_back({part.part.system->span, "the " + part.name + " belongs to the " +
                                                          (system == "wheel"   ? "wheels"
                                                           : system == "brake" ? "brakes"
                                                                               : system)});
    message.help = "add `critical: true`, or `not-critical:` with the reason why not";
    return true;
}

void find_unsaid(const Linked& linked, const Check&, Messages& out) {
    std::vector<char> reported(linked.items.size(), 0);
    for (std::size_t i = 0; i < linked.items.size(); ++i) {
        for (const ItemId part : linked.items[i].holds) {
            if (report(linked.items[i], linked.items[part.index()], out)) {
                reported[i] = 1;
                break;
            }
        }
    }
    // A vehicle may hold a part by something else, or call another part vital.
    for (const Vehicle& vehicle : linked.vehicles) {
        std::unordered_map<ItemId, const Item*> own;
        for (const auto& [id, item] : vehicle.items) own.emplace(id, &item);
        const auto read = [&](ItemId id) -> const Item& {
            const auto found = own.find(id);
            return found == own.end() ? linked.items[id.index()] : *found->second;
        };
        const auto look = [&](ItemId id) {
            if (reported[id.index()] != 0) return;
            const Item& item = read(id);
            for (const ItemId part : item.holds) {
                if (report(item, read(part), out)) {
                    reported[id.index()] = 1;
                    return;
                }
            }
        };
        for (const auto& [id, item] : vehicle.items) {
            look(id);
            for (const ItemId holder : item.held_by) look(holder);
        }
    }
}

} // namespace
} // namespace benchleaf::linked
