#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_no_recheck(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::no_recheck = {{"no-recheck", messages::Level::warning,
                                   "wheel nuts or bolts of which nobody says after what distance to recheck them"},
                                  find_no_recheck};

namespace {

// Nuts and bolts around a wheel, several of them: a single axle nut with its own lock settles otherwise.
void find_no_recheck(const Linked& linked, const Check& self, Messages& out) {
    look_over(linked, [&](const Item& item, const ReadItem& read) {
        if (item.sort != Sort::fastener || item.count < 2 || item.fastener.recheck_after || item.fastener.unread ||
            !item.locked_by.empty())
            return false;
        const Item* wheel = wheel_held_by(item, read);
        if (wheel == nullptr) return false;
        messages::Message& message =
            out.add(self.rule, item.declared,
                    "nobody says after what distance the " + item.name + " of the " + wheel->name + " is rechecked");
        message.labels.push_back({wheel->declared, "held by it"});
        message.help = "add `recheck-after:` with the distance or the hours, such as `recheck-after: 50 km` or `2 h`";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
