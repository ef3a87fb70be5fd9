// The look-up of torques and limits, key by key through the levels.
#include "fitted/fitter.h"
#include "linked/look_over.h"

#include "base/text.h"
#include "mechanics/preload.h"
#include "mechanics/wear.h"
#include "model/lay_over.h"
#include "model/words.h"

#include <algorithm>
#include <cmath>
#include <tuple>

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
    if (looks_ != nullptr) looks_->torques[fastener.index()] = 1;
    add(job_torques_, From::job);
    add(vehicle_torques_, From::vehicle);
    add(procedure_torques_, From::procedure);
    const linked::Item& item = fit_.items[fastener.index()].is;
    // The first of those that the procedure sees: two in the shop have been told (linked/checks/two_torques.cpp).
    for (const auto& [catalogue, torque] : shop_.common.torques[fastener.index()])
        if (std::binary_search(now_->sees.begin(), now_->sees.end(), catalogue)) {
            levels.push_back({torque, From::catalogue});
            break;
        }

    TorqueFigure figure;
    const Level* value = nullptr;
    bool source_below = false;
    bool unread = false; // and told
    Span threads;
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
        if (!figure.threads && says.threads) {
            figure.threads = says.threads->value;
            threads = says.threads->span;
        }
    }
    if (value == nullptr) {
        if (!unread && no_torque_.insert(fastener).second) {
            const linked::Catalogue& own = shop_.linked.catalogues[item.catalogue.index()];
            const auto& vehicles = shop_.linked.vehicles;
            const bool differs = std::any_of(vehicles.begin(), vehicles.end(), [&](const linked::Vehicle& vehicle) {
                return std::any_of(vehicle.torques.begin(), vehicle.torques.end(),
                                   [&](const linked::Torque& torque) { return torque.fastener == fastener; });
            });
            report_torque_missing(out_, at, item.id, item.name, of_vehicle_, item.declared,
                                  own.torques.empty() || differs ? std::string() : "catalogue/" + own.id + ".yaml");
        }
        return std::nullopt;
    }
    // An absurd figure is told as that: where it comes from is then the smaller question.
    const bool absurd = !unread && (judge_threads(item, figure, threads) || judge_clamp(fastener, figure, at) ||
                                    judge_preload(item, figure, at));
    if (figure.source.empty() && !unread && !absurd &&
        shop_.first_time(checks::torque_without_source.rule, figure.declared)) {
        report_torque_without_source(out_, figure.declared, item.name, at, source_below);
    }
    return figure;
}

