// `explain`: the page of a check, or the list of all.
#include "driver/commands.h"
#include "driver/embedded.h"
#include "driver/rules.h"
#include "driver/say.h"

#include "base/text.h"

#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

std::string bold(bool colour, std::string_view text) {
    return colour ? fmt::format("\x1b[1m{}\x1b[0m", text) : std::string(text);
}

// A page as a terminal shows it: heads without their marks, examples set in.
std::string shown(std::string_view page, bool colour) {
    std::string to;
    bool example = false;
    while (page.ends_with('\n')) page.remove_suffix(1);
    for (std::string_view line : base::split(page, '\n')) {
        if (line.starts_with("```")) {
            example = !example;
            continue;
        }
        if (example)
            to += line.empty() ? "" : fmt::format("    {}", line);
        else if (line.starts_with("# "))
            to += bold(colour, line.substr(2));
        else if (line.starts_with("## "))
            to += bold(colour, line.substr(3));
        else
            to += line;
        to += '\n';
    }
    return to;
}

std::string list(bool colour) {
    const std::vector<StageRule> rules = all_rules();
    std::size_t widest = 0;
    for (const StageRule& each : rules) widest = std::max(widest, each.rule->name.size());
    std::string to;
    std::optional<Stage> stage;
    for (const StageRule& each : rules) {
        if (stage != each.stage) {
            to += (stage ? "\n" : "") +
                  bold(colour, fmt::format("{}: {}", says(each.stage).name, says(each.stage).about)) + "\n";
            stage = each.stage;
        }
        to += fmt::format("  {:<{}}  {:<7}  {}\n", each.rule->name, widest, name_of(each.rule->level),
                          each.rule->summary);
    }
    return to + "\n`benchleaf explain CHECK` says more of one.\n";
}

} // namespace

int explain(const std::string& name, const Global&, Terminal& terminal) {
    const bool colour = terminal.colour_of_results();
    if (name.empty()) {
        terminal.result(list(colour));
        return clean;
    }
    for (const Embedded& page : pages_of_checks())
        if (page.name == name) {
            terminal.result(shown(page.text, colour));
            return clean;
        }
    std::vector<std::string_view> known;
    for (const Embedded& page : pages_of_checks()) known.push_back(page.name);
    if (const std::string_view near = base::nearest(name, known); !near.empty())
        return usage_error(terminal, fmt::format("there is no check `{}`; did you mean `{}`?", name, near));
    // A word of several names.
    std::vector<std::string> with;
    for (const std::string_view each : known)
        if (each.find(base::kebab_case(name)) != std::string_view::npos) with.push_back(fmt::format("`{}`", each));
    return usage_error(terminal, with.empty()
                                     ? fmt::format("there is no check `{}`; `benchleaf explain` lists them", name)
                                     : fmt::format("there is no check `{}`; with that in their name there {} {}", name,
                                                   with.size() == 1 ? "is" : "are", base::join_and(with)));
}

} // namespace benchleaf::driver
