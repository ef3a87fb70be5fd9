// The wording of the checks of this folder, each in its file under checks/. Private to card/.
#pragma once

#include "card/check.h"
#include "fitted/fitted.h"
#include "mechanics/wrench.h"

#include <cstdint>

namespace benchleaf::card {

namespace checks {
extern const Check card_too_long;
extern const Check finer_than_wrench;
extern const Check meter_runs_back;
extern const Check no_wrench;
extern const Check service_too_far;
extern const Check two_axes_at_once;
} // namespace checks

namespace found {

void card_too_long(const fitted::Procedure& procedure, std::uint32_t most, messages::Messages& out);
void two_axes_at_once(const linked::Linked& linked, const fitted::Procedure& outer, const fitted::Procedure& called,
                      messages::Messages& out);
// `torque` is the one that no wrench holds; `job` is none on a blank card.
void no_wrench(const model::Shop& shop, const model::Job* job, const linked::Item& fastener,
               const fitted::Target& target, const units::Quantity& torque, const mechanics::NoWrench& why,
               messages::Messages& out);
// `torque` has a tolerance that the wrench which is set to it cannot promise.
void finer_than_wrench(const std::string& name, const model::Wrench& wrench, const linked::Item& fastener,
                       const fitted::Target& target, const units::Figure& torque, messages::Messages& out);
void meter_runs_back(const model::Job& job, const model::Record& before, messages::Messages& out);
// Not even a new part reads `keep`.
void service_too_far(const model::Job& job, const fitted::LimitFigure& limit, const units::Quantity& keep,
                     messages::Messages& out);

} // namespace found
} // namespace benchleaf::card
