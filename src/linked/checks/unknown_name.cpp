#include "linked/reports.h"

#include "base/text.h"
#include "linked/names.h"

#include <algorithm>

namespace benchleaf::linked {

const Check checks::unknown_name = {{"unknown-name", messages::Level::error, "a name that nothing has"}};

namespace {

// The line that declares it, where a name is all that it needs.
std::string declare_it(std::string_view noun, const std::string& name) {
    std::string words = name;
    std::replace(words.begin(), words.end(), '-', ' ');
    if (noun == "tool" || noun == "part")
        return "add `" + name + ": " + words + "` to the `" + std::string(noun) + "s` of a catalogue";
    return "declare it in a catalogue";
}

} // namespace

void report_unknown_name(Messages& out, Span at, const std::string& name, std::string_view noun,
                         const std::string& where, const std::string& near, Span near_declared,
                         const std::string& replacement, const std::vector<std::string>& others) {
    messages::Message& message =
        out.add(checks::unknown_name.rule, at,
                "no " + std::string(noun) + " is called `" + name + "`" + (where.empty() ? "" : " in the " + where));
    if (near.empty()) {
        message.labels.front().text = "nothing here has a name like this";
        const bool file = noun == "procedure" || noun == "vehicle" || noun == "catalogue" || noun == "job";
        const std::string is = "there is " + base::join_and(others) + "; write the whole name, or ";
        // One entry mends all of them.
        if (!file && others.empty() && where.empty()) message.cause = std::string(noun) + " " + name;
        if (file)
            message.help = others.empty() ? "write the file `" + name + ".yaml` for it, or correct the name"
                                          : is + "write the file `" + name + ".yaml`";
        else
            message.help = others.empty() ? declare_it(noun, name) + ", or correct the name"
                                          : is + "declare this one in a catalogue";
        return;
    }
    message.labels.front().text = "did you mean `" + near + "`?";
    if (near_declared.known()) message.labels.push_back({near_declared, "`" + near + "` is declared here"});
    message.help = "write `" + replacement + "`";
    messages::correct_slip(message, at, name, near, replacement);
}

void report_misspelt_entry(Messages& out, Span at, const std::string& name, std::string_view noun,
                           const std::string& wanted, const std::vector<Span>& asked) {
    messages::Message& message = out.add(checks::unknown_name.rule, at,
                                         "nothing names the " + std::string(noun) + " `" + name + "`, and `" + wanted +
                                             "` is named in " + std::to_string(asked.size()) + " places",
                                         "declared so");
    message.labels.push_back({asked.front(), "`" + wanted + "` for the first time"});
    message.help = "write `" + wanted + "` here, or `" + name + "` in all those places; which is right, you alone know";
}

void report_unknown_basis(Messages& out, Span at, const std::string& name, const std::string& near,
                          Span near_declared) {
    messages::Message& message =
        out.add(checks::unknown_name.rule, at, "no limit and no inspection of this procedure is called `" + name + "`",
                near.empty() ? "nothing here has a name like this" : "did you mean the reading `" + near + "`?");
    if (near.empty()) {
        message.help =
            "name a limit, or the `id` of a step that inspects; or give the step that is meant `id: " + name + "`";
        return;
    }
    message.labels.push_back({near_declared, "this step is `" + near + "`"});
    message.help = "write `" + near + "`";
    messages::correct_slip(message, at, name, near);
}

void report_unnamed_look(Messages& out, Span at, const std::string& name, const model::Step& look) {
    messages::Message& message =
        out.add(checks::unknown_name.rule, at, "no limit and no inspection of this procedure is called `" + name + "`");
    message.labels.push_back({look.verb->key, "this look has no `id`"});
    message.help = "add `id: " + name + "` to the step that inspects, or name a limit";
}

void report_not_used(Messages& out, Span at, const std::string& name, std::string_view noun,
                     const std::string& catalogue, Span declared, std::vector<messages::Edit> edits) {
    messages::Message& message = out.add(checks::unknown_name.rule, at,
                                         "the " + std::string(noun) + " `" + name + "` is in the catalogue " +
                                             catalogue + ", which is not used here");
    message.labels.push_back({declared, "declared here"});
    message.help = "add `" + catalogue + "` to `uses`";
    message.cause = std::to_string(at.file.index()) + " " + catalogue; // one entry in `uses` mends all of them
    if (!edits.empty()) message.fixes.push_back({"add `" + catalogue + "` to `uses`", std::move(edits)});
}

} // namespace benchleaf::linked
