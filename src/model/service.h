// When a job's vehicle is to come back, by its meter: for the card, and for the record that is made of it.
#pragma once

#include "model/model.h"

#include <optional>

namespace benchleaf::model {

// The stand of the meter at its next service: as the job says it, or so much further than its meter. A sum over two units has digits that no meter shows; it is
// rounded down, as due a little early is the safe side. Nothing where the job does not say, or only how far and not from where.
std::optional<units::Quantity> next_service_at(const Job& job);

} // namespace benchleaf::model
