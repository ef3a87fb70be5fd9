// The look-up of torques and limits, key by key through the levels.
#include "fitted/fitter.h"

#include "base/text.h"
#include "mechanics/preload.h"
#include "model/lay_over.h"

#include <algorithm>
#include <cmath>

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
    // An absurd figure is told as that: where it comes from is then the smaller question.
    const bool absurd = !unread && judge_preload(item, figure, at) && figure.source.empty();
    if (figure.source.empty() && !unread && !absurd &&
        shop_.first_time(checks::torque_without_source.rule, figure.declared)) {
        report_torque_without_source(out_, figure.declared, item.name, at, source_below);
    }
    return figure;
}

namespace {

mechanics::ThreadCondition condition(model::ThreadState state) {
    switch (state) {
    case model::ThreadState::dry:
        return mechanics::ThreadCondition::dry;
    case model::ThreadState::oiled:
        return mechanics::ThreadCondition::oiled;
    case model::ThreadState::thread_locked:
        return mechanics::ThreadCondition::thread_locked;
    case model::ThreadState::paste:
        return mechanics::ThreadCondition::paste;
    }
    return mechanics::ThreadCondition::dry;
}

} // namespace

// Sealing, adjusting and hollow screws are not tightened for their preload.
bool Fitter::judge_preload(const linked::Item& item, const TorqueFigure& figure, Span at) {
    constexpr double greatest = 0.90;
    constexpr double least = 0.20;
    const model::Fastener& is = item.fastener;
    if (is.duty && is.duty->value != model::Duty::clamp) return false;
    if (!is.thread || !is.property_class || !figure.threads) return false;
    const std::optional<units::Figure> last = units::final_torque(figure.value);
    if (!last) return false;
    const std::optional<double> share =
        mechanics::proof_share(*last, is.thread->value, is.property_class->value, condition(*figure.threads));
    if (!share || (*share <= greatest && *share >= least)) return false;
    report_preload(out_, at, item, figure, *share);
    return true;
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
    if (!figure.figures.unread) judge_limit(figure);
    return figure;
}

namespace {

// In the gauge's own unit; in another one it falls between the marks anyhow, and the card rounds it to the safe side.
bool between_marks(const units::Quantity& bound, const units::Quantity& mark) {
    if (bound.unit != mark.unit || mark.digits <= 0) return false;
    const double times = units::value_in(bound, mark.unit) / units::value_in(mark, mark.unit);
    if (!(std::abs(times) < 1e15)) return false;
    const auto on_mark = units::multiply(mark, std::llround(times));
    return on_mark && units::compare(*on_mark, bound) != 0;
}

} // namespace

void Fitter::judge_limit(const LimitFigure& figure) {
    const model::Limit& is = figure.figures;
    if (is.minimum && is.maximum && units::compare(is.minimum->value.quantity, is.maximum->value.quantity) > 0) {
        return report_limit_reversed(out_, figure);
    }
    if (is.reads_to) {
        const auto look = [&](const units::Quantity& bound, Span at) {
            if (!between_marks(bound, is.reads_to->value.quantity)) return false;
            report_finer_than_gauge(out_, figure, at, bound);
            return true;
        };
        if (is.minimum) look(is.minimum->value.quantity, is.minimum->span);
        if (is.maximum) look(is.maximum->value.quantity, is.maximum->span);
        if (is.within && !look(is.within->value.range.lower, is.within->span))
            look(is.within->value.range.upper, is.within->span);
        if (is.difference && is.difference->value.maximum)
            look(is.difference->value.maximum->value.quantity, is.difference->value.maximum->span);
    }
    if (!is.new_size) return;
    const units::Quantity& as_new = is.new_size->value.quantity;
    const auto guarded = [&](const units::Quantity& from) {
        return is.uncertainty ? units::add(from, is.uncertainty->value.quantity) : std::optional(from);
    };
    if (is.minimum) {
        const auto edge = guarded(is.minimum->value.quantity);
        if (edge && units::compare(*edge, as_new) >= 0) report_worn_when_new(out_, figure, true);
    }
    if (is.maximum) {
        const auto edge = guarded(as_new);
        if (edge && units::compare(*edge, is.maximum->value.quantity) >= 0) report_worn_when_new(out_, figure, false);
    }
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
