#include "fitted/fit.h"

#include "base/text.h"
#include "fitted/coats.h"
#include "fitted/fills.h"
#include "fitted/fitter.h"
#include "fitted/readings.h"
#include "model/words.h"

#include <algorithm>

namespace benchleaf::fitted {

namespace {

// A condition that no vehicle meets only because of a slip of the pen.
void find_near_misses(Shop& shop, const model::Conditions& conditions, Messages& out) {
    for (const auto& condition : conditions) {
        const auto& features = shop.common.features;
        const auto feature = features.find(condition.key.name);
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
        look(condition.key.name, condition.key.span, features);
        if (feature == features.end()) continue;
        for (const auto& value : condition.value) look(value.name, value.span, feature->second);
    }
}

// Has any vehicle all that they ask for? Those are looked at that have what the first of them asks for.
bool any_meets(const Common& common, const model::Conditions& conditions) {
    const auto feature = common.features.find(conditions.front().key.name);
    if (feature == common.features.end()) return false;
    const auto& wanted = conditions.front().value;
    return std::any_of(wanted.begin(), wanted.end(), [&](const auto& value) {
        const auto had = feature->second.find(value.name);
        return had != feature->second.end() &&
               std::any_of(had->second.by.begin(), had->second.by.end(), [&](linked::VehicleId vehicle) {
                   return meets(common.linked.vehicles[vehicle.index()], conditions);
               });
    });
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
        if (!any_meets(shop.common, conditions) && shop.first_time(checks::fits_no_vehicle.rule, at))
            report_fits_no_vehicle(out, at, what, procedure);
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

// A step of the procedure that measures the limit alone, and not within a question or a repeat.
MeasuredElsewhere measured_elsewhere(Procedure& procedure, const Unmeasured& unmeasured) {
    const LimitUse& use = *unmeasured.use;
    MeasuredElsewhere found;
    bool behind = false;
    for (Section& section : procedure.sections)
        for (Row& row : section.rows) {
            const bool measures = row.kind == RowKind::verb && row.verb == model::VerbName::measure &&
                                  row.limits.size() == 1 && row.limits.front().figure.limit == use.figure.limit;
            if (measures && behind && !found.late.known()) {
                found.late = row.limits.front().span;
                row.late = unmeasured.lacking.empty();
            }
            if (measures && !behind && !row.only.empty()) found.narrow = row.limits.front().span;
            behind = behind || &row == unmeasured.row;
        }
    return found;
}

Span target_span_of(const Row& row, ItemId item) {
    for (const Target& target : row.targets)
        if (target.item == item) return target.span;
    return {};
}

void judge_readings(Shop& shop, Fit& fit, Messages& out) {
    const auto sides_of = [&](ItemId item, const std::vector<AxisValue>& values) {
        std::vector<std::string> names;
        const linked::AxisId axis = fit.items[item.index()].is.axis;
        for (const AxisValue value : values)
            if (axis.known() && value < fit.axes[axis.index()].values.size())
                names.push_back(fit.axes[axis.index()].values[value]);
        return base::join_and(names);
    };
    const auto in_words = [&](const LimitUse& use, const std::vector<AxisValue>& values) {
        return sides_of(use.of.front(), values);
    };
    std::vector<std::pair<ProcedureIndex, linked::LimitId>> unread;
    judge_readings(
        fit,
        [&](const Unmeasured& found) {
            const LimitUse& use = *found.use;
            unread.emplace_back(found.in, use.figure.limit);
            const linked::Limit& limit = shop.linked.limits[use.figure.limit.index()];
            MeasuredElsewhere elsewhere = measured_elsewhere(fit.procedures[found.in.index()], found);
            const linked::LimitId instead = found.lacking.empty() ? read_instead(*found.row) : linked::LimitId();
            if (instead.known()) elsewhere.instead = shop.linked.limits[instead.index()].id;
            if (!shop.first_time(checks::decided_unmeasured.rule, use.span)) return;
            report_decided_unmeasured(out, use.span, use.figure.name, limit.id, in_words(use, found.lacking),
                                      limit.declared, found.row->step->source->span, elsewhere);
        },
        [&](const Lone& found) {
            const LimitUse& use = *found.use;
            const linked::Limit& limit = shop.linked.limits[use.figure.limit.index()];
            if (!limit.proves.empty() || !shop.first_time(checks::half_decided.rule, use.span)) return;
            report_half_decided(out, use.span, use.figure.name, in_words(use, found.values), limit.declared);
        },
        [&](const Lone& found) {
            const LimitUse& use = *found.use;
            // What proves an adjustment is asked for by the proof on all of its values.
            if (!shop.linked.limits[use.figure.limit.index()].proves.empty()) return;
            if (shop.first_time(checks::difference_of_one.rule, use.span))
                report_difference_of_one(out, use.span, use.figure, in_words(use, found.values));
        },
        [&](const HalfLooked& found) {
            const auto basis =
                std::find_if(found.row->step->basis.begin(), found.row->step->basis.end(),
                             [&](const linked::Basis& each) { return each.inspection == found.look->id; });
            if (basis == found.row->step->basis.end() || !shop.first_time(checks::half_looked.rule, basis->span))
                return;
            report_half_looked(out, basis->span, fit.items[found.item.index()].is, sides_of(found.item, found.lacking),
                               target_span_of(*found.look, found.item));
        });
    for (const auto& [in, limit] : unread) fit.procedures[in.index()].unread.push_back(limit);
}

void judge_axles(Shop& shop, const Fit& fit, Messages& out) {
    if (!fit.vehicle.known()) return;
    const model::Vehicle& vehicle = *shop.linked.vehicles[fit.vehicle.index()].source;
    if (!vehicle.wheels) return;
    const auto& axles = vehicle.wheels->value;
    for (const Procedure& procedure : fit.procedures) {
        if (!procedure.source->source->axle) continue;
        for (const auto& axle : procedure.source->source->axle->value)
            if (std::none_of(axles.begin(), axles.end(), [&](const auto& is) { return is.key.name == axle.name; }) &&
                shop.first_time(checks::axle_not_on_vehicle.rule, axle.span))
                report_axle_not_on_vehicle(out, axle, vehicle);
    }
}

void judge_coats(Shop& shop, const Fit& fit, Messages& out) {
    judge_coats(
        shop.linked, fit,
        [&](const Coated& found) {
            if (shop.first_time(checks::threads_not_dry.rule, found.on->span))
                report_threads_not_dry(out, fit.items[found.on->item.index()].is, found.on->span,
                                       shop.linked.consumables[found.with.index()].name, *found.torque->torque);
        },
        [&](const Bare& found) {
            const auto word =
                model::Words<model::ThreadState>::all[static_cast<std::size_t>(*found.torque->torque->threads)];
            const Span cleaned = found.cleaned != nullptr ? found.cleaned->span : Span();
            const Span at = cleaned.known() ? cleaned : found.torque->span;
            if (shop.first_time(checks::threads_left_bare.rule, at))
                report_threads_left_bare(
                    out, fit.items[found.torque->item.index()].is, cleaned, found.torque->span, *found.torque->torque,
                    word, found.unused.known() ? &shop.linked.consumables[found.unused.index()] : nullptr);
        });
}

void tell_vast(Shop& shop, const Fit& fit, const Vast& found, Messages& out) {
    const linked::Item& circuit = fit.items[found.circuit.index()].is;
    const auto tell = [&](const auto& given) {
        if (shop.first_time(checks::filled_absurd.rule, given->span))
            report_holds_absurd(out, given->span, circuit, given->value.quantity);
    };
    if (found.row != nullptr)
        tell(found.row->step->source->amount);
    else
        tell(circuit.circuit_of.holds);
}

void judge_holdings(Shop& shop, const Fit& fit, Messages& out) {
    judge_holdings(fit, [&](const Vast& found) { tell_vast(shop, fit, found, out); });
}

void judge_fills(Shop& shop, const Fit& fit, Messages& out) {
    const auto is = [&](ItemId id) -> const linked::Item& { return fit.items[id.index()].is; };
    SeeFills see;
    see.filled = [&](const Filled& found) {
        const auto& amount = found.row->step->source->amount;
        const Span at = amount ? amount->span : found.row->targets.front().span;
        const messages::Rule& rule =
            found.absurd && amount ? checks::filled_absurd.rule : checks::filled_unlike_holds.rule;
        if (!shop.first_time(rule, at)) return;
        if (found.absurd && amount)
            report_filled_absurd(out, at, is(found.circuit), amount->value.quantity);
        else
            report_filled_unlike_holds(out, at, is(found.circuit), found.too_much);
    };
    see.vast = [&](const Vast& found) { tell_vast(shop, fit, found, out); };
    see.unbled = [&](const Unbled& found) {
        if (shop.first_time(checks::vent_not_bled.rule, found.filled->span))
            report_vent_not_bled(out, found.filled->span, is(found.filled->item), is(found.vent));
    };
    see.unsaid = [&](const Unsaid& found) {
        if (shop.first_time(checks::fill_unsaid.rule, found.filled->span))
            report_fill_unsaid(out, found.filled->span, is(found.filled->item));
    };
    see.unnamed = [&](const Unnamed& found) {
        if (shop.first_time(checks::fluid_unsaid.rule, found.at->span))
            report_fluid_unsaid(out, found.at->span, is(found.circuit));
    };
    judge_fills(fit, see);
}

Fit fit_all(Shop& shop, linked::VehicleId vehicle, Messages& messages) {
    Fitter fitter(shop, vehicle, {}, messages);
    for (const linked::Procedure& procedure : shop.linked.procedures) {
        if (!procedure.source->fits || fitter.holds(procedure.source->fits->value)) fitter.fit_procedure(procedure.id);
    }
    Fit fit = fitter.take();
    judge_axles(shop, fit, messages);
    judge_readings(shop, fit, messages);
    judge_coats(shop, fit, messages);
    judge_holdings(shop, fit, messages);
    judge_fills(shop, fit, messages);
    return fit;
}

Fit fit_sequence(Shop& shop, linked::VehicleId vehicle, linked::JobId job,
                 const std::vector<std::pair<ProcedureId, Span>>& procedures, Messages& messages) {
    Fitter fitter(shop, vehicle, job, messages);
    std::vector<ProcedureIndex> sequence; // as many as procedures
    std::vector<Misfit> misfits;          // mostly all for one reason: it is another vehicle
    for (const auto& [id, span] : procedures) {
        sequence.emplace_back();
        if (!id.known()) continue;
        const linked::Procedure& procedure = fitter.procedure(id);
        if (procedure.source->fits) {
            if (const std::optional<Failing> why = fitter.failing(procedure.source->fits->value)) {
                misfits.push_back({span, procedure.source->id.value, *why});
                continue;
            }
        }
        sequence.back() = fitter.fit_procedure(id);
    }
    if (!misfits.empty()) report_job_does_not_fit(messages, misfits, fitter.of_vehicle());
    Fit fit = fitter.take();
    judge_axles(shop, fit, messages);
    judge_readings(shop, fit, messages);
    judge_coats(shop, fit, messages);
    judge_holdings(shop, fit, messages);
    judge_fills(shop, fit, messages);
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

struct ShopFitter::Inner {
    explicit Inner(std::shared_ptr<const Common> of) : common(std::move(of)), shop(*common) {}
    std::shared_ptr<const Common> common;
    Shop shop;
    Messages said;
    std::optional<Fitter> fitter; // of the vehicle that is looked at
};

std::shared_ptr<const Common> common_of(const linked::Linked& linked) {
    return std::make_shared<const Common>(linked);
}

ShopFitter::ShopFitter(std::shared_ptr<const Common> common) : inner_(std::make_unique<Inner>(std::move(common))) {}
ShopFitter::~ShopFitter() = default;

void ShopFitter::find_unfitted(messages::Messages& messages) {
    fitted::find_unfitted(inner_->shop, messages);
}

void ShopFitter::take(const ShopFitter& other, const messages::Messages& said, messages::Messages& messages) {
    inner_->shop.take(other.inner_->shop, said, messages);
}

Fitted ShopFitter::whole(linked::VehicleId vehicle, messages::Messages& messages) {
    inner_->shop.note_once(messages);
    Fitted fitted;
    fitted.linked = &inner_->shop.linked;
    fitted.fits.push_back(fit_all(inner_->shop, vehicle, messages));
    return fitted;
}

bool ShopFitter::look_at(linked::VehicleId vehicle, Looks& looks) {
    inner_->said = {};
    inner_->fitter.emplace(inner_->shop, vehicle, linked::JobId(), inner_->said);
    const Fit fit = inner_->fitter->alone({}, looks);
    judge_holdings(inner_->shop, fit, inner_->said);
    std::fill(looks.items.begin(), looks.items.end(), 1); // whatever of its own it has may have been wrong in itself
    return inner_->said.all().empty();
}

Fitted ShopFitter::alone(linked::ProcedureId procedure, Looks& looks, bool& good) {
    Fitted fitted;
    Messages& messages = inner_->said;
    messages = {};
    fitted.linked = &inner_->shop.linked;
    fitted.fits.push_back(inner_->fitter->alone(procedure, looks));
    Fit& fit = fitted.fits.back();
    judge_axles(inner_->shop, fit, messages);
    judge_readings(inner_->shop, fit, messages);
    judge_coats(inner_->shop, fit, messages);
    judge_fills(inner_->shop, fit, messages);
    good = messages.all().empty();
    return fitted;
}

Fitted fit_shop(const linked::Linked& linked, messages::Messages& messages) {
    ShopFitter fitter(common_of(linked));
    Fitted fitted;
    fitted.linked = &linked;
    fitter.find_unfitted(messages);
    const auto add = [&](linked::VehicleId vehicle) {
        fitted.fits.push_back(std::move(fitter.whole(vehicle, messages).fits.front()));
    };
    if (linked.vehicles.empty()) add({});
    for (const linked::Vehicle& vehicle : linked.vehicles) add(vehicle.id);
    return fitted;
}

Fitted fit_job(const Common& common, linked::JobId job, const std::optional<history::Vehicle>& past,
               messages::Messages& messages) {
    Shop shop(common);
    const Linked& linked = common.linked;
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
    fitted.fits.back().past = past;
    return fitted;
}

Fitted fit_procedure(const Common& common, linked::ProcedureId procedure, linked::VehicleId vehicle,
                     messages::Messages& messages) {
    Shop shop(common);
    const Linked& linked = common.linked;
    Fitted fitted;
    fitted.linked = &linked;
    const Span at = linked.procedures[procedure.index()].source->id.span;
    fitted.fits.push_back(fit_sequence(shop, vehicle, {}, {{procedure, at}}, messages));
    return fitted;
}

} // namespace benchleaf::fitted
