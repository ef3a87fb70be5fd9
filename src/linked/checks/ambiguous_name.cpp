#include "linked/reports.h"

#include "base/text.h"

namespace benchleaf::linked {

const Check checks::ambiguous_name = {
    {"ambiguous-name", messages::Level::error, "a name that two of the catalogues used have"}};

void report_ambiguous_name(Messages& out, Span at, const std::string& name, std::string_view noun,
                           const std::vector<std::pair<std::string, Span>>& where) {
    std::vector<std::string> catalogues;
    std::string choices;
    for (const auto& [catalogue, declared] : where) {
        catalogues.push_back(catalogue);
        choices += (choices.empty() ? "`" : " or `") + catalogue + "/" + name + "`";
    }
    messages::Message& message =
        out.add(checks::ambiguous_name.rule, at,
                "`" + name + "` could be " + (where.size() == 2 ? "either of two " : "any of several ") +
                    std::string(noun) + "s: the catalogues " + base::join_and(catalogues) + " each have one",
                "which of them?");
    for (const auto& [catalogue, declared] : where) message.labels.push_back({declared, "the one in " + catalogue});
    message.help = "write " + choices;
}

} // namespace benchleaf::linked
