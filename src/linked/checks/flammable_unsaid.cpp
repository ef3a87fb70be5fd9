#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_flammable_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::flammable_unsaid = {
    {"flammable-unsaid", messages::Level::warning,
     "something that takes time to clear off, and nobody says whether its vapour burns"},
    find_flammable_unsaid};

namespace {

void find_flammable_unsaid(const Linked& linked, const Check& self, Messages& out) {
    for (const Consumable& each : linked.consumables) {
        if (!each.figures.clears_in || each.figures.flammable) continue;
        messages::Message& message = out.add(self.rule, each.figures.clears_in->span,
                                             "nobody says whether the vapour of the " + each.name + " burns");
        message.labels.push_back({each.declared, "has no `flammable`"});
        message.help = "read its label, and add `flammable: true` or `flammable: false`";
    }
}

} // namespace
} // namespace benchleaf::linked
