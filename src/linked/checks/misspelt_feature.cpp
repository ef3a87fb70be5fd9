#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::misspelt_feature = {
    {"misspelt-feature", messages::Level::error, "a vehicle has something that is asked for by another spelling"}};

void report_misspelt_feature(Messages& out, Span at, const std::string& has, const std::string& word,
                             const std::string& meant, const std::string& asked, std::size_t times, Span first) {
    messages::Message& message = out.add(checks::misspelt_feature.rule, at,
                                         "nothing asks for `" + has + "`, and `" + asked + "` is asked for in " +
                                             std::to_string(times) + " places",
                                         "did you mean `" + meant + "`?");
    message.labels.push_back({first, "asked for here for the first time"});
    message.help = "write `" + meant + "`";
    messages::correct_slip(message, at, word, meant);
}

} // namespace benchleaf::linked
