#include "model/service.h"

namespace benchleaf::model {

std::optional<units::Quantity> next_service_at(const Job& job) {
    if (!job.next_service) return std::nullopt;
    units::Quantity next = job.next_service->value.quantity;
    if (!next.relative) return next;
    next.relative = false;
    if (!job.meter) return std::nullopt;
    const units::Quantity& now = job.meter->value.quantity;
    auto at = units::add(now, next);
    if (at && next.unit != now.unit) at = units::convert(*at, at->unit, units::Decimals{0}, units::Round::down);
    return at;
}

} // namespace benchleaf::model
