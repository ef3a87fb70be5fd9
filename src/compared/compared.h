// What is said otherwise in one state of a shop than in another, as a mechanic would say it:
//
//     lower guide bolt, torque: 24 N·m ±10 % → 26 N·m ±10 %
//     step 7 moved before step 5: torque lower guide bolt
//     step 4 (remove inner brake pad), caution added: brake-dust
//
// Two Meanings are compared, so spelling, layout and comments are not told. A side may be a part of a shop (a bundle, the source of a card):
// what lacks there was not removed.
#pragma once

#include "meaning/meaning.h"

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::compared {

enum class Change : std::uint8_t { added, removed, changed, moved };
std::string_view word(Change change);

// One thing that differs within a thing.
struct Difference {
    Change change{};
    std::vector<std::string> at; // the keys that lead there; of a step "step 7"
    std::string before;          // as text; empty where it was added
    std::string after;
    std::string says; // the line for a person
};

struct Changed {
    Change change{};
    meaning::Kind kind{};
    std::string name;
    std::string called;
    meaning::ThingId before, after;      // in the one Meaning and the other; not known where it is not there
    std::vector<Difference> differences; // of what was changed
};

struct Comparison {
    std::vector<Changed> things;         // by kind and name
    std::vector<std::string> procedures; // that both have and that do not have the same canonical text
    std::vector<std::string> vehicles;   // likewise, with what they name
};

struct Side {
    const meaning::Meaning* meaning = nullptr;
    bool whole = true;                                         // all of a shop
    std::function<bool(const meaning::Thing&)> only = nullptr; // what is looked at; else everything
};

// Line ends as blanks, so that nobody takes a part of a text for the program's own words.
std::string in_one_line(std::string text);

Comparison compare(const Side& before, const Side& after);

// What differs between two things of one kind.
std::vector<Difference> differences(const meaning::Meaning& old, const meaning::Thing& before,
                                    const meaning::Meaning& now, const meaning::Thing& after);

} // namespace benchleaf::compared
