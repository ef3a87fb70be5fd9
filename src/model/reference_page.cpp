#include "model/reference_page.h"

#include "model/kind.h"
#include "model/tables.h"
#include "model/verbs.h"

#include <fmt/format.h>

#include <algorithm>

namespace benchleaf::model {

namespace {

constexpr std::string_view opening = R"(# The language

This page is made by the program from the declarations that its reader uses. A test fails when it is out of date.

A file is YAML, one document, named after what it describes: `brakes/front-disc-service.yaml` begins with
`procedure: front-disc-service`. The first key names the kind and the thing. Names are made of small letters, digits and
single hyphens; a name that two catalogues have is written `catalogue/name`.

- A list of one may be written as the thing itself: `remove: wheel-nut`.
- A thing that needs only a name may be a text: `mudguard: mudguard`.
- A figure is a number with its unit: `24 N·m ±10 %`, `2.5 mm`, `25..35 mm`, `+6 000 km`. The decimal mark is the point.
- A date is written `2026-11-25`. A key that is true or false takes `true` or `false`, an answer `yes` or `no`.
- `**needed**` marks a key without which the thing is refused.

The folders of a kind may lie in other folders, as `shared/catalogue`. A folder below the shop's that has a `shop.yaml` of its own is
a **shared folder**: its catalogues, vehicles, procedures and jobs are read like all others, but of its `shop.yaml` nothing counts. That
is for checking the shared folder on its own. Records and answers lie at the root of the shop alone.

)";

// A cell of a Markdown table.
std::string cell(std::string_view text) {
    std::string made;
    for (const char c : text) {
        if (c == '|') made += '\\';
        made += c;
    }
    return made;
}

std::string heading(const Table& table) {
    std::string made(table.called);
    made.front() = static_cast<char>(made.front() - 'a' + 'A');
    return made;
}

// "with `apply`".
std::string goes_with(const GoesWith& with) {
    static constexpr std::array<std::string_view, step_sort_count> sorts = {
        "a verb", "`say`", "`section`", "`ask`", "`decide`", "`if-answered`", "`again`", "`stop`"};
    std::vector<std::string> parts;
    for (std::size_t i = 0; i < step_sort_count; ++i)
        if (with.has(static_cast<StepSort>(i))) parts.emplace_back(sorts[i]);
    for (const Verb& verb : all_verbs())
        if (with.has(verb.name)) parts.push_back(fmt::format("`{}`", verb.word));
    return fmt::format("{}", fmt::join(parts, ", "));
}

void put_table(const Table& table, std::string& to) {
    const bool steps = table.called == "step";
    fmt::format_to(std::back_inserter(to), "## {}\n\n{}\n\n", heading(table), table.about);
    to += steps ? "| key | goes with | takes | what it says | example |\n| --- | --- | --- | --- | --- |\n"
                : "| key | takes | what it says | example |\n| --- | --- | --- | --- |\n";
    for (const Row& row : table.rows) {
        const KeySays& key = *row.says;
        const bool needed = key.needed || key.needed_by != 0 || key.needed_by_sort != 0;
        fmt::format_to(std::back_inserter(to), "| `{}`{} |", key.name, needed ? " **needed**" : "");
        if (steps) fmt::format_to(std::back_inserter(to), " {} |", goes_with(key.with));
        std::string help(key.help);
        if (!key.not_with.key.empty())
            help += key.not_with.word.empty() ? fmt::format("; not with `{}`", key.not_with.key)
                                              : fmt::format("; not with `{}: {}`", key.not_with.key, key.not_with.word);
        fmt::format_to(std::back_inserter(to), " {} | {} | `{}` |\n", cell(says(row)), cell(help), cell(key.example));
    }
    to += '\n';
}

void put_verbs(std::string& to) {
    to += "## Verbs\n\nA step holds one verb, with what it is done to after it.\n\n"
          "| verb | what it does | example |\n| --- | --- | --- |\n";
    for (const Verb& verb : all_verbs())
        fmt::format_to(std::back_inserter(to), "| `{}` | {} | `{}` |\n", verb.word, cell(verb.help),
                       cell(verb.example));
    to += '\n';
}

} // namespace

std::string reference_page() {
    std::string page(opening);
    for (const Table* table : all_tables()) {
        put_table(*table, page);
        if (table->called == "step") put_verbs(page);
    }
    page.pop_back();
    return page;
}

} // namespace benchleaf::model
