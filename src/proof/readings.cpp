#include "proof/readings.h"

#include <algorithm>
#include <set>

namespace benchleaf::proof {

const fitted::LimitUse* use_in(const fitted::Row& row, linked::LimitId limit) {
    const auto at = std::find_if(row.limits.begin(), row.limits.end(),
                                 [&](const fitted::LimitUse& use) { return use.figure.limit == limit; });
    return at == row.limits.end() ? nullptr : &*at;
}

Readings::Readings(const linked::Linked& linked, const fitted::Fit& fit) : fit_(fit) {
    for (std::size_t i = 0; i < linked.limits.size(); ++i) {
        const linked::LimitId limit(i);
        std::vector<std::size_t> mine;
        const auto add = [&](fitted::InstanceId of) {
            mine.push_back(slots_.size());
            slots_.push_back({limit, of});
        };
        for (const linked::ItemId item : linked.limits[i].of) {
            if (!item.known() || !fit.items[item.index()].present) continue;
            read_of_[item].push_back(limit);
            const fitted::Item& is = fit.items[item.index()];
            for (std::uint32_t each = 0; each < is.instances; ++each) add(fitted::InstanceId(is.first_instance + each));
        }
        if (linked.limits[i].of.empty()) add({});
        if (!mine.empty()) by_limit_.emplace(limit, std::move(mine));
    }
}

std::vector<linked::ItemId> Readings::set_by(linked::ItemId fastener) const {
    const linked::Item& is = fit_.items[fastener.index()].is;
    if (is.sort != linked::Sort::fastener || !is.fastener.duty || is.fastener.duty->value != model::Duty::adjust)
        return {};
    std::vector<linked::ItemId> parts;
    for (const auto& [item, limits] : read_of_) {
        const linked::Item& read = fit_.items[item.index()].is;
        bool sets = false;
        for (const linked::While& each : read.whiles)
            if (each.verb == model::VerbName::measure)
                for (const linked::Need& need : each.needs) sets = sets || (need.item == fastener && need.place == 0);
        if (sets) parts.push_back(item);
    }
    std::sort(parts.begin(), parts.end());
    return parts;
}

} // namespace benchleaf::proof
