#include "linked/look_over.h"
#include "linked/reports.h"

#include <fmt/format.h>

namespace benchleaf::linked {

namespace {

constexpr std::int64_t least_in_a_ring = 4; // three are drawn home evenly in any order

void find_pattern_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::pattern_unsaid = {{"pattern-unsaid", messages::Level::warning,
                                       "the nuts of a wheel, and nobody says in which order they are tightened"},
                                      find_pattern_unsaid};

namespace {

void find_pattern_unsaid(const Linked& linked, const Check& self, Messages& out) {
    look_over(linked, [&](const Item& item, const ReadItem& read) {
        const model::Fastener& is = item.fastener;
        if (item.sort != Sort::fastener || item.count < least_in_a_ring || is.pattern || is.unread) return false;
        if (is.duty && is.duty->value != model::Duty::clamp) return false;
        const Item* wheel = wheel_held_by(item, read);
        if (wheel == nullptr) return false;
        messages::Message& message = out.add(
            self.rule, item.declared,
            fmt::format("nobody says in which order {} × {} are tightened", item.count, item.name), "a ring of them?");
        message.labels.push_back({wheel->part.system->span, fmt::format("they hold the {}", wheel->name)});
        message.help = "add `pattern: star`, and the card draws the order; `pattern: none` where they lie in no ring";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
