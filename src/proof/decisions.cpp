#include "proof/decisions.h"

#include "fitted/readings.h"

#include <algorithm>
#include <functional>

namespace benchleaf::proof {

Decisions::Decisions(const linked::Linked& linked, const fitted::Fit& fit) {
    for (const fitted::Axis& axis : fit.axes) {
        first_value_.push_back(width_);
        width_ += axis.values.size();
    }
    for (const fitted::Procedure& procedure : fit.procedures) {
        steps_.clear();
        const std::function<void(const fitted::Rows&)> number = [&](const fitted::Rows& rows) {
            for (const fitted::Row& row : rows) {
                steps_.emplace(row.id, &row);
                for (const fitted::Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise}) number(*inner);
            }
        };
        for (const fitted::Section& section : procedure.sections) number(section.rows);
        for (const fitted::Section& section : procedure.sections) walk(linked, section.rows);
    }
}

void Decisions::walk(const linked::Linked& linked, const fitted::Rows& rows) {
    for (const fitted::Row& row : rows) {
        if (row.kind == fitted::RowKind::question || row.kind == fitted::RowKind::repeat)
            add(linked, row, nullptr, decisions_);
        if (row.kind == fitted::RowKind::repeat) add(linked, row, &row, rounds_);
        for (const fitted::Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise}) walk(linked, *inner);
    }
}

void Decisions::add(const linked::Linked& linked, const fitted::Row& row, const fitted::Row* of_rounds,
                    std::unordered_map<const fitted::Row*, Decision>& into) {
    if (row.limits.empty() && row.inspections.empty()) return; // a question that somebody answers by looking
    Basis basis;
    std::get<2>(basis) = of_rounds;
    std::set<linked::ItemId> items; // what changes the answer when it is renewed or adjusted
    for (const fitted::LimitUse& use : row.limits) {
        std::get<0>(basis).insert(use.figure.limit);
        items.insert(use.of.begin(), use.of.end());
        const std::vector<linked::ItemId>& proves = linked.limits[use.figure.limit.index()].proves;
        items.insert(proves.begin(), proves.end());
    }
    for (const linked::StepId inspection : row.inspections) {
        const auto at = steps_.find(inspection);
        if (at == steps_.end()) return; // not worked on this vehicle
        std::get<1>(basis).insert(at->second->step);
        for (const fitted::Target& target : at->second->targets) items.insert(target.item);
    }
    const auto [at, fresh_group] = known_.try_emplace(basis, groups_);
    if (fresh_group) {
        ++groups_;
        for (const linked::LimitId limit : std::get<0>(basis)) by_limit_[limit].push_back(at->second);
        for (const linked::Step* step : std::get<1>(basis)) by_step_[step].push_back(at->second);
        for (const linked::ItemId item : items) by_item_[item].push_back(at->second);
    }
    Decision decision;
    decision.row = &row;
    decision.group = at->second;
    const std::vector<linked::Basis>& rests_on = row.step->basis;
    if (!rests_on.empty()) decision.at = rests_on.front().span;
    const linked::LimitId instead = of_rounds != nullptr ? fitted::read_instead(row) : linked::LimitId();
    decision.help =
        instead.known()
            ? "write `until: " + linked.limits[instead.index()].id +
                  "`, which each round reads; or put the step that reads this between `from` and the `again`"
        : of_rounds != nullptr
            ? "put the step that reads it between `from` and the `again`"
            : "read it again first; or put what follows under an `if-answered` that names the first decision";
    into.emplace(&row, std::move(decision));
}

std::vector<std::size_t> Decisions::touched(std::size_t group, linked::AxisId axis, fitted::AxisValue value) const {
    std::vector<std::size_t> all;
    if (value == fitted::no_value || !axis.known()) {
        for (std::size_t i = 0; i < width_; ++i) all.push_back(group * width_ + i);
        return all;
    }
    all.push_back(group * width_);
    // Along another axis it is not known whose reading it is: new to all of those.
    for (std::size_t other = 0; other < first_value_.size(); ++other) {
        const std::size_t end = other + 1 < first_value_.size() ? first_value_[other + 1] : width_;
        for (std::size_t at = first_value_[other]; at < end; ++at)
            if (other != axis.index() || at == first_value_[other] + value) all.push_back(group * width_ + at);
    }
    return all;
}

} // namespace benchleaf::proof
