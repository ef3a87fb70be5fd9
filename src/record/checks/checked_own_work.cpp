#include "record/reports.h"

#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::checked_own_work = {
    {"checked-own-work", messages::Level::error, "a second check by the one who did the work"}};

Complaint found::checked_own_work(const model::Shop* shop, const std::string& initials, std::uint32_t step) {
    const bool others = shop != nullptr && shop->signs && shop->signs->value.size() > 1;
    return {&checks::checked_own_work.rule,
            step == 0 ? fmt::format("{} did the work, and cannot sign its second check", initials)
                      : fmt::format("{} did the work of step {}, and cannot make its second check", initials, step),
            others ? "somebody else of those who sign looks"
                   : "somebody else looks; who works alone says `second-check: same-person-later` in shop.yaml",
            false,
            {}};
}

} // namespace benchleaf::record
