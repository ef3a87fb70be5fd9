#include "card/tally.h"

#include <algorithm>

namespace benchleaf::card {

namespace {

units::Quantity nothing_of(const units::Quantity& quantity) {
    units::Quantity none;
    none.unit = quantity.unit;
    return none;
}

bool less(const units::Quantity& a, const units::Quantity& b) {
    return units::compare(a, b) < 0;
}

Tally::Entry* same(std::vector<Tally::Entry>& entries, const Tally::Entry& like) {
    for (Tally::Entry& each : entries) {
        if (each.of == like.of && each.id == like.id && units::convertible(each.most.unit, like.most.unit))
            return &each;
    }
    return nullptr;
}

} // namespace

std::optional<units::Quantity> added(const units::Quantity& a, const units::Quantity& b) {
    const bool b_larger = less({1, 0, false, a.unit}, {1, 0, false, b.unit});
    return b_larger ? units::add(b, a) : units::add(a, b);
}

void Tally::add(Of of, std::size_t id, const units::Quantity& amount) {
    Tally one;
    one.entries.push_back({of, id, amount, amount, false});
    then(one);
}

void Tally::then(const Tally& next) {
    for (const Entry& more : next.entries) {
        Entry* entry = same(entries, more);
        const auto least = entry != nullptr ? added(entry->least, more.least) : std::nullopt;
        const auto most = entry != nullptr ? added(entry->most, more.most) : std::nullopt;
        if (least && most) {
            entry->least = *least;
            entry->most = *most;
            entry->summed = true;
        } else {
            entries.push_back(more); // no exact sum: it stands on a line of its own
        }
    }
}

void Tally::perhaps() {
    for (Entry& entry : entries) entry.least = nothing_of(entry.least);
}

void Tally::up_to_times(std::int64_t times) {
    for (Entry& entry : entries)
        if (const auto most = units::multiply(entry.most, times)) entry.most = *most;
}

const Tally::Entry* Tally::find(Of of, std::size_t id) const {
    const auto found =
        std::find_if(entries.begin(), entries.end(), [&](const Entry& each) { return each.of == of && each.id == id; });
    return found == entries.end() ? nullptr : &*found;
}

Tally either(const Tally& a, const Tally& b) {
    Tally made = a;
    Tally rest = b;
    for (Tally::Entry& entry : made.entries) {
        const Tally::Entry* other = same(rest.entries, entry);
        if (other == nullptr) {
            entry.least = nothing_of(entry.least);
            continue;
        }
        if (less(other->least, entry.least)) entry.least = other->least;
        if (less(entry.most, other->most)) entry.most = other->most;
        entry.summed = entry.summed || other->summed;
        rest.entries.erase(rest.entries.begin() + (other - rest.entries.data()));
    }
    rest.perhaps();
    made.entries.insert(made.entries.end(), rest.entries.begin(), rest.entries.end());
    return made;
}

} // namespace benchleaf::card
