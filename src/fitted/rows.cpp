// The rows of a procedure as they are worked on one vehicle.
#include "fitted/fitter.h"

#include "base/require.h"
#include "base/text.h"
#include "model/verbs.h"

#include <algorithm>

namespace benchleaf::fitted {

namespace {

void mark_used(Rows& rows, const std::unordered_set<StepId>& used) {
    for (Row& row : rows) {
        if (row.kind == RowKind::question) row.answer_used = used.contains(row.id);
        mark_used(row.if_so, used);
        mark_used(row.if_not, used);
        mark_used(row.body, used);
        mark_used(row.otherwise, used);
    }
}

} // namespace

ProcedureIndex Fitter::fit_procedure(ProcedureId id) {
    if (!id.known()) return {};
    if (done_[id.index()].known()) return done_[id.index()];
    const linked::Procedure& from = procedure(id);

    Procedure made;
    made.id = id;
    made.source = &from;
    made.axis = from.each;
    if (from.each.known()) {
        const std::size_t values = fit_.axes[from.each.index()].values.size();
        for (std::size_t v = 0; v < values; ++v) made.values.push_back(static_cast<AxisValue>(v));
        if (values == 0) {
            report_axis_missing(out_, from.source->each->span, from.source->id.value, fit_.axes[from.each.index()].name,
                                of_vehicle_);
            return {};
        }
    }

    // What belongs to the procedure at work is set aside while another one is fitted.
    const auto* const outer = now_;
    Procedure* const outer_into = into_;
    auto outer_torques = std::exchange(procedure_torques_, {});
    auto outer_limits = std::exchange(procedure_limits_, {});
    auto outer_kept = std::exchange(kept_, {});
    auto outer_late = std::exchange(looked_late_, {});
    auto outer_used = std::exchange(answers_used_, {});
    now_ = &from;
    into_ = &made;
    for (const linked::Torque& torque : from.torques) procedure_torques_.try_emplace(torque.fastener, &torque);
    for (const linked::LimitDifference& limit : from.limits) procedure_limits_.try_emplace(limit.limit, &limit);

    for (const linked::Section& section : from.sections) {
        Section rows;
        rows.source = &section;
        rows.bound = from.each.known() && !section.once;
        rows.rows = fit_steps(section.steps, {rows.bound, {}});
        made.sections.push_back(std::move(rows));
    }
    for (Section& section : made.sections) mark_used(section.rows, answers_used_);
    const auto keep = [this](const std::vector<linked::Entering>& contract, std::vector<linked::Entering>& into) {
        for (const linked::Entering& entering : contract) {
            if (entering.item.known() && fit_.items[entering.item.index()].present) into.push_back(entering);
        }
    };
    keep(from.starts_with, made.starts_with);
    keep(from.ends_with, made.ends_with);

    now_ = outer;
    into_ = outer_into;
    procedure_torques_ = std::move(outer_torques);
    procedure_limits_ = std::move(outer_limits);
    kept_ = std::move(outer_kept);
    looked_late_ = std::move(outer_late);
    answers_used_ = std::move(outer_used);

    const ProcedureIndex index(fit_.procedures.size());
    fit_.procedures.push_back(std::move(made));
    done_[id.index()] = index;
    return index;
}

Rows Fitter::fit_steps(const linked::Steps& steps, const Place& place) {
    Rows rows;
    for (const linked::Step& step : steps) {
        if (!when_holds(step)) continue;
        Place inner = place;
        Row row;
        row.id = step.id;
        row.step = &step;
        if (!narrow(row, step, inner)) continue;
        if (step.kind == linked::StepKind::again && step.from.known()) {
            // Steps of a list are numbered upwards, so what is repeated is what stands last in it.
            const auto first = std::find_if(rows.begin(), rows.end(), [&](const Row& each) {
                return each.id.known() && each.id.index() >= step.from.index();
            });
            if (first == rows.end()) continue; // none of it is worked on this vehicle
            row.kind = RowKind::repeat;
            row.body.assign(std::make_move_iterator(first), std::make_move_iterator(rows.end()));
            rows.erase(first, rows.end());
            row.at_most = step.source->again->value.at_most ? step.source->again->value.at_most->value : 1;
            fit_basis(row, step, inner);
            row.otherwise = fit_steps(step.otherwise, inner);
        } else {
            Row fitted = fit_step(step, inner);
            fitted.only = std::move(row.only);
            row = std::move(fitted);
        }
        row.late = looked_late_.contains(step.id);
        kept_.insert(step.id);
        rows.push_back(std::move(row));
    }
    return rows;
}

Row Fitter::fit_step(const linked::Step& step, Place& place) {
    using K = linked::StepKind;
    Row row;
    row.id = step.id;
    row.step = &step;
    row.verb = step.verb;
    switch (step.kind) {
    case K::hole:
    case K::again: // one whose `from` was wrong
        break;
    case K::plain:
        row.kind = RowKind::plain;
        break;
    case K::stop:
        row.kind = RowKind::stop;
        break;
    case K::verb:
        row.kind = RowKind::verb;
        fit_verb(row, step, place);
        break;
    case K::ask:
    case K::decide:
        row.kind = RowKind::question;
        if (step.kind == K::decide) fit_basis(row, step, place);
        row.if_so = fit_steps(step.if_so, place);
        row.if_not = fit_steps(step.if_not, place);
        break;
    case K::if_answered:
        row.kind = step.answers.empty() ? RowKind::hole : RowKind::if_answered;
        row.answers = step.answers;
        for (const linked::Answer& answer : step.answers) answers_used_.insert(answer.question);
        row.if_so = fit_steps(step.steps, place);
        break;
    }
    return row;
}

bool Fitter::when_holds(const linked::Step& step) {
    if (!step.source->when) return true;
    // What no vehicle has is reported and then read as what was meant, if that can be told: otherwise the step would be
    // missed by the proof as well.
    model::Conditions when = step.source->when->value;
    if (shop_.linked.vehicles.empty()) return true;
    if (shop_.linked.model->unread_shared) return holds(when); // a vehicle that could not be read may have it
    const auto nearest = [](const std::string& word, const auto& map) {
        std::vector<std::string_view> candidates;
        for (const auto& [name, rest] : map) candidates.push_back(name);
        std::sort(candidates.begin(), candidates.end());
        return std::string(base::nearest(word, candidates));
    };
    for (auto& condition : when) {
        if (condition.key.name.empty()) continue;
        auto feature = shop_.common.features.find(condition.key.name);
        if (feature == shop_.common.features.end()) {
            const std::string near = nearest(condition.key.name, shop_.common.features);
            if (shop_.first_time(checks::impossible_when.rule, condition.key.span)) {
                report_impossible_when(out_, condition.key.span,
                                       "no vehicle of this shop has a `" + condition.key.name + "`", near, {});
            }
            if (near.empty()) continue;
            condition.key.name = near;
            feature = shop_.common.features.find(near);
        }
        for (auto& value : condition.value) {
            if (value.name.empty() || feature->second.contains(value.name)) continue;
            const std::string near = nearest(value.name, feature->second);
            if (shop_.first_time(checks::impossible_when.rule, value.span)) {
                report_impossible_when(out_, value.span,
                                       "no vehicle of this shop has `" + condition.key.name + ": " + value.name + "`",
                                       near, near.empty() ? Span{} : feature->second.at(near).first);
            }
            if (!near.empty()) value.name = near;
        }
    }
    return holds(when);
}

bool Fitter::has_axis(const linked::Step& step, AxisId axis) const {
    const auto along = [&](ItemId id) { return id.known() && fit_.items[id.index()].is.axis == axis; };
    for (const linked::Target& target : step.targets) {
        if (along(target.item)) return true;
        if (target.limit.known()) {
            const std::vector<ItemId>& of = shop_.linked.limits[target.limit.index()].of;
            if (std::any_of(of.begin(), of.end(), along)) return true;
        }
    }
    return std::any_of(step.to.begin(), step.to.end(), along);
}

// False when no value that the step is for is on this vehicle: the step is not worked.
bool Fitter::narrow(Row& row, const linked::Step& step, Place& place) {
    for (const linked::Only& only : step.only) {
        const Axis& axis = fit_.axes[only.axis.index()];
        const std::vector<std::string>& anywhere = shop_.common.axis_values[only.axis.index()];
        const bool own = only.axis == now_->each;
        if (!own && !has_axis(step, only.axis)) {
            if (shop_.first_time(checks::impossible_only.rule, only.span)) {
                const bool calls = step.procedure.known() && procedure(step.procedure).each == only.axis;
                report_only_of_no_axis(out_, only.span, axis.name, "this step", calls);
            }
            continue;
        }
        // In a section that is worked once, what is there once.
        if (own && !place.bound && step.kind == linked::StepKind::verb && !step.targets.empty() &&
            !has_axis(step, only.axis) &&
            std::all_of(step.targets.begin(), step.targets.end(), [](const auto& each) { return each.item.known(); })) {
            if (shop_.first_time(checks::impossible_only.rule, only.span))
                report_only_of_one(out_, only.span, axis.name, fit_.items[step.targets.front().item.index()].is.name);
            continue;
        }
        std::vector<AxisValue> values;
        bool unread = false;
        for (std::size_t v = 0; v < only.values.size(); ++v) {
            const std::string& name = only.values[v];
            auto found = std::find(axis.values.begin(), axis.values.end(), name);
            if (found == axis.values.end() && std::find(anywhere.begin(), anywhere.end(), name) == anywhere.end()) {
                const std::vector<std::string_view> candidates(anywhere.begin(), anywhere.end());
                const std::string near(base::nearest(name, candidates));
                if (shop_.first_time(checks::impossible_only.rule, only.value_spans[v])) {
                    report_impossible_only(out_, only.value_spans[v], name, axis.name, anywhere, near);
                }
                unread = unread || near.empty();
                found = std::find(axis.values.begin(), axis.values.end(), near);
            }
            if (found != axis.values.end()) values.push_back(static_cast<AxisValue>(found - axis.values.begin()));
        }
        if (unread) continue; // what was meant cannot be told, so nothing is narrowed
        for (const Narrowing& outer : place.narrowed) {
            if (outer.axis != only.axis) continue;
            std::erase_if(values, [&outer](AxisValue value) {
                return std::find(outer.values.begin(), outer.values.end(), value) == outer.values.end();
            });
        }
        if (values.empty()) return false;
        if (own) row.only = values;
        if (!own || !place.bound) place.narrowed.push_back({only.axis, std::move(values)});
    }
    return true;
}

void Fitter::not_there(ItemId id, Span at) {
    const linked::Item& item = fit_.items[id.index()].is;
    if (const std::optional<Failing> why = failing(item.only_on)) {
        report_item_not_on_vehicle(out_, at, item.name, of_vehicle_, *why);
        return;
    }
    report_item_without_axis(out_, at, item.name, of_vehicle_,
                             item.axis.known() ? fit_.axes[item.axis.index()].name : std::string(), item.declared);
}

bool Fitter::on_vehicle(ItemId id, Span at) {
    if (!id.known()) return false;
    if (fit_.items[id.index()].present) return true;
    not_there(id, at);
    return false;
}

void Fitter::add_target(Row& row, ItemId id, linked::Place to, Span span, const Place& place) {
    if (!on_vehicle(id, span)) return;
    Target target;
    target.item = id;
    target.place = to;
    target.span = span;
    const Item& item = fit_.items[id.index()];
    for (const Narrowing& narrowing : place.narrowed) {
        if (narrowing.axis == item.is.axis) target.values = narrowing.values; // the innermost is the narrowest
    }
    if (!target.values.empty()) {
        const auto there = [&](AxisValue value) {
            for (std::uint32_t i = 0; i < item.instances; ++i) {
                if (fit_.instances[item.first_instance + i].value == value) return true;
            }
            return false;
        };
        if (std::none_of(target.values.begin(), target.values.end(), there)) {
            Span narrowed = item.is.declared;
            if (vehicle_ != nullptr) {
                for (const auto& only : vehicle_->only) {
                    if (only.item == id) narrowed = only.span;
                }
            }
            report_item_narrowed_away(out_, span, item.is.name, of_vehicle_, narrowed);
            return;
        }
    }
    if (item.is.sort == linked::Sort::fastener &&
        (row.verb == model::VerbName::torque || row.verb == model::VerbName::recheck)) {
        judge_group(item.is);
        target.torque = torque(id, span);
    }
    row.targets.push_back(std::move(target));
}

bool Fitter::add_limit(Row& row, LimitId id, Span span) {
    const linked::Limit& from = shop_.linked.limits[id.index()];
    LimitUse use;
    use.span = span;
    for (const ItemId item : from.of) {
        if (fit_.items[item.index()].present) use.of.push_back(item);
    }
    if (use.of.empty()) {
        if (!from.of.empty()) not_there(from.of.front(), span);
        return false;
    }
    use.figure = limit(id, use.of);
    if (!limit_given(use.figure, span)) return false;
    row.limits.push_back(std::move(use));
    return true;
}

void Fitter::fit_verb(Row& row, const linked::Step& step, const Place& place) {
    switch (model::verb(step.verb).takes) {
    case model::Argument::text:
        return;
    case model::Argument::time:
        judge_wait(step);
        return;
    case model::Argument::procedure: {
        if (!step.procedure.known()) {
            row.kind = RowKind::hole;
            return;
        }
        const linked::Procedure& called = procedure(step.procedure);
        const Span at = step.targets.empty() ? step.source->span : step.targets.front().span;
        if (called.source->fits) {
            if (const std::optional<Failing> why = failing(called.source->fits->value)) {
                report_do_does_not_fit(out_, at, called.source->id.value, of_vehicle_, *why);
                row.kind = RowKind::hole;
                return;
            }
        }
        row.calls = fit_procedure(step.procedure);
        if (!row.calls.known()) row.kind = RowKind::hole;
        return;
    }
    case model::Argument::limits:
        for (const linked::Target& target : step.targets) {
            if (!target.limit.known()) continue;
            if (!add_limit(row, target.limit, target.span)) {
                into_->unread.push_back(target.limit);
                continue;
            }
            LimitUse& use = row.limits.back();
            for (const ItemId of : use.of) {
                std::vector<AxisValue>& values = use.values.emplace_back();
                for (const Narrowing& narrowing : place.narrowed)
                    if (narrowing.axis == fit_.items[of.index()].is.axis) values = narrowing.values; // the innermost
            }
            const std::vector<ItemId> of = row.limits.back().of;
            for (const ItemId item : of) add_target(row, item, 0, target.span, place);
        }
        if (row.limits.empty()) row.kind = RowKind::hole;
        return;
    case model::Argument::consumable:
        for (std::size_t i = 0; i < step.to.size(); ++i) {
            add_target(row, step.to[i], 0, step.source->to->value[i].span, place);
        }
        // Without `to` it goes where the step's words say.
        if (row.targets.empty() && !step.to.empty()) row.kind = RowKind::hole;
        return;
    default:
        for (const linked::Target& target : step.targets)
            add_target(row, target.item, target.place, target.span, place);
        if (row.targets.empty()) row.kind = RowKind::hole;
        return;
    }
}

// What is waited for takes its time to set; if it does not set, its vapour takes its time to clear.
void Fitter::judge_wait(const linked::Step& step) {
    const auto& verb = step.source->verb;
    if (!step.wait_for.known() || !verb || !verb->time) return;
    const linked::Consumable& what = shop_.linked.consumables[step.wait_for.index()];
    const bool sets = what.figures.sets_in.has_value();
    const auto& until = sets ? what.figures.sets_in : what.figures.clears_in;
    if (!until || units::compare(verb->time->value.quantity, until->value.quantity) >= 0) return;
    if (shop_.first_time(checks::wait_too_short.rule, verb->time->span))
        report_wait_too_short(out_, verb->time->span, what.name, until->span, until->value.quantity, sets);
}

void Fitter::fit_basis(Row& row, const linked::Step& step, const Place& place) {
    bool said = false;
    for (const linked::Basis& basis : step.basis) {
        if (basis.limit.known()) {
            said = !add_limit(row, basis.limit, basis.span) || said;
            const linked::AxisId over = shop_.linked.limits[basis.limit.index()].difference_over;
            const bool differs = !row.limits.empty() && row.limits.back().figure.limit == basis.limit &&
                                 row.limits.back().figure.figures.difference;
            if (differs && place.bound && step.only.empty() && over.known() && over == now_->each &&
                shop_.first_time(checks::difference_apart.rule, basis.span))
                report_difference_apart(out_, basis.span, row.limits.back().figure, fit_.axes[over.index()].name);
        } else if (kept_.contains(basis.inspection)) {
            row.inspections.push_back(basis.inspection);
        } else if (basis.inspection.index() > step.id.index()) { // told
            said = true;
            looked_late_.insert(basis.inspection);
        }
    }
    if (row.limits.empty() && row.inspections.empty() && !step.basis.empty() && !said) {
        report_nothing_to_decide(out_, step.basis.front().span, of_vehicle_);
    }
}

} // namespace benchleaf::fitted
