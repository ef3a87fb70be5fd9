// The look-up of torques and limits, key by key through the levels.
#include "fitted/fitter.h"

#include "base/text.h"
#include "model/lay_over.h"

#include <algorithm>

namespace benchleaf::fitted {

std::optional<TorqueFigure> Fitter::torque(ItemId fastener, Span at) {
    struct Level {
        const linked::Torque* torque;
        From from;
    };
    std::vector<Level> levels; // the strongest first
    const auto add = [&](const std::unordered_map<ItemId, const linked::Torque*>& map, From from) {
        const auto found = map.find(fastener);
        if (found != map.end()) levels.push_back({found->second, from});
    };
    add(job_torques_, From::job);
    add(vehicle_torques_, From::vehicle);
    add(procedure_torques_, From::procedure);
    const bool settled = std::any_of(levels.begin(), levels.end(),
                                     [](const Level& level) { return level.torque->figures.value.has_value(); });

    const linked::Item& item = fit_.items[fastener.index()].is;
    std::vector<std::pair<std::string, Span>> given;
    for (const auto& [catalogue, torque] : shop_.torques[fastener.index()]) {
        if (!std::binary_search(now_->sees.begin(), now_->sees.end(), catalogue)) continue;
        if (given.empty()) levels.push_back({torque, From::catalogue});
        given.emplace_back(shop_.linked.catalogues[catalogue.index()].id, torque->declared);
    }
    if (given.size() > 1 && !settled && shop_.first_time(checks::two_torques.rule, given.front().second)) {
        report_two_torques(out_, at, item.name, given);
    }

    TorqueFigure figure;
    const Level* value = nullptr;
    bool source_below = false;
    bool unread = false; // and told
    for (const Level& level : levels) {
        const model::Torque& says = level.torque->figures;
        unread = unread || says.unread;
        // A source given with a weaker level's value says nothing of this one.
        if (says.source && figure.source.empty()) {
            if (value == nullptr)
                figure.source = says.source->value;
            else
                source_below = true;
        }
        if (value == nullptr && says.value) {
            value = &level;
            figure.value = says.value->value;
            figure.declared = level.torque->declared;
            figure.from = level.from;
        }
        if (!figure.threads && says.threads) figure.threads = says.threads->value;
    }
    if (value == nullptr) {
        if (!unread && no_torque_.insert(fastener).second) {
            report_torque_missing(out_, at, item.id, item.name, of_vehicle_, item.declared);
        }
        return std::nullopt;
    }
    if (figure.source.empty() && !unread && shop_.first_time(checks::torque_without_source.rule, figure.declared)) {
        report_torque_without_source(out_, figure.declared, item.name, at, source_below);
    }
    return figure;
}

namespace {

bool bounds(const model::Limit& limit) {
    return limit.minimum || limit.maximum || limit.within || limit.difference;
}

// `within` is a minimum and a maximum in one, whichever way a level writes them.
void lay_over(model::Limit& base, const model::Limit& difference) {
    if (difference.within) {
        base.minimum.reset();
        base.maximum.reset();
    }
    if ((difference.minimum || difference.maximum) && base.within) {
        const Span span = base.within->span;
        base.minimum = {{base.within->value.range.lower}, span};
        base.maximum = {{base.within->value.range.upper}, span};
        base.within.reset();
    }
    if (bounds(difference) && !difference.source) base.source.reset();
    model::lay_over(base, difference);
    base.unread = base.unread || difference.unread;
}

} // namespace

LimitFigure Fitter::limit(LimitId id, const std::vector<ItemId>& of) {
    const linked::Limit& from = shop_.linked.limits[id.index()];
    LimitFigure figure{id, from.figures, {}, from.declared};
    const auto lay = [&](const std::unordered_map<LimitId, const linked::LimitDifference*>& map) {
        const auto found = map.find(id);
        if (found == map.end()) return;
        lay_over(figure.figures, found->second->figures);
        if (bounds(found->second->figures)) figure.declared = found->second->declared;
    };
    lay(procedure_limits_);
    lay(vehicle_limits_);
    lay(job_limits_);
    if (figure.figures.name) {
        figure.name = figure.figures.name->value;
    } else {
        std::vector<std::string> names;
        for (const ItemId item : of) names.push_back(fit_.items[item.index()].is.name);
        figure.name = base::join_and(names);
    }
    return figure;
}

bool Fitter::limit_given(const LimitFigure& figure, Span at) {
    if (bounds(figure.figures)) return true;
    if (!figure.figures.unread && no_limit_.insert(figure.limit).second) {
        const linked::Limit& limit = shop_.linked.limits[figure.limit.index()];
        report_limit_missing(out_, at, limit.id, figure.name, of_vehicle_, limit.declared);
    }
    return false;
}

} // namespace benchleaf::fitted
