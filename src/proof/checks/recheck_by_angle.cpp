#include "proof/check.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// A wrench that is set to a torque can be put on once more. An angle would be turned a second time, and what is backed off is no longer set.
bool one_turn_only(const units::Stage& stage) {
    return !std::holds_alternative<units::ToTorque>(stage);
}

void find_recheck_by_angle(Moment& now, const Check& self) {
    if (now.row == nullptr) return;
    for (const fitted::Target& target : now.row->targets) {
        if (target.item != now.item || !target.torque) continue;
        const std::vector<units::Stage>& stages = target.torque->value.stages;
        const auto bad = std::find_if(stages.begin(), stages.end(), one_turn_only);
        if (bad == stages.end()) continue;
        Finding& finding =
            now.report(self, fmt::format("{{item}} is rechecked{{sides}}, and is tightened by more than a torque: {}",
                                         units::print(target.torque->value)));
        finding.more.push_back(
            {target.torque->declared, "done again on a tight fastener, this turns it too far, or loosens it"});
        finding.help = "look at its stripe instead: `- inspect: " + now.it().is.id +
                       "` with `look-for: …`, after a `- mark: " + now.it().is.id + "` where it is tightened";
        return;
    }
}

} // namespace

extern const Check recheck_by_angle{
    {"recheck-by-angle", messages::Level::error, "a fastener is rechecked that is tightened by an angle or backed off"},
    When::demand,
    model::Demand::locker_wet,
    find_recheck_by_angle};

} // namespace benchleaf::proof::checks
