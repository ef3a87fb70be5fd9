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
        if (item.sort != Sort::fastener || item.count < least_in_a_ring || item.fastener.pattern) return false;
        if (item.fastener.duty && item.fastener.duty->value != model::Duty::clamp) return false;
        const auto wheel = std::find_if(item.holds.begin(), item.holds.end(), [&](ItemId id) {
            const auto& system = read(id).part.system;
            return system && system->value == model::System::wheel;
        });
        if (wheel == item.holds.end()) return false;
        messages::Message& message = out.add(
            self.rule, item.declared,
            fmt::format("nobody says in which order {} × {} are tightened", item.count, item.name), "a ring of them?");
        message.labels.push_back({read(*wheel).part.system->span, fmt::format("they hold the {}", read(*wheel).name)});
        message.help = "add `pattern: star`, and the card draws the order; `pattern: none` where they lie in no ring";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
