#include "linked/reports.h"

#include "base/text.h"

namespace benchleaf::linked {

const Check checks::unknown_place = {
    {"unknown-place", messages::Level::error, "a place or state that the item does not have"}};

void report_unknown_place(Messages& out, Span at, const std::string& place, const std::string& item,
                          const std::vector<std::string>& places, const std::string& near, Span declared,
                          const std::string& help) {
    std::vector<std::string> quoted;
    for (const std::string& each : places) quoted.push_back('`' + each + '`');
    const std::string can = (quoted.size() == 1 ? "it is only ever " : "it can be ") + base::join_and(quoted);
    messages::Message& message = out.add(checks::unknown_place.rule, at,
                                         "`" + place + "` is no place of the " + item + (help.empty() ? "" : " here"),
                                         near.empty() ? can : "did you mean `" + near + "`?");
    if (declared.known()) message.labels.push_back({declared, "declared here"});
    if (!help.empty()) {
        message.help = help;
    } else if (!near.empty()) {
        message.help = can;
        messages::correct_slip(message, at, place, near);
    } else {
        message.help = places.size() == 1
                           ? "nothing else can be asked of it, so leave it out"
                           : "write one of these, or declare `" + place + "` where the " + item + " is declared";
    }
}

void report_misspelt_place(Messages& out, Span at, const std::string& place, const std::string& item,
                           const std::string& wanted, const std::vector<Span>& asked) {
    messages::Message& message = out.add(checks::unknown_place.rule, at,
                                         "nothing asks for the " + item + " `" + place + "`, and `" + wanted +
                                             "` is asked for in " + std::to_string(asked.size()) + " places",
                                         "declared so");
    message.labels.push_back({asked.front(), "`" + wanted + "` for the first time"});
    message.help = "write `" + wanted + "` where it is declared";
    messages::correct_slip(message, at, place, wanted);
}

} // namespace benchleaf::linked
