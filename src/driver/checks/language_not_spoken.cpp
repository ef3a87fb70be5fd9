#include "driver/check.h"

#include "base/text.h"
#include "labels/labels.h"

#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

void find_language_not_spoken(const Folder& folder, const Check& self, messages::Messages& out) {
    for (const model::Shop& shop : folder.model.shops) {
        if (!shop.language || labels::find(shop.language->value)) continue;
        std::vector<std::string> spoken;
        for (const labels::Labels& each : labels::languages()) spoken.push_back(fmt::format("`{}`", each.language));
        out.add(self.rule, shop.language->span, fmt::format("the card has no words in `{}`", shop.language->value))
            .help = fmt::format("it speaks {}", base::join_and(spoken));
    }
}

} // namespace

namespace checks {
extern const Check language_not_spoken;
const Check language_not_spoken = {
    {"language-not-spoken", messages::Level::error, "a language that the card's own words do not exist in"},
    find_language_not_spoken};
} // namespace checks

} // namespace benchleaf::driver
