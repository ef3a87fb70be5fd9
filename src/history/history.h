// What the records of a shop say of each vehicle: its visits, and for each thing that was measured the readings in their order, with the renewals
// between them. A record that another one corrects or continues is left out. Names are those of the records: `disc-brake/pad-thickness`, or
// `pad-thickness` in one that was written by hand or before November 2026.
#pragma once

#include "model/model.h"

#include <algorithm>
#include <chrono>
#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace benchleaf::history {

using Identity = model::Entries<model::Ref<model::Refers::free>, source::Spanned<std::string>>;

struct Taken {
    const model::Record* record = nullptr;
    const model::ReadFigure* figure = nullptr;
    units::Quantity size; // of several points the one nearest to the limit
};

struct Renewal {
    const model::Record* record = nullptr;
    std::size_t before = 0; // how many of the readings come before it
    std::string batch;      // or part number; may be empty
};

struct Series {
    std::string limit;
    std::string item;
    std::string at;                // "left"; empty where there is one of it
    std::vector<Taken> readings;   // the oldest first
    std::vector<Renewal> renewals; // of the item there, the oldest first

    std::size_t counts_from = 0; // what was read before a new meter was fitted is not counted on with it

    // Those since the last renewal.
    std::span<const Taken> current() const {
        return std::span(readings).subspan(std::max(counts_from, renewals.empty() ? 0 : renewals.back().before));
    }
};

// What a visit left to be done, or watched: it stays until the same thing is seen to be good, is renewed, or is said to be done.
struct Open {
    const model::Record* record = nullptr;
    const model::FoundThing* graded = nullptr; // what was looked at, and not good; else one of:
    std::string also_found;
    std::string declined; // by the customer
    std::string recheck;  // a torque, once the vehicle had run: "recheck the torque after 50 km: wheel nut"
};

struct Vehicle {
    Identity identity;                        // of each sort of number the latest, those of the last record first
    Identity numbers;                         // every one that it ever had
    std::vector<const model::Record*> visits; // the oldest first
    std::vector<Series> series;               // in the order in which they were first read
    std::vector<std::pair<const model::Record*, const model::Renewed*>> renewed; // the oldest first

    std::vector<Open> open; // the oldest first

    const model::Record* new_meter = nullptr; // the first record of a meter that shows less than the one before

    const Series* find(std::string_view limit, std::string_view item, std::string_view at) const;
    // The record in which that item was last renewed there, whether it was ever read or not; nullptr: in none.
    const model::Record* last_renewal(std::string_view item, std::string_view at) const;
};

// A name as a record may have written it: `pad-thickness` and `disc-brake/pad-thickness` are the same thing where one has no catalogue.
bool same_name(std::string_view a, std::string_view b);

// Do they tell the same vehicle? Where both give its frame (the number that is stamped into it), that alone decides, as registrations change; else what both give
// has to agree, and something has to. Of several numbers of one sort one has to be the other's. Spaces, dashes, strokes and the size of letters do not count.
bool same_vehicle(const Identity& a, const Identity& b);
// Nothing says that they are two.
bool may_be_one(const Identity& a, const Identity& b);

// "TX 30 418", "tx-30418" and "TX/30418" are the same number: letters and figures alone, in small letters.
std::string bare_number(std::string_view text);

// The folder below `records` that a vehicle's records go to: its frame, or the first that is told of it: "oh3-00417". Empty: it has no identity.
std::string folder_of(const Identity& identity);

// Every vehicle that has a record, in the order of their first records.
struct History {
    std::vector<Vehicle> vehicles;

    const Vehicle* find(const Identity& identity) const;
};
History look_back(const model::Model& model);

struct Owners; // owners.h

// What was known of the job's vehicle when it came: the records of other jobs of an earlier day, or of the same day at a lower stand of the meter. Nothing where
// two vehicles have what the job tells.
std::optional<Vehicle> look_back(const Owners& owners, const model::Job& job);

// One thing a line, for people and tests.
std::string dump(const History& history);

} // namespace benchleaf::history
