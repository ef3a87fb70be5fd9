#include "linked/reports.h"

#include <fmt/format.h>

#include <algorithm>

namespace benchleaf::linked {

namespace {

void find_second_torques(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::second_torque = {
    {"second-torque", messages::Level::error, "a torque for a fastener of another catalogue, which gives one itself"},
    find_second_torques};

namespace {

void find_second_torques(const Linked& linked, const Check& self, Messages& out) {
    for (std::size_t i = 0; i < linked.catalogues.size(); ++i)
        for (const Torque& second : linked.catalogues[i].torques) {
            if (!second.fastener.known()) continue;
            const Item& fastener = linked.items[second.fastener.index()];
            if (!fastener.catalogue.known() || fastener.catalogue == CatalogueId(i)) continue;
            const Catalogue& home = linked.catalogues[fastener.catalogue.index()];
            const auto first = std::find_if(home.torques.begin(), home.torques.end(),
                                            [&](const Torque& each) { return each.fastener == second.fastener; });
            if (first == home.torques.end()) continue;
            messages::Message& message =
                out.add(self.rule, second.declared,
                        fmt::format("the {} has a torque already, in its own catalogue, {}", fastener.name, home.id),
                        "a second one");
            message.labels.push_back({first->declared, "the first one"});
            message.help = fmt::format(
                "look it up and leave one, in {}; where vehicles differ, it belongs in the vehicle's file", home.id);
        }
}

} // namespace
} // namespace benchleaf::linked
