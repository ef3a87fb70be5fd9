#include "driver/describe_command_line.h"

#include "base/text.h"

#include <CLI/CLI.hpp>
#include <algorithm>

namespace benchleaf::driver {

namespace {

OptionSays describe_option(const CLI::Option& option) {
    OptionSays says;
    for (const std::string& name : option.get_lnames()) says.names.push_back("--" + name);
    for (const std::string& name : option.get_snames()) says.names.push_back("-" + name);
    says.about = option.get_description();
    says.required = option.get_required();
    if (option.get_items_expected_max() == 0) return says; // a flag
    says.value = option.get_option_text();
    says.many = option.get_expected_max() > 1;
    const std::string type = option.get_type_name();
    if (type.find('|') != std::string::npos) {
        says.takes = Takes::one_of;
        for (const std::string_view choice : base::split(type, '|')) says.choices.emplace_back(choice);
    } else if (const auto* word = std::find(takes_words.begin(), takes_words.end(), type); word != takes_words.end()) {
        says.takes = static_cast<Takes>(word - takes_words.begin());
    }
    return says;
}

// "  benchleaf due      what comes to its limit": far behind what is typed, or on a line by itself, stands what comes of it.
void take_example(std::string_view line, std::vector<Example>& examples) {
    const std::string_view text = base::trimmed(line);
    if (text.starts_with("benchleaf") || text.starts_with("source")) {
        const std::size_t gap = text.find("   ");
        examples.push_back({std::string(text.substr(0, gap)), {}});
        if (gap != std::string_view::npos) examples.back().about = base::trimmed(text.substr(gap));
    } else if (!examples.empty()) {
        examples.back().about += text;
    }
}

// What stands below the options: paragraphs whose lines were broken for a screen, and the examples, set in.
void take_footer(std::string_view footer, CommandSays& says) {
    bool in_examples = false;
    for (const std::string_view line : base::split(footer, '\n')) {
        if (line == "Examples:" || line == "Example:") {
            in_examples = true;
        } else if (in_examples && line.starts_with("  ")) {
            take_example(line, says.examples);
        } else if (line.empty()) {
            if (!says.notes.empty()) says.notes += '\n';
        } else {
            in_examples = false;
            if (!says.notes.empty() && !says.notes.ends_with('\n')) says.notes += ' ';
            says.notes += line;
        }
    }
    while (says.notes.ends_with('\n')) says.notes.pop_back();
}

CommandSays describe_command(const CLI::App& app) {
    CommandSays says;
    says.name = app.get_name();
    says.about = app.get_description();
    says.hidden = app.get_group().empty();
    for (const CLI::Option* option : app.get_options())
        (option->get_positional() ? says.words : says.options).push_back(describe_option(*option));
    take_footer(app.get_footer(), says);
    return says;
}

} // namespace

const CommandSays* CommandLineSays::find(std::string_view name) const {
    const auto found =
        std::find_if(commands.begin(), commands.end(), [&](const auto& each) { return each.name == name; });
    return found == commands.end() ? nullptr : &*found;
}

CommandLineSays describe_command_line(const CLI::App& app) {
    CommandLineSays says;
    says.program = describe_command(app);
    for (const CLI::App* command : app.get_subcommands({})) says.commands.push_back(describe_command(*command));
    return says;
}

} // namespace benchleaf::driver
