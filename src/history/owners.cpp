#include "history/owners.h"

#include "history/order.h"

#include <algorithm>
#include <string_view>
#include <utility>

namespace benchleaf::history {

namespace {

using model::Record;

std::string number_of(const Identity::value_type& each) {
    return each.key.name + " " + bare_number(each.value.value);
}

void add_numbers(Identity& to, const Identity& more) {
    for (const auto& each : more) {
        const std::string number = number_of(each);
        if (std::none_of(to.begin(), to.end(), [&](const auto& known) { return number_of(known) == number; }))
            to.push_back(each);
    }
}

// Those with the same frame first.
std::vector<std::size_t> with_a_number_of(const Owners& owners, const Identity& identity) {
    std::vector<std::size_t> found;
    for (const bool frame : {true, false})
        for (const auto& each : identity) {
            if ((each.key.name == "frame") != frame) continue;
            const auto having = owners.by_number.find(number_of(each));
            if (having == owners.by_number.end()) continue;
            for (const std::size_t vehicle : having->second)
                if (owners.vehicles[vehicle].clear && !owners.vehicles[vehicle].records.empty() &&
                    std::find(found.begin(), found.end(), vehicle) == found.end())
                    found.push_back(vehicle);
        }
    return found;
}

// Of these, each of which may be it: all that can be one and the same. Where they cannot, the frame decides; without one nothing does.
Fitting fit(const Owners& owners, const Identity& identity, const std::vector<std::size_t>& could_be) {
    Fitting made;
    Identity together = identity;
    bool all = true;
    for (const std::size_t each : could_be) {
        if (!may_be_one(together, owners.vehicles[each].numbers)) {
            all = false;
            continue;
        }
        add_numbers(together, owners.vehicles[each].numbers);
        made.vehicles.push_back(each);
    }
    const bool by_frame =
        !made.vehicles.empty() && tells_frame(identity) && tells_frame(owners.vehicles[made.vehicles.front()].numbers);
    if (!all && !by_frame) return {could_be, false};
    return made;
}

Fitting fit(const Owners& owners, const Identity& identity) {
    std::vector<std::size_t> could_be = with_a_number_of(owners, identity);
    std::erase_if(could_be, [&](std::size_t each) { return !same_vehicle(owners.vehicles[each].numbers, identity); });
    return fit(owners, identity, could_be);
}

void put(Owners& owners, const Record& record) {
    const Identity& identity = record.identity->value;
    const Fitting fitting = fit(owners, identity);
    // A frame of its own makes it a vehicle of its own.
    const bool joins = fitting.clear && !fitting.vehicles.empty();
    if (!joins) {
        owners.vehicles.emplace_back();
        owners.vehicles.back().clear = fitting.clear || tells_frame(identity);
    }
    const std::size_t at =
        joins ? *std::min_element(fitting.vehicles.begin(), fitting.vehicles.end()) : owners.vehicles.size() - 1;
    Owned& owned = owners.vehicles[at];
    for (const std::size_t each : fitting.vehicles) {
        if (!joins || each == at) continue;
        Owned& same = owners.vehicles[each];
        add_numbers(owned.numbers, same.numbers);
        owned.records.insert(owned.records.end(), same.records.begin(), same.records.end());
        same = {};
    }
    add_numbers(owned.numbers, identity);
    owned.records.push_back(&record);
    for (const auto& each : owned.numbers) {
        auto& having = owners.by_number[number_of(each)];
        if (std::find(having.begin(), having.end(), at) == having.end()) having.push_back(at);
    }
}

using Replacing = std::map<std::string_view, std::vector<const Record*>>;

// By name, and of the same vehicle: two may have records of one name.
Replacing replacing_in(const model::Model& model) {
    Replacing replacing;
    for (const Record& each : model.records) {
        if (each.corrects) replacing[each.corrects->value.name].push_back(&each);
        if (each.continues) replacing[each.continues->value.name].push_back(&each);
    }
    return replacing;
}

template <class IsOfIt>
bool is_replaced(const Replacing& replacing, const Record& record, IsOfIt is_of_it) {
    const auto by = replacing.find(record.id.value);
    return by != replacing.end() && std::any_of(by->second.begin(), by->second.end(), [&](const Record* other) {
               return other != &record && is_of_it(*other);
           });
}

} // namespace

bool tells_frame(const Identity& identity) {
    return std::any_of(identity.begin(), identity.end(), [](const auto& each) { return each.key.name == "frame"; });
}

Owners whose(const model::Model& model) {
    const Replacing replacing = replacing_in(model);
    std::vector<const Record*> all;
    for (const Record& each : model.records) {
        if (!each.identity || !each.date) continue;
        const auto tells_the_same = [&](const Record& other) {
            return other.identity && same_vehicle(other.identity->value, each.identity->value);
        };
        if (!is_replaced(replacing, each, tells_the_same)) all.push_back(&each);
    }
    // What tells no frame comes last on its day: whose it is depends on all that were there by then.
    std::stable_sort(all.begin(), all.end(), [](const Record* a, const Record* b) {
        if (a->date->value != b->date->value) return a->date->value < b->date->value;
        const bool frame = tells_frame(a->identity->value);
        if (frame != tells_frame(b->identity->value)) return frame;
        return name_before(a->id.value, b->id.value);
    });
    Owners owners;
    for (const Record& each : model.records)
        if (each.identity)
            for (const auto& number : each.identity->value) owners.told_by[number_of(number)].push_back(&each);
    for (const Record* each : all) put(owners, *each);
    // And a correction may tell other numbers than what it corrects.
    for (Owned& owned : owners.vehicles) {
        const std::vector<const Record*> before = owned.records;
        std::erase_if(owned.records, [&](const Record* each) {
            return is_replaced(replacing, *each, [&](const Record& other) {
                return std::find(before.begin(), before.end(), &other) != before.end();
            });
        });
    }
    return owners;
}

Fitting fits(const Owners& owners, const model::Job& job) {
    if (!job.identity) return {};
    const Identity& identity = job.identity->value;
    std::vector<std::size_t> could_be = with_a_number_of(owners, identity);
    std::erase_if(could_be, [&](std::size_t each) {
        const Owned& owned = owners.vehicles[each];
        Identity by_then;
        for (const Record* record : owned.records)
            if (!job.date || record->date->value <= job.date->value) add_numbers(by_then, record->identity->value);
        return !same_vehicle(by_then, identity) || !may_be_one(owned.numbers, identity);
    });
    return fit(owners, identity, could_be);
}

std::vector<const Record*> told_of(const Owners& owners, const Identity& numbers) {
    std::vector<const Record*> told;
    for (const auto& number : numbers)
        if (const auto by = owners.told_by.find(number_of(number)); by != owners.told_by.end())
            for (const Record* each : by->second)
                if (same_vehicle(each->identity->value, numbers) &&
                    std::find(told.begin(), told.end(), each) == told.end())
                    told.push_back(each);
    return told;
}

std::vector<const Record*> sharing_a_number(const Owners& owners, const Identity& numbers) {
    std::vector<const Record*> all;
    for (const auto& number : numbers) {
        const auto told = owners.told_by.find(number_of(number));
        if (told == owners.told_by.end()) continue;
        for (const Record* each : told->second)
            for (const Record* of_it : told_of(owners, all_numbers(owners, each->identity->value)))
                if (std::find(all.begin(), all.end(), of_it) == all.end()) all.push_back(of_it);
    }
    return all;
}

Identity all_numbers(const Owners& owners, const Identity& identity) {
    Identity all = identity;
    const Fitting fitting = fit(owners, identity);
    if (fitting.clear)
        for (const std::size_t each : fitting.vehicles) add_numbers(all, owners.vehicles[each].numbers);
    return all;
}

} // namespace benchleaf::history
