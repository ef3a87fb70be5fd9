#include "driver/check.h"

#include "base/text.h"
#include "driver/allow.h"
#include "driver/rules.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

void find_cannot_allow(const Folder& folder, const Check& self, messages::Messages& out) {
    const std::vector<StageRule> rules = all_rules();
    std::vector<std::string_view> names; // of what can be allowed
    for (const StageRule& each : rules)
        if (each.rule->level != messages::Level::error) names.push_back(each.rule->name);
    for (const Allow& allow : allows_of(folder.model)) {
        const auto rule =
            std::find_if(rules.begin(), rules.end(), [&](const auto& r) { return r.rule->name == allow.check; });
        if (rule != rules.end()) {
            if (rule->rule->level == messages::Level::error)
                out.add(self.rule, allow.name,
                        fmt::format("`{}` is an error, and an error cannot be allowed", allow.check),
                        std::string(rule->rule->summary))
                    .help = "mend what it finds; only warnings and notes can be allowed";
            continue;
        }
        const std::string_view near = base::nearest(allow.check, names);
        messages::Message& message = out.add(self.rule, allow.name, fmt::format("no check is called `{}`", allow.check),
                                             near.empty() ? "" : fmt::format("did you mean `{}`?", near));
        message.help = "the name of a check stands in brackets at the end of its message";
        messages::correct_slip(message, allow.name, allow.check, near);
    }
}

} // namespace

namespace checks {
extern const Check cannot_allow;
const Check cannot_allow = {
    {"cannot-allow", messages::Level::error, "an `allow` that names an error, or no check at all"}, find_cannot_allow};
} // namespace checks

} // namespace benchleaf::driver
