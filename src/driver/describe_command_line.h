// The command line as a plain value: commands, their options, what stands behind each, in the words of `--help`. It is made from what
// run.cpp declares, so that a new option is declared once. `what_next` reads it for the Tab key, `manual` for the man page.
//
//     print->add_option("--vehicle", …)->option_text("V")->type_name(named(Takes::vehicle));
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace CLI {
class App;
}

namespace benchleaf::driver {

// What stands behind an option, or as a word by itself. It is declared beside the option by its word, as the option's type_name, which
// nothing else shows. A closed set is the words themselves with `|` between them: "pdf|text|json".
enum class Takes : std::uint8_t {
    anything, // and so nothing is offered
    one_of,   // of `choices`
    file,
    folder,
    job,
    procedure,
    card, // jobs; with a vehicle on the line, procedures
    vehicle,
    number, // of vehicles: registrations, frames …, and jobs
    name,   // of anything in the shop
    check,
    language,
};
inline constexpr std::array<std::string_view, 12> takes_words = {"anything", "one-of",    "file",  "folder",
                                                                 "job",      "procedure", "card",  "vehicle",
                                                                 "number",   "name",      "check", "language"};
inline std::string named(Takes takes) {
    return std::string(takes_words[static_cast<std::size_t>(takes)]);
}

struct OptionSays {
    std::vector<std::string> names; // "--shop", the long ones first; none where it is a word by itself
    std::string value;              // what is put for what it takes: "DIR"; empty where it takes nothing
    std::string about;
    Takes takes = Takes::anything;
    std::vector<std::string> choices;
    bool many = false;
    bool required = false;
};

struct Example {
    std::string typed;
    std::string about; // what comes of it; may be empty
};

struct CommandSays {
    std::string name;
    std::string about;
    bool hidden = false; // for programs, not for people
    std::vector<OptionSays> words;
    std::vector<OptionSays> options;
    std::string notes; // what the help says below the options: paragraphs, a line each
    std::vector<Example> examples;
};

struct CommandLineSays {
    CommandSays program; // its options may stand before and behind a command
    std::vector<CommandSays> commands;

    const CommandSays* find(std::string_view name) const;
};

CommandLineSays describe_command_line(const CLI::App& app);

} // namespace benchleaf::driver
