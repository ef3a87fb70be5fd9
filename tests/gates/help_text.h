// The commands and options that stand in the program's own help: what the completions and the man page are held against.
#pragma once

#include "gates/program.h"

#include <sstream>
#include <string>
#include <vector>

namespace benchleaf::gates {

// The first words of the lines below a head of the help: "--shop" and "-h" below "Options:", "check" below "Subcommands:".
inline std::vector<std::string> in_help(const std::vector<std::string>& command, const std::string& head) {
    std::vector<std::string> words = command;
    words.emplace_back("--help");
    std::stringstream help(run(words).out);
    std::vector<std::string> found;
    bool below = false;
    for (std::string line; std::getline(help, line);) {
        if (!line.starts_with("  ")) below = line == head;
        if (!below || !line.starts_with("  ") || line[2] == ' ') continue;
        std::stringstream names(line.substr(2, line.find(' ', 2) - 2));
        for (std::string name; std::getline(names, name, ',');) found.push_back(name);
    }
    return found;
}

inline std::vector<std::string> commands_in_help() {
    return in_help({}, "Subcommands:");
}
// Of a command; of the program itself with an empty name.
inline std::vector<std::string> options_in_help(const std::string& command) {
    return in_help(command.empty() ? std::vector<std::string>() : std::vector<std::string>{command}, "Options:");
}

} // namespace benchleaf::gates
