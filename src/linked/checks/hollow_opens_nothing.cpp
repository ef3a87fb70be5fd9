#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_hollow_opens_nothing(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::hollow_opens_nothing = {
    {"hollow-opens-nothing", messages::Level::warning, "a hollow bolt through which no circuit is said to run"},
    find_hollow_opens_nothing};

namespace {

void find_hollow_opens_nothing(const Linked& linked, const Check& self, Messages& out) {
    look_over(linked, [&](const Item& item, const ReadItem&) {
        if (item.sort != Sort::fastener || item.opens.known() || item.vents.known() || item.fastener.opens ||
            item.fastener.vents)
            return false;
        if (!item.fastener.duty || item.fastener.duty->value != model::Duty::hollow) return false;
        messages::Message& message = out.add(
            self.rule, item.fastener.duty->span,
            "the " + item.name + " is hollow, and what runs through it is not said: nothing asks for that to be bled",
            "what runs through it?");
        message.labels.push_back({item.declared, "has neither `opens` nor `vents`"});
        message.help =
            "add `opens:` with the circuit, of a banjo bolt, or `vents:`, of a bleed screw; a bolt that only "
            "has a bore has no `duty: hollow`";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
