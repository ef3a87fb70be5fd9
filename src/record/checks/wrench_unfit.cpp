#include "record/reports.h"

#include "base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::wrench_unfit = {
    {"wrench-unfit", messages::Level::error, "a torque wrench that is not the shop's, or out of calibration"}};

Complaint found::no_such_wrench(std::string_view written, const std::vector<std::string>& of_the_shop) {
    const bool several = std::any_of(of_the_shop.begin(), of_the_shop.end(), [&](const std::string& each) {
        return written.find(each) != std::string_view::npos;
    });
    return {&checks::wrench_unfit.rule,
            fmt::format("no torque wrench of the shop is called `{}`", written),
            fmt::format("shop.yaml has {} under `wrenches`; {}", base::join_and(of_the_shop),
                        several ? "several are parted by a comma" : "one that was borrowed is added there"),
            false,
            {}};
}

Complaint found::out_of_calibration(std::string_view written, const std::string& until) {
    return {&checks::wrench_unfit.rule,
            fmt::format("torque wrench `{}` was out of calibration when it was used, since {}", written, until),
            "what was set with it is set once more, with one that is in calibration",
            false,
            {}};
}

Complaint found::holds_not(const std::string& written, const std::string& torque) {
    return {&checks::wrench_unfit.rule,
            fmt::format("`{}` cannot have set {}", written, torque),
            "its range ends before, or begins above it; write down which one did",
            false,
            {}};
}

} // namespace benchleaf::record
