#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_full_in_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::full_in_unsaid = {
    {"full-in-unsaid", messages::Level::warning, "nobody says when a thread-locker holds in full"},
    find_full_in_unsaid};

namespace {

void find_full_in_unsaid(const Linked& linked, const Check& self, Messages& out) {
    for (std::size_t i = 0; i < linked.consumables.size(); ++i) {
        const Consumable& each = linked.consumables[i];
        if (each.figures.full_in || !is_of_sort(linked, ConsumableId(i), model::ConsumableSort::thread_locker))
            continue;
        messages::Message& message =
            out.add(self.rule, each.declared, "nobody says when the " + each.name + " holds in full");
        message.help = "add `full-in:` with the time from its label, such as `full-in: 24 h`";
    }
}

} // namespace
} // namespace benchleaf::linked
