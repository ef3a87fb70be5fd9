#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_lock_reuse_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::lock_reuse_unsaid = {
    {"lock-reuse-unsaid", messages::Level::warning,
     "a pin, clip or tab locks what is critical, and nobody says whether it is used again"},
    find_lock_reuse_unsaid};

namespace {

void find_lock_reuse_unsaid(const Linked& linked, const Check& self, Messages& out) {
    look_over(linked, [&](const Item& item, const ReadItem& read) {
        if (item.sort != Sort::clip || !item.locks.known() || !read(item.locks).critical) return false;
        if (item.fastener.reuse || item.fastener.renew_with) return false;
        messages::Message& message =
            out.add(self.rule, item.declared, "nobody says whether the " + item.name + " is used again");
        message.labels.push_back({read(item.locks).declared, "it locks this, which is critical"});
        message.help = "add `reuse: never` to what is bent over, such as a split pin or a tab, and `reuse: allowed` to "
                       "what springs back";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
