#include "linked/reports.h"

#include <set>

namespace benchleaf::linked {

namespace {

void find_no_second_person(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::no_second_person = {
    {"no-second-person", messages::Level::error, "critical torques need a second person, and only one may sign"},
    find_no_second_person};

namespace {

// What is critical: a fastener, in a catalogue or on a vehicle.
const Item* first_critical(const Linked& linked) {
    for (const Item& item : linked.items)
        if (item.critical) return &item;
    for (const Vehicle& vehicle : linked.vehicles)
        for (const auto& [id, item] : vehicle.items)
            if (item.critical) return &item;
    return nullptr;
}

void find_no_second_person(const Linked& linked, const Check& self, Messages& out) {
    if (linked.shop == nullptr || !linked.shop->signs) return; // who may sign is not said
    const model::Shop& shop = *linked.shop;
    std::set<std::string> signs;
    for (const auto& initials : shop.signs->value) signs.insert(initials.value);
    if (signs.size() != 1) return;
    if (shop.second_check && shop.second_check->value != model::SecondCheck::other) return;
    const Item* critical = first_critical(linked);
    if (critical == nullptr) return;
    const Span& signs_at = shop.signs->value.front().span;
    messages::Message& message =
        out.add(self.rule, shop.second_check ? shop.second_check->span : signs_at,
                "nobody is there for the second check: `" + *signs.begin() + "` alone may sign",
                shop.second_check ? "by somebody else" : "nobody else");
    if (shop.second_check) message.labels.push_back({signs_at, "nobody else"});
    message.labels.push_back({critical->fastener.critical ? critical->fastener.critical->span : critical->declared,
                              "the " + critical->name + " wants a second check"});
    message.help = "add the second person to `signs`; who works alone says `second-check: same-person-later`";
}

} // namespace
} // namespace benchleaf::linked