namespace {

// By its name in English. It grows by wear.
bool is_bore(std::string_view name) {
    return name == "bore" || name.ends_with(" bore") || name.starts_with("bore of") ||
           name.find("inside diameter") != std::string_view::npos ||
           name.find("inner diameter") != std::string_view::npos;
}

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

// What thread-locker goes on is not dry, and neither oil nor paste stays under it.
bool Fitter::judge_threads(const linked::Item& item, const TorqueFigure& figure, Span threads) {
    if (!item.threadlock.known() || !item.fastener.threadlock) return false;
    if (!figure.threads && shop_.first_time(checks::threads_unsaid.rule, figure.declared))
        report_threads_unsaid(out_, item, figure.declared);
    if (!figure.threads || *figure.threads == model::ThreadState::thread_locked) return false;
    if (shop_.first_time(checks::threads_not_locked.rule, threads))
        report_threads_not_locked(out_, item, threads,
                                  model::Words<model::ThreadState>::all[static_cast<std::size_t>(*figure.threads)]);
    return true;
}

namespace {

// Below this, a turn from where the faces meet stretches nothing (common practice).
constexpr double least_turn = 30;

double degrees(const units::Figure& angle) {
    return std::abs(units::value_in(angle.nominal, units::Unit::degree));
}

// Is it tight when the stages are done? A slot that is sought for the pin turns by anything from nothing on.
bool ends_tight(const units::Tightening& value) {
    bool tight = false;
    double wanted = least_turn; // by angle alone
    for (const units::Stage& stage : value.stages) {
        if (std::holds_alternative<units::ToTorque>(stage)) {
            tight = true;
        } else if (const auto* back = std::get_if<units::BackOff>(&stage)) {
            tight = false;
            wanted = std::max(degrees(back->angle), least_turn);
        } else if (const auto* by = std::get_if<units::ByAngle>(&stage)) {
            wanted -= degrees(by->angle);
            tight = tight || wanted <= 0;
        } else if (const auto* contact = std::get_if<units::ToContact>(&stage)) {
            wanted = least_turn - (contact->angle ? degrees(*contact->angle) : 0);
            tight = wanted <= 0;
        }
    }
    return tight;
}

// Turned on from a torque that had it seated already, it is stretched, perhaps for good.
bool is_stretched(const units::Tightening& value) {
    bool seated = false;
    double turned = 0;
    for (const units::Stage& stage : value.stages) {
        if (const auto* by = std::get_if<units::ByAngle>(&stage)) {
            if (seated) turned += degrees(by->angle);
        } else if (!std::holds_alternative<units::NextSlot>(stage)) {
            seated = std::holds_alternative<units::ToTorque>(stage);
        }
    }
    return turned >= least_turn;
}

} // namespace

// What comes of the stages: a clamping fastener that is critical stays tight, and a slot is sought for what locks it.
bool Fitter::judge_clamp(ItemId id, const TorqueFigure& figure, Span at) {
    const linked::Item& item = fit_.items[id.index()].is;
    const model::Fastener& is = item.fastener;
    const bool clamps = model::clamps(is);
    if (clamps && item.critical && !ends_tight(figure.value)) {
        if (shop_.first_time(checks::clamps_nothing.rule, figure.declared))
            report_clamps_nothing(out_, at, item, figure);
        return true;
    }
    if (clamps && is_stretched(figure.value) && !is.reuse && !is.renew_with &&
        shop_.first_time(checks::angle_reuse_unsaid.rule, figure.declared))
        report_angle_reuse_unsaid(out_, item, figure.declared);
    const bool slot =
        std::any_of(figure.value.stages.begin(), figure.value.stages.end(),
                    [](const units::Stage& stage) { return std::holds_alternative<units::NextSlot>(stage); });
    const linked::Item* pin = nullptr;
    bool locked = false;
    for (const ItemId lock : item.locked_by) {
        if (!fit_.items[lock.index()].present) continue;
        locked = true;
        if (linked::is_split_pin(fit_.items[lock.index()].is)) pin = &fit_.items[lock.index()].is;
    }
    if (!slot && pin != nullptr && shop_.first_time(checks::slot_unsaid.rule, at))
        report_slot_unsaid(out_, at, item, figure, *pin);
    if (!slot || locked) return false;
    // What comes out and is nowhere declared, which was told, may be the pin.
    bool undeclared = false;
    for (const linked::Procedure& procedure : shop_.linked.procedures)
        linked::each_step(procedure, [&](const linked::Step& step) {
            undeclared = undeclared || (step.kind == linked::StepKind::hole && step.source->verb &&
                                        step.source->verb->verb == model::VerbName::remove);
        });
    if (undeclared) return false;
    if (shop_.first_time(checks::slot_for_no_pin.rule, figure.declared)) report_slot_for_no_pin(out_, at, item, figure);
    return true;
}

namespace {

// The last torque, and whether an angle onward does what it does not: it then only seats the parts.
struct LastTorque {
    units::Figure torque;
    bool seats = false;
};

std::optional<LastTorque> last_torque(const units::Tightening& value) {
    std::optional<LastTorque> last;
    for (const units::Stage& stage : value.stages) {
        if (const auto* to = std::get_if<units::ToTorque>(&stage))
            last = {to->torque, false};
        else if (const auto* by = std::get_if<units::ByAngle>(&stage); by != nullptr && last)
            last->seats = last->seats || degrees(by->angle) >= least_turn;
    }
    return last;
}

} // namespace

// Sealing, adjusting and hollow screws are not tightened for their preload, and still bear no more than a solid one.
bool Fitter::judge_preload(const linked::Item& item, const TorqueFigure& figure, Span at) {
    constexpr double greatest = 0.90;
    constexpr double least = 0.20;
    // No source helps beyond these (common practice): K is known to a factor of two at the worst, and what holds wheel, brake or steering by a
    // tenth of what it bears does not hold it.
    constexpr double beyond_any = 2.0;
    constexpr double least_critical = 0.10;
    // What is pierced has lost a quarter of its section or more, and what seals is so, too, or sits in softer metal (common practice).
    constexpr double pierced = 0.75;
    const model::Fastener& is = item.fastener;
    const std::optional<LastTorque> last = last_torque(figure.value);
    if (!is.thread || !figure.threads || !last) return false;
    const bool clamps = model::clamps(is);
    // A thread of no class, or a hollow one, bears no more than a solid one of class 8.8.
    const std::string strength = is.property_class ? is.property_class->value : std::string("8.8");
    // One figure is worked out once, however many steps go by it.
    const auto [known, fresh] =
        shares_.try_emplace({&item, *figure.threads, figure.declared.file.known() ? figure.declared.file.index() : 0,
                             figure.declared.begin});
    if (fresh)
        known->second = mechanics::proof_share(last->torque, is.thread->value, strength, condition(*figure.threads));
    const std::optional<double>& share = known->second;
    if (!share) return false;
    const bool bored = is.duty && (is.duty->value == model::Duty::hollow ||
                                   (is.duty->value == model::Duty::seal && !is.property_class));
    const bool much = *share > greatest;
    if (last->seats && !much) return false;
    const bool absurd = *share > (bored ? pierced : 1) * beyond_any ||
                        (clamps && is.property_class && item.critical && *share < least_critical);
    if (!absurd && (!clamps || !is.property_class || (!much && *share >= least))) return false;
    report_preload(out_, at, item, figure, strength, *share, absurd);
    return true;
}

// The card prints rounds with the pattern, and a pattern where there are several.
void Fitter::judge_group(const linked::Item& item) {
    const model::Fastener& is = item.fastener;
    const bool star = is.pattern && is.pattern->value == model::Pattern::star;
    const bool rounds = is.passes && is.passes->value > 1;
    if (!star && !rounds) return;
    const Span at = star ? is.pattern->span : is.passes->span;
    if (item.count > 1 && star) return;
    if (!shop_.first_time(checks::pattern_of_one.rule, at)) return;
    if (item.count > 1)
        report_rounds_without_pattern(out_, item);
    else
        report_pattern_of_one(out_, item);
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
        base.minimum.emplace({base.within->value.range.lower}, span);
        base.maximum.emplace({base.within->value.range.upper}, span);
        base.within.reset();
    }
    if (bounds(difference) && !difference.source) base.source.reset();
    model::lay_over(base, difference);
    base.unread = base.unread || difference.unread;
}

} // namespace

