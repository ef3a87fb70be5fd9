#include "card/panels.h"

#include "card/found.h"
#include "mechanics/pattern.h"
#include "mechanics/wear.h"
#include "mechanics/wrench.h"

#include <algorithm>
#include <cmath>

namespace benchleaf::card {

namespace {

// -- Units of the shop --------------------------------------------------------------------------------------------------------
struct TorqueUnits {
    units::Unit first = units::Unit::newton_metre;
    std::optional<units::Unit> second;
};

// As the shop says; one that says nothing gets both.
TorqueUnits torque_units(const model::Shop& shop) {
    std::vector<units::Unit> wanted;
    if (shop.prints && shop.prints->value.torque) {
        for (const auto& spelling : shop.prints->value.torque->value) {
            const auto unit = units::find_unit(spelling.value);
            if (unit && units::dimension(*unit) == units::Dimension::torque) wanted.push_back(*unit);
        }
    }
    if (wanted.empty()) wanted = {units::Unit::newton_metre, units::Unit::pound_force_foot};
    TorqueUnits made{wanted[0], std::nullopt};
    if (wanted.size() > 1 && wanted[1] != wanted[0]) made.second = wanted[1];
    return made;
}

struct ShownTorque {
    std::string value;
    std::string tolerance;
    std::string second;
};

// As fine as the first figure, which is good to its last place: the second keeps as many places after the point, but has two figures
// at least and three at most. 90 N·m are 66 lbf·ft, 100 are 74, 8 are 5.9.
std::optional<units::Quantity> in_second_unit(const units::Quantity& first, units::Unit unit) {
    int whole = 0; // places before the point
    for (double value = std::abs(units::value_in(first, unit)); value >= 1 && whole < 18; value /= 10) ++whole;
    const int figures = std::clamp(whole + static_cast<int>(first.decimals), 2, 3);
    return units::convert(first, unit, units::Significant{figures});
}

// Value in the shop's first unit, tolerance as it was written where that can be kept. The second unit is the one in which the figure was
// written, if that is not the first: that figure is the exact one.
ShownTorque show(const Speaker& speaker, const units::Figure& figure) {
    const TorqueUnits shop = torque_units(speaker.shop);
    const units::Figure::Form form = figure.form;
    ShownTorque shown;
    const bool as_written = figure.nominal.unit == shop.first;
    const std::optional<units::Figure> in_first = as_written ? figure : units::convert(figure, shop.first);
    if (!in_first) { // beyond the numbers: as it was written
        shown.value = speaker.say(figure);
        return shown;
    }
    shown.value = speaker.number(in_first->nominal);
    if (form == units::Figure::Form::plus_minus_percent) {
        if (!as_written) {
            if (const auto nominal = units::convert(figure.nominal, shop.first)) shown.value = speaker.number(*nominal);
        }
        shown.tolerance = "±" + speaker.say(figure.tolerance);
    } else if (form == units::Figure::Form::plus_minus && as_written) {
        shown.tolerance = "±" + speaker.number(figure.tolerance);
    } else if (form != units::Figure::Form::plain) {
        shown.tolerance = speaker.number(in_first->lower) + "–" + speaker.number(in_first->upper);
    }
    if (!as_written) {
        shown.second = speaker.say(figure.nominal);
    } else if (shop.second) {
        if (const auto second = in_second_unit(figure.nominal, *shop.second)) shown.second = speaker.say(*second);
    }
    return shown;
}

std::string torque_with_tolerance(const Speaker& speaker, const units::Figure& figure) {
    const ShownTorque shown = show(speaker, figure);
    std::string text = shown.value + "\u00a0" + std::string(units::symbol(torque_units(speaker.shop).first));
    if (!shown.tolerance.empty()) text += " " + shown.tolerance;
    if (!shown.second.empty()) text += " · " + shown.second;
    return text;
}

std::string stage_text(const Speaker& speaker, const units::Stage& stage, bool tolerance = true) {
    const auto torque = [&](const units::Figure& figure) {
        if (tolerance) return torque_with_tolerance(speaker, figure);
        return show(speaker, figure).value + "\u00a0" + std::string(units::symbol(torque_units(speaker.shop).first));
    };
    // An angle that is gone further by has its plus sign, once.
    const auto further = [&](const units::Figure& angle) {
        std::string text = speaker.say(angle);
        return text.starts_with("+") ? text : "+" + text;
    };
    if (const auto* to = std::get_if<units::ToTorque>(&stage))
        return to->turning ? speaker.fill(Key::stage_turning, {torque(to->torque)}) : torque(to->torque);
    if (const auto* by = std::get_if<units::ByAngle>(&stage)) return further(by->angle);
    if (const auto* contact = std::get_if<units::ToContact>(&stage)) {
        std::string text = speaker.word(Key::stage_contact);
        if (contact->angle) text += ", " + further(*contact->angle);
        return text;
    }
    if (const auto* back = std::get_if<units::BackOff>(&stage))
        return speaker.fill(Key::stage_back, {speaker.say(back->angle)});
    return speaker.word(Key::stage_next_slot);
}

std::string range_text(const Speaker& speaker, const units::Range& range) {
    return speaker.say(range);
}

} // namespace

std::string torque_text(const Speaker& speaker, const units::Tightening& value) {
    // Of torques alone the last is what the wrench clicks at in the end.
    const bool by_torque = std::all_of(value.stages.begin(), value.stages.end(), [](const units::Stage& stage) {
        const auto* to = std::get_if<units::ToTorque>(&stage);
        return to != nullptr && !to->turning;
    });
    if (by_torque && !value.stages.empty()) return stage_text(speaker, value.stages.back(), false);
    std::vector<std::string> stages;
    for (const units::Stage& stage : value.stages) stages.push_back(stage_text(speaker, stage, false));
    return speaker.listed(stages);
}

Torque torque_panel(const Speaker& speaker, const fitted::Target& target, std::int64_t count,
                    std::vector<std::size_t>& wrenches, std::vector<std::string>& without) {
    const linked::Item& item = speaker.item(target.item);
    const model::Fastener& fastener = item.fastener;
    const fitted::TorqueFigure& figure = *target.torque;
    Torque panel;
    panel.name = item.name;
    panel.fasteners = static_cast<std::uint32_t>(std::clamp<std::int64_t>(count, 1, 999));
    panel.initials = item.critical;
    panel.source = figure.source.empty() ? speaker.word(Key::source_none) : figure.source;
    if (fastener.head) panel.socket = fastener.head->value;
    const bool left = (fastener.hand && fastener.hand->value == model::Hand::left) ||
                      (fastener.thread && fastener.thread->value.left_hand);
    if (left) panel.left_hand = speaker.word(Key::left_hand);

    const std::vector<units::Figure> torques = units::torques(figure.value);
    if (!torques.empty()) {
        const ShownTorque shown = show(speaker, torques.back());
        panel.value = shown.value;
        panel.unit = units::symbol(torque_units(speaker.shop).first);
        panel.tolerance = shown.tolerance;
        panel.second = shown.second;
    } else {
        for (const units::Stage& stage : figure.value.stages) { // by turn alone: contact +270°
            const auto* contact = std::get_if<units::ToContact>(&stage);
            const auto* by = std::get_if<units::ByAngle>(&stage);
            const units::Figure* angle = by != nullptr                          ? &by->angle
                                         : contact != nullptr && contact->angle ? &*contact->angle
                                                                                : nullptr;
            if (angle == nullptr) continue;
            units::Quantity turned = angle->nominal;
            turned.relative = false; // the sign stands with the stage
            panel.value = speaker.number(turned);
            panel.unit = speaker.unit(angle->nominal.unit);
        }
    }
    const auto* alone = std::get_if<units::ToTorque>(&figure.value.stages.front());
    if (figure.value.stages.size() > 1 || alone == nullptr || alone->turning) {
        for (const units::Stage& stage : figure.value.stages) {
            const auto* contact = std::get_if<units::ToContact>(&stage);
            if (contact == nullptr || !contact->angle) {
                panel.stages.push_back(stage_text(speaker, stage));
                continue;
            }
            panel.stages.push_back(speaker.word(Key::stage_contact));
            panel.stages.push_back(stage_text(speaker, units::ByAngle{*contact->angle}));
        }
    }

    if (fastener.pattern && fastener.pattern->value == model::Pattern::star && item.count > 1) {
        if (fastener.passes)
            panel.rounds = static_cast<std::uint32_t>(std::clamp<std::int64_t>(fastener.passes->value, 1, 9));
        const std::vector<int> places =
            mechanics::tightening_order(static_cast<int>(std::min<std::int64_t>(item.count, 1000)));
        std::vector<std::size_t> turn(places.size());
        for (std::size_t i = 0; i < places.size(); ++i) turn.at(static_cast<std::size_t>(places[i]) - 1) = i + 1;
        for (const std::size_t each : turn) panel.order += (panel.order.empty() ? "" : " ") + std::to_string(each);
        if (panel.rounds > 1) panel.rounds_text = speaker.fill(Key::passes, {std::to_string(panel.rounds)});
    }

    if (torques.empty()) return panel; // no wrench is set
    if (!speaker.shop.wrenches || speaker.shop.wrenches->value.empty()) {
        std::vector<std::string> values;
        for (const units::Figure& each : torques)
            add_once(values, show(speaker, each).value + "\u00a0" +
                                 std::string(units::symbol(torque_units(speaker.shop).first)));
        panel.wrench = speaker.fill(Key::wrench_for, {speaker.join(values)});
        add_once(without, panel.wrench);
        return panel;
    }
    std::vector<mechanics::Wrench> shop;
    std::vector<std::size_t> index;
    for (std::size_t i = 0; i < speaker.shop.wrenches->value.size(); ++i) {
        const model::Wrench& each = speaker.shop.wrenches->value[i].value;
        if (!each.range) continue; // reported where the shop was read
        mechanics::Wrench wrench;
        wrench.range = each.range->value.range;
        if (each.accuracy) wrench.accuracy = each.accuracy->value.quantity;
        if (each.length) wrench.length = each.length->value.quantity;
        if (each.calibrated_until) wrench.calibrated_until = each.calibrated_until->value;
        shop.push_back(wrench);
        index.push_back(i);
    }
    std::optional<mechanics::Date> day;
    if (speaker.job != nullptr && speaker.job->date) day = speaker.job->date->value;
    const auto chosen = mechanics::choose_wrench(shop, torques, day);
    if (const auto* none = std::get_if<mechanics::NoWrench>(&chosen)) {
        if (shop.size() == index.size() && !shop.empty())
            found::no_wrench(speaker.shop, item, target, torques[none->torque].nominal, *none, speaker.messages);
        return panel;
    }
    for (const std::size_t torque : std::get<mechanics::ChosenWrench>(chosen).finer_than_wrench) {
        const auto& wrench =
            speaker.shop.wrenches->value[index[std::get<mechanics::ChosenWrench>(chosen).wrench[torque]]];
        found::finer_than_wrench(wrench.value.name ? wrench.value.name->value : wrench.id.value, wrench.value, item,
                                 target, torques[torque], speaker.messages);
    }
    std::vector<std::string> by_torque;
    std::vector<std::string> names;
    const auto& by = std::get<mechanics::ChosenWrench>(chosen).wrench;
    for (const std::size_t each : by) {
        const auto& wrench = speaker.shop.wrenches->value[index[each]];
        by_torque.push_back(wrench.value.name ? wrench.value.name->value : wrench.id.value);
        add_once(names, by_torque.back());
        if (std::find(wrenches.begin(), wrenches.end(), index[each]) == wrenches.end()) wrenches.push_back(index[each]);
    }
    if (names.size() == 1) {
        panel.wrench = names.front();
        return panel;
    }
    // Where one wrench does not do for all stages, each says which is for it.
    std::size_t torque = 0;
    for (const units::Stage& stage : figure.value.stages) {
        panel.stage_wrenches.push_back(std::holds_alternative<units::ToTorque>(stage) ? by_torque.at(torque++)
                                                                                      : std::string());
        const auto* contact = std::get_if<units::ToContact>(&stage);
        if (contact != nullptr && contact->angle) panel.stage_wrenches.emplace_back(); // a line of its own
    }
    return panel;
}

namespace {

struct Wear {
    units::Quantity run;
    units::Quantity interval;
};

// Run since new and the way to the next service, when this limit wears with what the vehicle's meter counts.
std::optional<Wear> wear(const Speaker& speaker, const model::Limit& limit) {
    if (speaker.job == nullptr || !speaker.job->meter || !speaker.job->next_service || !limit.wears_with)
        return std::nullopt;
    const units::Quantity run = speaker.job->meter->value.quantity;
    const units::Quantity next = speaker.job->next_service->value.quantity;
    const auto counted = units::find_unit(limit.wears_with->value);
    if (!counted || !units::convertible(*counted, run.unit)) return std::nullopt;
    // Whoever counts in miles and comes back after kilometres still wears; what is left over is rounded to a longer way.
    auto interval = units::convert(next, run.unit, units::Decimals{3}, units::Round::up);
    if (!interval) return std::nullopt;
    if (next.relative) {
        interval->relative = false;
        return Wear{run, *interval};
    }
    const auto back = units::multiply(run, -1);
    if (back) interval = units::add(*interval, *back);
    if (!back || !interval) return std::nullopt;
    return Wear{run, *interval};
}

const units::Quantity* given(const model::Given<model::Measure<units::Wanted::limit>>& figure) {
    return figure ? &figure->value.quantity : nullptr;
}

// Its bounds, keep figure and difference, for the boxes.
Judged judge_bounds(const Speaker& speaker, const fitted::LimitFigure& limit) {
    const model::Limit& figures = limit.figures;
    Judged judged;
    const units::Quantity* minimum = given(figures.minimum);
    const units::Quantity* maximum = given(figures.maximum);
    const units::Quantity* reads_to = given(figures.reads_to);
    const units::Quantity* uncertainty = given(figures.uncertainty);
    const units::Quantity* as_new = given(figures.new_size);
    const auto limits = [&](mechanics::WearLimit::Sort sort, const units::Quantity& at) {
        mechanics::WearLimit made;
        made.sort = sort;
        made.limit = at;
        if (reads_to != nullptr) made.reads_to = *reads_to;
        if (uncertainty != nullptr) made.uncertainty = *uncertainty;
        return made;
    };
    // The limit, or with a known uncertainty the limit and its guard band.
    const auto guarded = [&](mechanics::WearLimit::Sort sort, const units::Quantity& at) {
        if (reads_to == nullptr || uncertainty == nullptr) return at;
        const auto made = mechanics::guarded_limit(limits(sort, at));
        const auto* figure = std::get_if<units::Quantity>(&made);
        return figure != nullptr ? *figure : at;
    };
    using Sort = mechanics::WearLimit::Sort;

    if (minimum != nullptr && maximum == nullptr && !figures.within) {
        judged.by = Judged::By::at_least;
        const units::Quantity least = guarded(Sort::minimum, *minimum);
        judged.figure = speaker.say(least);
        if (units::compare(least, *minimum) != 0) judged.shown = speaker.fill(Key::good_least, {judged.figure});
    } else if (maximum != nullptr && minimum == nullptr && !figures.within) {
        judged.by = Judged::By::at_most;
        const units::Quantity most = guarded(Sort::maximum, *maximum);
        judged.figure = speaker.say(most);
        if (units::compare(most, *maximum) != 0) judged.shown = speaker.fill(Key::good_most, {judged.figure});
    } else if (figures.within || (minimum != nullptr && maximum != nullptr)) {
        judged.by = Judged::By::within;
        const units::Range range = figures.within ? figures.within->value.range : units::Range{*minimum, *maximum};
        units::Range good{guarded(Sort::minimum, range.lower), guarded(Sort::maximum, range.upper)};
        if (units::compare(good.lower, good.upper) > 0)
            good = range; // the gauge is too coarse: a check of its own says so
        judged.figure = range_text(speaker, good);
        if (units::compare(good.lower, range.lower) != 0 || units::compare(good.upper, range.upper) != 0)
            judged.shown = speaker.fill(Key::good_within, {judged.figure});
    }
    if (figures.difference && figures.difference->value.maximum) {
        std::vector<std::string> ends;
        const linked::AxisId axis =
            limit.limit.known() ? speaker.linked.limits[limit.limit.index()].difference_over : linked::AxisId();
        if (axis.known())
            for (std::size_t i = 0; i < speaker.fit.axes[axis.index()].values.size(); ++i)
                ends.emplace_back(speaker.axis_word(axis, static_cast<fitted::AxisValue>(i)).word);
        for (const std::string& end : ends) judged.over += (judged.over.empty() ? "" : "–") + end;
        const std::string most = speaker.say(figures.difference->value.maximum->value.quantity);
        judged.note = speaker.fill(Key::difference, {judged.over, most});
        if (judged.by == Judged::By::nothing) {
            judged.by = Judged::By::difference;
            judged.figure = most;
        }
    }

    if (!figures.wears_with || as_new == nullptr || reads_to == nullptr) return judged;
    if (judged.by != Judged::By::at_least && judged.by != Judged::By::at_most) return judged;
    const auto add_note = [&](const std::string& text) {
        judged.note += (judged.note.empty() ? "" : speaker.word(Key::list_comma)) + text;
    };
    const auto known = wear(speaker, figures);
    const Sort sort = judged.by == Judged::By::at_least ? Sort::minimum : Sort::maximum;
    const units::Quantity& at = sort == Sort::minimum ? *minimum : *maximum;
    std::optional<units::Quantity> keep;
    if (known) {
        mechanics::WearKnown worn;
        worn.as_new = *as_new;
        worn.run = known->run;
        worn.interval = known->interval;
        if (speaker.shop.margin) {
            const auto margin = units::parse_decimal(speaker.shop.margin->value);
            if (const auto* number = std::get_if<units::Decimal>(&margin)) worn.margin = *number;
        }
        const auto figure = mechanics::keep_figure(limits(sort, at), worn);
        if (const auto* reckoned = std::get_if<units::Quantity>(&figure)) keep = *reckoned;
        const auto kept = [&] { return units::compare(*keep, *as_new); };
        if (keep &&
            (sort == Sort::minimum ? kept() == std::partial_ordering::greater : kept() == std::partial_ordering::less))
            found::service_too_far(*speaker.job, limit, *keep, speaker.messages);
    }
    if (!keep) {
        add_note(speaker.word(Key::keep_unknown));
        return judged;
    }
    judged.by = sort == Sort::minimum ? Judged::By::keep_least : Judged::By::keep_most;
    judged.figure = speaker.say(*keep);
    judged.shown = speaker.fill(sort == Sort::minimum ? Key::keep_least : Key::keep_most, {judged.figure});
    add_note(speaker.word(Key::keep_from_new));
    if (sort == Sort::minimum) {
        const double least = units::value_in(at, as_new->unit);
        const double whole = units::value_in(*as_new, as_new->unit) - least;
        const auto mark = [&](const units::Quantity& of) {
            const double share = whole > 0 ? (units::value_in(of, as_new->unit) - least) / whole : 0;
            const double rest = 1000 - WearBar::limit_at;
            return WearBar::Mark{WearBar::limit_at +
                                     static_cast<std::uint32_t>(std::lround(rest * std::clamp(share, 0.0, 1.0))),
                                 speaker.number(of)};
        };
        judged.bar = WearBar{mark(at), mark(*keep), mark(*as_new), std::nullopt};
    }
    return judged;
}

} // namespace

Judged judge(const Speaker& speaker, const fitted::LimitFigure& limit) {
    Judged judged = judge_bounds(speaker, limit);
    if (judged.over.empty() || judged.by == Judged::By::difference) return judged;
    if (judged.shown.empty()) {
        const Key key = judged.by == Judged::By::at_least  ? Key::good_least
                        : judged.by == Judged::By::at_most ? Key::good_most
                                                           : Key::good_within;
        judged.shown = speaker.fill(key, {judged.figure});
    }
    judged.by = Judged::By::nothing;
    judged.note = speaker.fill(Key::difference,
                               {judged.over, speaker.say(limit.figures.difference->value.maximum->value.quantity)});
    return judged;
}

Reading reading_panel(const Speaker& speaker, const fitted::LimitFigure& limit, std::string name) {
    const model::Limit& figures = limit.figures;
    Reading reading;
    reading.name = std::move(name);
    const units::Quantity* minimum = given(figures.minimum);
    const units::Quantity* maximum = given(figures.maximum);
    if (figures.within)
        reading.limit = speaker.fill(Key::limit_within, {range_text(speaker, figures.within->value.range)});
    else if (minimum != nullptr && maximum != nullptr)
        reading.limit = speaker.fill(Key::limit_within, {range_text(speaker, {*minimum, *maximum})});
    else if (minimum != nullptr)
        reading.limit = speaker.fill(Key::at_least, {speaker.say(*minimum)});
    else if (maximum != nullptr)
        reading.limit = speaker.fill(Key::at_most, {speaker.say(*maximum)});
    const units::Quantity* as_new = given(figures.new_size);
    if (as_new != nullptr) reading.new_size = speaker.fill(Key::new_size, {speaker.say(*as_new)});
    const Judged judged = judge_bounds(speaker, limit);
    reading.keep = judged.shown;
    reading.note = judged.note;
    reading.bar = judged.bar;
    if (speaker.job != nullptr) reading.last = speaker.word(Key::last_none);
    if (figures.points)
        reading.points = static_cast<std::uint32_t>(std::clamp<std::int64_t>(figures.points->value, 1, 99));
    // Each point has to be good, so one decides where the bound is to one side alone.
    if (reading.points > 1 && !figures.within && (minimum == nullptr) != (maximum == nullptr))
        reading.worst = speaker.word(maximum != nullptr ? Key::greatest : Key::smallest);
    const units::Quantity* of_unit = given(figures.reads_to);
    if (of_unit == nullptr) of_unit = minimum != nullptr ? minimum : maximum != nullptr ? maximum : as_new;
    if (of_unit == nullptr && figures.within) of_unit = &figures.within->value.range.lower;
    if (of_unit == nullptr && figures.difference) of_unit = given(figures.difference->value.maximum);
    if (of_unit != nullptr)
        reading.unit = speaker.unit(of_unit->unit);
    else if (figures.unit)
        reading.unit = figures.unit->value;
    return reading;
}

} // namespace benchleaf::card
