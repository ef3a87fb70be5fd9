#include "linked/reports.h"

#include <fmt/format.h>

#include <map>
#include <vector>

namespace benchleaf::linked {

namespace {

void find_two_torques(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::two_torques = {
    {"two-torques", messages::Level::error, "two catalogues give a torque for one fastener"}, find_two_torques};

namespace {

// Whether or not any procedure uses both: else one card has the one, and another card the other.
void find_two_torques(const Linked& linked, const Check& self, Messages& out) {
    struct Given {
        CatalogueId by;
        const Torque* torque;
    };
    std::map<ItemId, std::vector<Given>> all;
    for (std::size_t i = 0; i < linked.catalogues.size(); ++i)
        for (const Torque& torque : linked.catalogues[i].torques)
            if (torque.fastener.known()) all[torque.fastener].push_back({CatalogueId(i), &torque});
    for (const auto& [id, given] : all) {
        const Item& fastener = linked.items[id.index()];
        const Given* first = &given.front(); // that of its own catalogue, where there is one
        for (const Given& each : given)
            if (each.by == fastener.catalogue) first = &each;
        const std::string& there = linked.catalogues[first->by.index()].id;
        for (const Given& each : given) {
            if (each.by == first->by) continue; // twice in one catalogue is told by its reader
            messages::Message& message =
                out.add(self.rule, each.torque->declared,
                        fmt::format("the {} has a torque already, in {} catalogue {}", fastener.name,
                                    first->by == fastener.catalogue ? "its own" : "the", there),
                        "a second one");
            message.labels.push_back({first->torque->declared, "the first one"});
            message.help = "look it up and leave one of them; where vehicles differ, it belongs in the vehicle's file";
        }
    }
}

} // namespace
} // namespace benchleaf::linked
