#include "linked/look_over.h"
#include "linked/reports.h"

#include "model/words.h"

#include <fmt/format.h>
#include <optional>

namespace benchleaf::linked {

namespace {

void find_critical_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::critical_unsaid = {
    {"critical-unsaid", messages::Level::error,
     "a fastener that may hurt somebody when it is lost does not say whether it is critical"},
    find_critical_unsaid};

namespace {

struct Reason {
    std::string text; // "holds the caliper"
    messages::Label label;
};

bool says(const Item& item) {
    return item.critical || item.fastener.not_critical.has_value() || item.fastener.unread;
}

std::string system_of(const Item& part) {
    const std::string system(model::word(part.part.system->value));
    return system == "wheel" ? "wheels" : system == "brake" ? "brakes" : system;
}

// The part that people rely on of which a limit is that proves the adjustment.
const Item* proved_on(const Linked& linked, const Item& adjustment, const ReadItem& read) {
    for (const LimitId limit : adjustment.proved_by)
        if (limit.known())
            for (const ItemId of : linked.limits[limit.index()].of)
                if (of.known() && bears_people(read(of))) return &read(of);
    return nullptr;
}

// A brake or steering part that has it set again when it was off. (A chain is set again whenever the wheel was.)
const Item* disturbing_part(const Item& adjustment, const ReadItem& read) {
    for (const ItemId id : adjustment.disturbed_by) {
        const auto& system = read(id).part.system;
        if (system && (system->value == model::System::brake || system->value == model::System::steering))
            return &read(id);
    }
    return nullptr;
}

// The adjustments that go astray with this fastener: it disturbs them, or is loose while they are set.
std::vector<const Item*> kept_by(const Linked& linked, const Item& item, const ReadItem& read) {
    std::vector<const Item*> kept;
    for (const ItemId id : item.disturbs) kept.push_back(&read(id));
    for (std::size_t i = 0; i < linked.items.size(); ++i) {
        if (linked.items[i].sort != Sort::adjustment) continue;
        const Item& adjustment = read(ItemId(i));
        const bool loose = std::any_of(adjustment.whiles.begin(), adjustment.whiles.end(), [&](const While& each) {
            return each.verb == model::VerbName::adjust &&
                   std::any_of(each.needs.begin(), each.needs.end(), [&](const Need& need) {
                       return need.item.known() && need.place != 0 && &read(need.item) == &item;
                   });
        });
        if (loose) kept.push_back(&adjustment);
    }
    return kept;
}

std::optional<Reason> reason_to_say(const Linked& linked, const Item& item, const ReadItem& read) {
    for (const ItemId id : item.holds)
        if (const Item& part = read(id); bears_people(part))
            return Reason{
                fmt::format("holds the {}", part.name),
                {part.part.system->span, fmt::format("the {} belongs to the {}", part.name, system_of(part))}};
    for (const auto& [id, verb] : {std::pair(item.vents, "vents"), std::pair(item.opens, "closes")})
        if (id.known() && is_hydraulic(read(id)))
            return Reason{fmt::format("{} the {}", verb, read(id).name),
                          {read(id).circuit_of.sort->span, "which works under pressure"}};
    if (item.locks.known() && read(item.locks).critical)
        return Reason{fmt::format("locks the {}", read(item.locks).name),
                      {read(item.locks).fastener.critical->span, "which is critical"}};
    for (const ItemId id : item.locked_by)
        if (read(id).critical)
            return Reason{fmt::format("is locked by the {}", read(id).name),
                          {read(id).fastener.critical->span, "which is critical"}};
    // Their lock nut.
    for (const Item* adjustment : kept_by(linked, item, read)) {
        const std::string keeps = "keeps the " + adjustment->name;
        if (const Item* part = proved_on(linked, *adjustment, read); part != nullptr)
            return Reason{keeps,
                          {part->part.system->span, fmt::format("it is proved on the {}, which belongs to the {}",
                                                                part->name, system_of(*part))}};
        if (const Item* part = disturbing_part(*adjustment, read); part != nullptr)
            return Reason{keeps,
                          {part->part.system->span,
                           fmt::format("the {}, which disturbs it, belongs to the {}", part->name, system_of(*part))}};
    }
    return std::nullopt;
}

void find_critical_unsaid(const Linked& linked, const Check& self, Messages& out) {
    look_over(linked, [&](const Item& item, const ReadItem& read) {
        if ((item.sort != Sort::fastener && item.sort != Sort::clip) || says(item)) return false;
        const std::optional<Reason> reason = reason_to_say(linked, item, read);
        if (!reason) return false;
        messages::Message& message =
            out.add(self.rule, item.declared,
                    fmt::format("the {} {} and does not say whether it is critical", item.name, reason->text),
                    "is anybody hurt if this comes loose?");
        message.labels.push_back(reason->label);
        message.help = "add `critical: true`, or `not-critical:` with the reason why not";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
