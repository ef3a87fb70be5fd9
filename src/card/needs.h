// What the work of one card takes, with its figures, before it is put into words: the card prints it as its lists, and the cover sheet of a
// job adds up that of all its cards.
#pragma once

#include "linked/linked.h"
#include "units/quantity.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace benchleaf::card {

struct Needs {
    struct Amount { // the least and the most over the ways that the work can go
        units::Quantity least;
        units::Quantity most;
    };
    struct Torque { // that a step of the card sets
        std::uint32_t step = 0;
        std::string value;              // "23 N·m"
        std::string name;               // of the fastener, with its sides
        std::vector<std::string> notes; // "left-hand thread", "threads with thread-locker", its wrenches
    };
    struct Consumable {
        linked::ConsumableId id;
        std::vector<Amount>
            amounts; // as they are laid out; more than one where they cannot be added; none where nobody said
    };
    struct Pieces {
        linked::ItemId id;
        std::int64_t always = 0;
        std::int64_t perhaps = 0; // more, on some way
    };

    std::vector<Torque> torques;
    std::vector<std::size_t> wrenches;        // of the shop's, in the order of use, as all that follows
    std::vector<std::string> wrenches_wanted; // in a shop that has declared none: "torque wrench for 23 N·m"
    std::vector<std::string> sockets;
    std::vector<std::string> tools;
    std::vector<Consumable> consumables;
    std::vector<Pieces> pieces; // parts to renew
    std::vector<std::string> protection;
    std::optional<Amount> minutes;
    bool all_timed = true; // else some steps have no time, and `minutes` is the least
};

} // namespace benchleaf::card
