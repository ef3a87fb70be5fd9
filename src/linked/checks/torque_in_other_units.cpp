#include "linked/reports.h"
#include "linked/torque_units.h"

#include <algorithm>
#include <map>
#include <vector>

namespace benchleaf::linked {

namespace {

void find_torque_in_other_units(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::torque_in_other_units = {{"torque-in-other-units", messages::Level::warning,
                                              "one torque of the shop is in another sort of unit than all the others"},
                                             find_torque_in_other_units};

namespace {

struct WrittenTorque {
    const Torque* torque;
    units::Quantity value;
};

void tell_lone(const Linked& linked, const WrittenTorque& one, const std::vector<WrittenTorque>& many,
               const Check& self, Messages& out);

void find_torque_in_other_units(const Linked& linked, const Check& self, Messages& out) {
    std::map<Written, std::vector<WrittenTorque>> sorts;
    const auto gather = [&](const std::vector<Torque>& all) {
        for (const Torque& each : all)
            if (const auto value = last_torque(each)) sorts[written_in(value->unit)].push_back({&each, *value});
    };
    for (const Catalogue& catalogue : linked.catalogues) gather(catalogue.torques);
    for (const Vehicle& vehicle : linked.vehicles) gather(vehicle.torques);
    const auto most = std::max_element(sorts.begin(), sorts.end(),
                                       [](const auto& a, const auto& b) { return a.second.size() < b.second.size(); });
    if (most == sorts.end() || most->second.size() < fewest_others) return;
    for (const auto& [written, lone] : sorts)
        if (lone.size() == 1) tell_lone(linked, lone.front(), most->second, self, out);
}

void tell_lone(const Linked& linked, const WrittenTorque& one, const std::vector<WrittenTorque>& many,
               const Check& self, Messages& out) {
    const Torque& torque = *one.torque;
    const units::Unit unit = many.front().value.unit;
    const auto same = units::convert(one.value, unit, units::Significant{3});
    if (!torque.fastener.known() || !same) return;
    const std::string symbol(units::symbol(one.value.unit));
    // Whoever writes where it comes from, and in which unit, has looked.
    if (torque.figures.source && torque.figures.source->value.find(symbol) != std::string::npos) return;
    const std::string name = linked.items[torque.fastener.index()].name;
    messages::Message& message =
        out.add(self.rule, torque.figures.value->span,
                "the torque of the " + name + " is in " + symbol + ", the other " + std::to_string(many.size()) +
                    " of this shop in " + std::string(units::symbol(unit)));
    message.labels.push_back({many.front().torque->figures.value->span, "as this one"});
    units::Quantity meant = one.value;
    meant.unit = unit;
    message.help =
        "if " + units::print(meant) +
        " is meant, write so; if it is right as it stands, write it like the others: " + units::print(*same) +
        ", or say so in its `source`: \"…, in " + symbol + "\"";
}

} // namespace
} // namespace benchleaf::linked
