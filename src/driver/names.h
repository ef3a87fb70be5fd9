// The names that a shop has for a word of the command line: its jobs, procedures, vehicles, their numbers. For the Tab key: it is quick,
// says nothing of a shop that is not there or cannot be read, and of a broken one it tells what could be read.
#pragma once

#include "driver/describe_command_line.h"
#include "linked/linked.h"

#include <string>
#include <vector>

namespace benchleaf::driver {

struct Name {
    std::string word;
    std::string about; // a few words; may be empty
};

// `shop`: its folder; empty: the nearest one. Of what no shop has names for: none.
std::vector<Name> names_of(Takes takes, const std::string& shop);

// Whatever `where` knows.
std::vector<Name> declared_names(const linked::Linked& linked); // command_where.cpp

} // namespace benchleaf::driver
