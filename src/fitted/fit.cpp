#include "fitted/fit.h"

#include "base/text.h"
#include "fitted/fitter.h"
#include "fitted/readings.h"

#include <algorithm>

namespace benchleaf::fitted {

namespace {

// A condition that no vehicle meets only because of a slip of the pen.
void find_near_misses(Shop& shop, const model::Conditions& conditions, Messages& out) {
    for (const auto& condition : conditions) {
        const auto feature = shop.features.find(condition.key.name);
        const auto look = [&](const std::string& word, Span at, const auto& map) {
            if (word.empty() || map.contains(word)) return;
            std::vector<std::string_view> candidates;
            for (const auto& [name, rest] : map) candidates.push_back(name);
            std::sort(candidates.begin(), candidates.end());
            const std::string near(base::nearest(word, candidates));
            if (!near.empty() && shop.first_time(checks::fits_no_vehicle.rule, at)) {
                report_fits_near_miss(out, at, word, near);
            }
        };
        look(condition.key.name, condition.key.span, shop.features);
        if (feature == shop.features.end()) continue;
        for (const auto& value : condition.value) look(value.name, value.span, feature->second);
    }
}

// What no vehicle has is never fitted, and so never proved.
void find_unfitted(Shop& shop, Messages& out) {
    const Linked& linked = shop.linked;
    if (linked.vehicles.empty()) return;
    const auto look = [&](const model::Conditions& conditions, Span at, const std::string& what, bool procedure) {
        if (conditions.empty()) return;
        const std::size_t before = out.all().size();
        find_near_misses(shop, conditions, out);
        if (out.all().size() > before) return;
        const bool met = std::any_of(linked.vehicles.begin(), linked.vehicles.end(),
                                     [&](const linked::Vehicle& vehicle) { return meets(vehicle, conditions); });
        if (!met && shop.first_time(checks::fits_no_vehicle.rule, at)) report_fits_no_vehicle(out, at, what, procedure);
    };
    for (const linked::Item& item : linked.items) {
        if (!item.only_on.empty()) look(item.only_on, item.only_on.front().key.span, "the " + item.name, false);
    }
    for (const linked::Procedure& procedure : linked.procedures) {
        if (procedure.source->fits && !procedure.source->fits->value.empty()) {
            look(procedure.source->fits->value, procedure.source->fits->value.front().key.span,
                 "the procedure `" + procedure.source->id.value + "`", true);
        }
    }
}

void judge_readings(Shop& shop, const Fit& fit, Messages& out) {
    find_unmeasured(fit, [&](const Unmeasured& found) {
        const LimitUse& use = *found.use;
        if (!shop.first_time(checks::decided_unmeasured.rule, use.span)) return;
        std::vector<std::string> lacking;
        const linked::AxisId axis = fit.items[use.of.front().index()].is.axis;
        for (const AxisValue value : found.lacking)
            if (axis.known() && value < fit.axes[axis.index()].values.size())
                lacking.push_back(fit.axes[axis.index()].values[value]);
        const linked::Limit& limit = shop.linked.limits[use.figure.limit.index()];
        report_decided_unmeasured(out, use.span, use.figure.name, limit.id, base::join_and(lacking), limit.declared);
    });
}

Fit fit_all(Shop& shop, linked::VehicleId vehicle, Messages& messages) {
    Fitter fitter(shop, vehicle, {}, messages);
    for (const linked::Procedure& procedure : shop.linked.procedures) {
        if (!procedure.source->fits || fitter.holds(procedure.source->fits->value)) fitter.fit_procedure(procedure.id);
    }
    judge_readings(shop, fitter.fit(), messages);
    return fitter.take();
}

Fit fit_sequence(Shop& shop, linked::VehicleId vehicle, linked::JobId job,
                 const std::vector<std::pair<ProcedureId, Span>>& procedures, Messages& messages) {
    Fitter fitter(shop, vehicle, job, messages);
    std::vector<ProcedureIndex> sequence; // as many as procedures
    for (const auto& [id, span] : procedures) {
        sequence.emplace_back();
        if (!id.known()) continue;
        const linked::Procedure& procedure = fitter.procedure(id);
        if (procedure.source->fits) {
            if (const std::optional<Failing> why = fitter.failing(procedure.source->fits->value)) {
                report_job_does_not_fit(messages, span, procedure.source->id.value, fitter.of_vehicle(), *why);
                continue;
            }
        }
        sequence.back() = fitter.fit_procedure(id);
    }
    judge_readings(shop, fitter.fit(), messages);
    Fit fit = fitter.take();
    fit.sequence = std::move(sequence);
    return fit;
}

} // namespace

bool meets(const linked::Vehicle& vehicle, const model::Conditions& conditions) {
    return std::all_of(conditions.begin(), conditions.end(), [&](const auto& condition) {
        if (!vehicle.source->has) return false;
        const auto& has = vehicle.source->has->value;
        return std::any_of(has.begin(), has.end(), [&](const auto& entry) {
            return entry.key.name == condition.key.name &&
                   std::any_of(condition.value.begin(), condition.value.end(),
                               [&](const auto& value) { return value.name == entry.value.name; });
        });
    });
}

Fitted fit_shop(const linked::Linked& linked, messages::Messages& messages) {
    Shop shop(linked);
    Fitted fitted;
    fitted.linked = &linked;
    find_unfitted(shop, messages);
    if (linked.vehicles.empty()) fitted.fits.push_back(fit_all(shop, {}, messages));
    for (const linked::Vehicle& vehicle : linked.vehicles) fitted.fits.push_back(fit_all(shop, vehicle.id, messages));
    return fitted;
}

Fitted fit_job(const linked::Linked& linked, linked::JobId job, messages::Messages& messages) {
    Shop shop(linked);
    Fitted fitted;
    fitted.linked = &linked;
    const linked::Job& from = linked.jobs[job.index()];
    if (!from.vehicle.known()) { // reported; for which vehicle it is cannot be guessed
        Fit empty;
        empty.job = job;
        fitted.fits.push_back(std::move(empty));
        return fitted;
    }
    fitted.fits.push_back(fit_sequence(shop, from.vehicle, job, from.procedures, messages));
    return fitted;
}

Fitted fit_procedure(const linked::Linked& linked, linked::ProcedureId procedure, linked::VehicleId vehicle,
                     messages::Messages& messages) {
    Shop shop(linked);
    Fitted fitted;
    fitted.linked = &linked;
    const Span at = linked.procedures[procedure.index()].source->id.span;
    fitted.fits.push_back(fit_sequence(shop, vehicle, {}, {{procedure, at}}, messages));
    return fitted;
}

} // namespace benchleaf::fitted