std::string Fitter::limit_name(const model::Limit& limit, const std::vector<ItemId>& of) const {
    if (limit.name) return limit.name->value;
    std::vector<std::string> names;
    for (const ItemId item : of) names.push_back(fit_.items[item.index()].is.name);
    return base::join_and(names);
}

LimitFigure Fitter::limit(LimitId id, const std::vector<ItemId>& of) {
    const linked::Limit& from = shop_.linked.limits[id.index()];
    LimitFigure figure{id, from.figures, {}, from.declared};
    const auto lay = [&](const std::unordered_map<LimitId, const linked::LimitDifference*>& map) {
        const auto found = map.find(id);
        if (found == map.end()) return;
        const model::Limit& differs = found->second->figures;
        if (bounds(differs) && !differs.source && !differs.unread && figure.figures.source &&
            shop_.first_time(checks::limit_without_source.rule, found->second->declared))
            report_limit_without_source(out_, found->second->declared, limit_name(figure.figures, of),
                                        figure.figures.source->span);
        lay_over(figure.figures, differs);
        if (bounds(found->second->figures)) figure.declared = found->second->declared;
    };
    if (looks_ != nullptr) looks_->limits[id.index()] = 1;
    lay(procedure_limits_);
    lay(vehicle_limits_);
    lay(job_limits_);
    figure.name = limit_name(figure.figures, of);
    // What no procedure changes is the same wherever it is read.
    const bool first = procedure_limits_.contains(id) || judged_limits_.insert(id).second;
    if (!figure.figures.unread && first) judge_limit(figure, of);
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

namespace {

// The card has one box, in one unit, and the figures beside it in theirs. What is only reckoned with may be in another of its sort.
bool go_together(const LimitPart& one, const LimitPart& other) {
    const bool both_shown = one.shown && other.shown;
    return both_shown ? one.unit == other.unit : units::convertible(one.unit, other.unit);
}

// Of two figures that disagree, the one that is more likely right: no gauge reads centimetres, and hardly anything is judged by its volume.
// (Common practice.)
bool usual_of_gauges(units::Unit unit) {
    return units::dimension(unit) != units::Dimension::volume && unit != units::Unit::centimetre &&
           unit != units::Unit::metre;
}

} // namespace

// Every figure that a reading is compared with, or that is reckoned with it, is of one sort: what cannot be compared would be taken for good.
bool Fitter::judge_sorts(const LimitFigure& figure) {
    const model::Limit& is = figure.figures;
    std::vector<LimitPart> parts;
    const auto add = [&](const char* key, const units::Quantity& quantity, Span span) {
        parts.push_back({key, quantity.unit, units::print(quantity), span});
        parts.back().quantity = quantity;
    };
    if (is.new_size) add("`new`", is.new_size->value.quantity, is.new_size->span);
    if (is.minimum) add("`minimum`", is.minimum->value.quantity, is.minimum->span);
    if (is.maximum) add("`maximum`", is.maximum->value.quantity, is.maximum->span);
    if (is.within)
        parts.push_back(
            {"`within`", is.within->value.range.lower.unit, units::print(is.within->value.range), is.within->span});
    if (is.unit)
        if (const auto unit = units::find_unit(is.unit->value))
            parts.push_back({"`unit`", *unit, is.unit->value, is.unit->span});
    if (is.difference && is.difference->value.maximum)
        add("`difference`", is.difference->value.maximum->value.quantity, is.difference->value.maximum->span);
    if (is.reads_to) add("`reads-to`", is.reads_to->value.quantity, is.reads_to->span);
    if (is.uncertainty) {
        add("`uncertainty`", is.uncertainty->value.quantity, is.uncertainty->span);
        parts.back().shown = false;
    }
    // What most of them agree on is right; of as many, what the limit's own declaration says, then what is usual, then what its gauge reads,
    // and what stands first above. What no card shows goes with figures that do not go with each other, so it is no witness.
    const Span own = shop_.linked.limits[figure.limit.index()].declared;
    const bool one_sort = std::all_of(parts.begin(), parts.end(), [&](const LimitPart& part) {
        return units::convertible(part.unit, parts.front().unit);
    });
    const LimitPart* right = nullptr;
    std::tuple<std::ptrdiff_t, bool, bool, bool> best;
    for (const LimitPart& part : parts) {
        if (!part.shown) continue;
        const auto agrees = [&part](const LimitPart& other) { return go_together(part, other); };
        const bool at_home = std::all_of(parts.begin(), parts.end(), [&](const LimitPart& other) {
            return !agrees(other) || other.span.file == own.file;
        });
        const std::tuple weight{std::count_if(parts.begin(), parts.end(), agrees), at_home, usual_of_gauges(part.unit),
                                one_sort && part.key == "`reads-to`"};
        if (right == nullptr || weight > best) {
            right = &part;
            best = weight;
        }
    }
    if (right == nullptr) return false;
    const auto odd =
        std::find_if(parts.begin(), parts.end(), [&](const LimitPart& part) { return !go_together(part, *right); });
    if (odd == parts.end()) return false;
    report_limit_in_two_sorts(out_, figure, *odd, *right);
    return true;
}

// The surface by which one of them rubs.
Span Fitter::rubs(const std::vector<ItemId>& of) const {
    for (const ItemId id : of) {
        const auto& surfaces = fit_.items[id.index()].is.part.surfaces;
        if (!surfaces) continue;
        for (const auto& surface : surfaces->value)
            if (surface.value.value == model::Surface::friction) return surface.value.span;
    }
    return {};
}

// A reading may lie below zero where it is a setting, as toe-in; what wears or rubs has a size.
bool Fitter::judge_size(const LimitFigure& figure, const std::vector<ItemId>& of) {
    const model::Limit& is = figure.figures;
    const Span rubbing = rubs(of);
    if (!is.wears_with && !rubbing.known()) return false;
    const Span why = is.wears_with ? is.wears_with->span : rubbing;
    const auto below = [&](const units::Quantity& size, Span at) {
        if (units::dimension(size.unit) != units::Dimension::length || size.digits >= 0) return false;
        report_size_below_zero(out_, figure, at, size, why);
        return true;
    };
    // A valve that stands proud when new may sink below that; what rubs may not.
    bool found = rubbing.known() && is.new_size && below(is.new_size->value.quantity, is.new_size->span);
    found = (is.minimum && below(is.minimum->value.quantity, is.minimum->span)) || found;
    found = (is.maximum && below(is.maximum->value.quantity, is.maximum->span)) || found;
    return (is.within && below(is.within->value.range.upper, is.within->span)) || found;
}

// A drum's bore, a slack, a play grow by wear, and have a maximum alone. A thickness never does.
void Fitter::judge_lining(const LimitFigure& figure, const std::vector<ItemId>& of) {
    const model::Limit& is = figure.figures;
    if (is.minimum && !is.maximum && is_bore(base::small_letters(figure.name)))
        if (const Span rubbing = rubs(of); rubbing.known()) report_bore_without_maximum(out_, figure, rubbing);
    if (!is.maximum || is.minimum) return;
    if (units::dimension(is.maximum->value.quantity.unit) != units::Dimension::length) return;
    constexpr std::string_view thickness = "thickness";
    const std::string& id = shop_.linked.limits[figure.limit.index()].id;
    const bool thick = id.find(thickness) != std::string::npos ||
                       base::small_letters(figure.name).find(thickness) != std::string::npos;
    const Span rubbing = rubs(of);
    // A lining, and the tread of a tyre, need no word of what they rub on and that they wear. A thickness may be one that has to fit.
    const std::vector<std::string> words = linked::what_it_is(figure.name);
    const bool lining = !words.empty() && linked::is_among(words.back(), {"lining", "linings", "tread"});
    if (lining || (thick && is.wears_with && rubbing.known())) report_lining_without_minimum(out_, figure, rubbing);
}

// What the gauge may be off by is taken off both ends; nothing may be left.
bool Fitter::judge_guard(const LimitFigure& figure) {
    const model::Limit& is = figure.figures;
    if (!is.uncertainty || !is.reads_to) return false;
    const auto guarded = [&](mechanics::WearLimit::Sort sort, const units::Quantity& at) {
        const auto made = mechanics::guarded_limit(
            {sort, at, is.reads_to->value.quantity, std::optional(is.uncertainty->value.quantity)});
        const auto* quantity = std::get_if<units::Quantity>(&made);
        return quantity != nullptr ? std::optional(*quantity) : std::nullopt;
    };
    using Sort = mechanics::WearLimit::Sort;
    if (is.within || (is.minimum && is.maximum)) {
        const units::Range range =
            is.within ? is.within->value.range : units::Range{is.minimum->value.quantity, is.maximum->value.quantity};
        const auto lower = guarded(Sort::minimum, range.lower);
        const auto upper = guarded(Sort::maximum, range.upper);
        if (!lower || !upper || units::compare(*lower, *upper) <= 0) return false;
        report_gauge_too_coarse(out_, figure, is.within ? is.within->span : is.maximum->span);
        return true;
    }
    // A runout, a play, a size is nothing at the least.
    if (!is.maximum || is.maximum->value.quantity.digits <= 0) return false;
    const auto upper = guarded(Sort::maximum, is.maximum->value.quantity);
    if (!upper || upper->digits >= 0) return false;
    report_gauge_too_coarse(out_, figure, is.maximum->span);
    return true;
}

// One box on the card cannot hold two readings.
void Fitter::judge_difference(const LimitFigure& figure, const std::vector<ItemId>& of) {
    const linked::AxisId over = shop_.linked.limits[figure.limit.index()].difference_over;
    const bool alone = shop_.linked.limits[figure.limit.index()].of.size() == 1 && of.size() == 1;
    if (!over.known() || !alone || fit_.items[of.front().index()].is.axis == over) return;
    if (shop_.first_time(checks::difference_of_one.rule, figure.declared))
        report_difference_of_no_axis(out_, figure, fit_.items[of.front().index()].is, fit_.axes[over.index()].name);
}

// What the keep figure and the guard band are rounded to: without it neither is reckoned, and the bare limit would stand on the card.
void Fitter::judge_step(const LimitFigure& figure) {
    const model::Limit& is = figure.figures;
    if (is.wears_with && job_ != nullptr && job_->source->meter) {
        const auto counted = units::find_unit(is.wears_with->value);
        if (counted && !units::convertible(*counted, job_->source->meter->value.quantity.unit))
            report_wears_otherwise(out_, figure, shop_.linked.limits[figure.limit.index()].id, *job_);
    }
    if (is.reads_to) return;
    const units::Quantity* minimum = is.minimum ? &is.minimum->value.quantity : nullptr;
    const units::Quantity* maximum = is.maximum ? &is.maximum->value.quantity : nullptr;
    const units::Quantity* bound = is.within ? &is.within->value.range.lower : minimum != nullptr ? minimum : maximum;
    const bool kept = is.wears_with && !is.within && (minimum == nullptr) != (maximum == nullptr);
    if (bound != nullptr && (kept || is.uncertainty)) report_reads_to_unsaid(out_, figure, *bound);
}

void Fitter::judge_limit(const LimitFigure& figure, const std::vector<ItemId>& of) {
    const model::Limit& is = figure.figures;
    if (judge_sorts(figure) || judge_size(figure, of)) return;
    judge_step(figure);
    const source::FileId own = shop_.linked.limits[figure.limit.index()].declared.file;
    const auto changed = [own](Span one, Span other) { return one.file != own && other.file == own; };
    if (is.minimum && is.maximum && units::compare(is.minimum->value.quantity, is.maximum->value.quantity) > 0) {
        return report_limit_reversed(out_, figure, changed(is.maximum->span, is.minimum->span));
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
    if (figure.figures.difference) judge_difference(figure, of);
    if (judge_guard(figure) || !is.new_size) return judge_lining(figure, of);
    const units::Quantity& as_new = is.new_size->value.quantity;
    const auto guarded = [&](const units::Quantity& from) {
        return is.uncertainty ? units::add(from, is.uncertainty->value.quantity) : std::optional(from);
    };
    if (is.minimum) {
        const auto edge = guarded(is.minimum->value.quantity);
        if (edge && units::compare(*edge, as_new) >= 0)
            report_worn_when_new(out_, figure, true, changed(is.new_size->span, is.minimum->span));
    }
    if (is.maximum) {
        const auto edge = guarded(as_new);
        if (edge && units::compare(*edge, is.maximum->value.quantity) >= 0)
            return report_worn_when_new(out_, figure, false, changed(is.new_size->span, is.maximum->span));
    }
    judge_lining(figure, of);
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
