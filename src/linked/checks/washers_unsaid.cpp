#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_washers_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::washers_unsaid = {
    {"washers-unsaid", messages::Level::warning,
     "a joint of a hydraulic circuit of which nobody says whether its seal is renewed"},
    find_washers_unsaid};

namespace {

void find_washers_unsaid(const Linked& linked, const Check& self, Messages& out) {
    look_over(linked, [&](const Item& item, const ReadItem& read) {
        // A bleed screw seals on its cone.
        if (item.sort != Sort::fastener || !item.opens.known() || item.vents.known() || !item.fastener.duty)
            return false;
        const model::Duty duty = item.fastener.duty->value;
        if (duty != model::Duty::hollow && duty != model::Duty::seal) return false;
        if (item.fastener.renew_with || item.fastener.reuse) return false;
        const Item& circuit = read(item.opens);
        if (!is_hydraulic(circuit)) return false;
        messages::Message& message =
            out.add(self.rule, item.declared, "nobody says whether the " + item.name + " gets new sealing washers");
        message.labels.push_back({circuit.declared, "it opens this, which works under pressure"});
        message.help =
            "add `renew-with:` with the washers, or `reuse:` – `never`, or `allowed` where metal seals on metal";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
