#include "linked/brake_fluid.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_no_brake_fluid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::no_brake_fluid = {
    {"no-brake-fluid", messages::Level::error,
     "a circuit is filled with what is no fluid, or a brake or clutch with another circuit's"},
    find_no_brake_fluid};

namespace {

void find_no_brake_fluid(const Linked& linked, const Check& self, Messages& out) {
    look_over(linked, [&](const Item& item, const ReadItem&) {
        if (item.sort != Sort::circuit || !item.fluid.known() || !item.circuit_of.fluid) return false;
        const Consumable& what = linked.consumables[item.fluid.index()];
        const auto& sort = what.figures.sort;
        const bool oil = sort && sort->value == model::ConsumableSort::lubricant && !is_hydraulic(item);
        if (!sort || sort->value == model::ConsumableSort::fluid || oil) return false;
        messages::Message& message =
            out.add(self.rule, item.circuit_of.fluid->span,
                    "the " + item.name + " is filled with the " + what.name + ", which is no fluid");
        message.labels.push_back({sort->span, "its sort"});
        message.help = "name the fluid that the maker gives for it; if this is it, give it `sort: fluid`";
        return true;
    });
    tell_shared(linked, true, self.rule, out);
}

} // namespace
} // namespace benchleaf::linked
