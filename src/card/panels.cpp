#include "card/panels.h"

#include "card/found.h"
#include "mechanics/date.h"
#include "mechanics/outlook.h"
#include "mechanics/pattern.h"
#include "mechanics/wear.h"
#include "mechanics/wrench.h"

#include <algorithm>
#include <cmath>

namespace benchleaf::card {

namespace {

using Sort = mechanics::WearLimit::Sort;

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
            found::no_wrench(speaker.shop, speaker.job, item, target, torques[none->torque].nominal, *none,
                             speaker.messages);
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

// The way to the next service, when this limit wears with what the vehicle's meter counts.
struct Ahead {
    units::Quantity now;
    std::optional<units::Quantity> interval;
};

std::optional<Ahead> ahead(const Speaker& speaker, const model::Limit& limit) {
    if (speaker.job == nullptr || !speaker.job->meter || !limit.wears_with) return std::nullopt;
    Ahead made{speaker.job->meter->value.quantity, std::nullopt};
    const auto counted = units::find_unit(limit.wears_with->value);
    if (!counted || !units::convertible(*counted, made.now.unit)) return std::nullopt;
    if (!speaker.job->next_service) return made;
    const units::Quantity next = speaker.job->next_service->value.quantity;
    // Whoever counts in miles and comes back after kilometres still wears; what is left over is rounded to a longer way.
    auto interval = units::convert(next, made.now.unit, units::Decimals{3}, units::Round::up);
    if (interval && next.relative) interval->relative = false;
    if (interval && !next.relative) {
        const auto back = units::multiply(made.now, -1);
        interval = back ? units::add(*interval, *back) : std::nullopt;
    }
    made.interval = interval;
    return made;
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

    return judged;
}

// -- Wear ---------------------------------------------------------------------------------------------------------------------
using mechanics::KeepFrom;

std::optional<mechanics::WearLimit> wear_limit(const model::Limit& figures) {
    const units::Quantity* minimum = given(figures.minimum);
    const units::Quantity* maximum = given(figures.maximum);
    const units::Quantity* reads_to = given(figures.reads_to);
    if (!figures.wears_with || figures.within || reads_to == nullptr || (minimum == nullptr) == (maximum == nullptr))
        return std::nullopt;
    mechanics::WearLimit made;
    made.sort = minimum != nullptr ? Sort::minimum : Sort::maximum;
    made.limit = minimum != nullptr ? *minimum : *maximum;
    made.reads_to = *reads_to;
    if (const units::Quantity* uncertainty = given(figures.uncertainty)) made.uncertainty = *uncertainty;
    return made;
}

// What is known of one thing, from the records or from its size when new.
struct Known {
    std::string head; // "L"
    mechanics::WearPast past;
    const history::Series* series = nullptr;
    std::optional<units::Quantity> renewed; // at that stand of the meter
    mechanics::Outlook outlook;
};

const history::Series* series_of(const Speaker& speaker, const HeldAgainst& held, const std::string& at) {
    return speaker.fit.past ? speaker.fit.past->find(held.limit, held.item, at) : nullptr;
}

units::Decimal margin_of(const Speaker& speaker) {
    units::Decimal margin = mechanics::WearKnown{}.margin;
    if (speaker.shop.margin) {
        const auto written = units::parse_decimal(speaker.shop.margin->value);
        if (const auto* number = std::get_if<units::Decimal>(&written)) margin = *number;
    }
    return margin;
}

Known known_of(const Speaker& speaker, const model::Limit& figures, const mechanics::WearLimit& limit,
               const HeldAgainst& held, const std::string& at, const Ahead& on) {
    Known made;
    if (const units::Quantity* as_new = given(figures.new_size)) made.past.as_new = *as_new;
    made.past.new_at = units::Quantity{0, 0, false, on.now.unit};
    if (speaker.fit.past)
        if (const model::Record* renewed = speaker.fit.past->last_renewal(held.item, at)) {
            made.past.new_at.reset();
            if (renewed->meter) made.renewed = made.past.new_at = renewed->meter->value.quantity;
        }
    // Of another meter: what it showed when the part was new is not known on this one.
    if (speaker.fit.past && speaker.fit.past->new_meter != nullptr) {
        const model::Record* renewed = speaker.fit.past->last_renewal(held.item, at);
        const bool since =
            renewed != nullptr && renewed->date && renewed->date->value >= speaker.fit.past->new_meter->date->value;
        if (!since) {
            made.past.new_at.reset();
            made.renewed.reset();
        }
    }
    made.series = series_of(speaker, held, at);
    if (made.series != nullptr)
        for (const history::Taken& each : made.series->current())
            // What was read at this stand on an earlier day counts. What stands behind a new meter is told (meter_runs_back), and not reckoned with.
            if (each.record->meter && units::compare(each.record->meter->value.quantity, on.now) <= 0)
                made.past.readings.push_back({each.record->meter->value.quantity, each.size});
    made.outlook = mechanics::outlook(limit, made.past, on.now, on.interval, margin_of(speaker));
    return made;
}

bool same(const std::optional<units::Quantity>& a, const std::optional<units::Quantity>& b) {
    return a.has_value() == b.has_value() && (!a || units::compare(*a, *b) == std::partial_ordering::equivalent);
}

// "L 6.4 · R 6.1 mm"; once where they are the same for all.
std::string by_head(const Speaker& speaker, const std::vector<std::pair<std::string, units::Quantity>>& all) {
    if (all.empty()) return {};
    const bool one = std::all_of(all.begin(), all.end(), [&](const auto& each) {
        return units::compare(each.second, all.front().second) == std::partial_ordering::equivalent;
    });
    if (one) return speaker.say(all.front().second);
    std::string text;
    for (std::size_t i = 0; i < all.size(); ++i) {
        const auto& [head, quantity] = all[i];
        if (i > 0) text += " · ";
        if (!head.empty()) text += head + "\u00a0";
        text += i + 1 == all.size() || all[i + 1].second.unit != quantity.unit ? speaker.say(quantity)
                                                                               : speaker.number(quantity);
    }
    return text;
}

// "6.4 mm (8 460 km)"; "new at 8 460 km", where it was renewed since.
std::string last_of(const Speaker& speaker, const std::vector<Known>& all) {
    struct Last {
        const history::Taken* taken = nullptr;
        std::optional<units::Quantity> renewed;
        std::string head;
    };
    std::vector<Last> each;
    for (const Known& one : all) {
        const bool read = one.series != nullptr && !one.series->current().empty();
        if (read)
            each.push_back({&one.series->current().back(), std::nullopt, one.head});
        else if (one.renewed)
            each.push_back({nullptr, one.renewed, one.head});
    }
    if (each.empty()) return {};
    const auto when = [&](const Last& last) {
        const model::Record& record = *last.taken->record;
        return " (" +
               (record.meter ? speaker.say(record.meter->value.quantity) : mechanics::print(record.date->value)) + ")";
    };
    const bool one_visit = each.size() == all.size() && std::all_of(each.begin(), each.end(), [&](const Last& last) {
                               return last.taken != nullptr && each.front().taken != nullptr &&
                                      last.taken->record == each.front().taken->record;
                           });
    if (one_visit) {
        std::vector<std::pair<std::string, units::Quantity>> sizes;
        for (const Last& last : each) sizes.emplace_back(last.head, last.taken->size);
        return speaker.fill(Key::last, {by_head(speaker, sizes) + when(each.front())});
    }
    std::string text;
    for (const Last& last : each) {
        std::string part = last.taken != nullptr ? speaker.fill(Key::last, {speaker.say(last.taken->size) + when(last)})
                                                 : speaker.fill(Key::last_new, {speaker.say(*last.renewed)});
        if (!last.head.empty()) part = last.head + "\u00a0" + part;
        text += (text.empty() ? "" : " · ") + part;
    }
    return text;
}

std::string how_reckoned(const Speaker& speaker, const Known& known) {
    const mechanics::Outlook& outlook = known.outlook;
    if (outlook.from == KeepFrom::line)
        return speaker.fill(Key::keep_from_line, {std::to_string(known.past.readings.size())});
    if (outlook.from == KeepFrom::reading || known.renewed)
        return speaker.fill(Key::keep_from_reading, {speaker.say(*outlook.known_at)});
    return speaker.word(Key::keep_from_new);
}

WearBar bar_of(const Speaker& speaker, const units::Quantity& at, const units::Quantity& keep,
               const units::Quantity& as_new, const std::optional<units::Quantity>& expected) {
    const double least = units::value_in(at, as_new.unit);
    const double whole = units::value_in(as_new, as_new.unit) - least;
    const auto mark = [&](const units::Quantity& of) {
        const double share = whole > 0 ? (units::value_in(of, as_new.unit) - least) / whole : 0;
        const double rest = 1000 - WearBar::limit_at;
        return WearBar::Mark{WearBar::limit_at +
                                 static_cast<std::uint32_t>(std::lround(rest * std::clamp(share, 0.0, 1.0))),
                             speaker.number(of)};
    };
    WearBar bar{mark(at), mark(keep), mark(as_new), std::nullopt};
    if (expected) bar.expected = mark(*expected);
    return bar;
}

// The one that is nearest to the limit.
std::optional<units::Quantity> worst(const std::vector<Known>& all, Sort sort,
                                     std::optional<units::Quantity> mechanics::Outlook::*figure) {
    std::optional<units::Quantity> found;
    for (const Known& each : all) {
        const auto& one = each.outlook.*figure;
        if (!one) continue;
        const auto order = found ? units::compare(*one, *found) : std::partial_ordering::unordered;
        if (!found || order == (sort == Sort::minimum ? std::partial_ordering::less : std::partial_ordering::greater))
            found = one;
    }
    return found;
}
std::optional<units::Quantity> strictest(const std::vector<Known>& all, Sort sort) {
    return worst(all, sort == Sort::minimum ? Sort::maximum : Sort::minimum, &mechanics::Outlook::keep);
}

// Lays the keep figures of all that is read by this limit over what was judged without wear.
void judge_wear(const Speaker& speaker, const fitted::LimitFigure& limit, const mechanics::WearLimit& wear,
                const std::vector<Known>& all, Judged& judged) {
    const auto add_note = [&](const std::string& text) {
        if (judged.note.find(text) != std::string::npos) return;
        judged.note += (judged.note.empty() ? "" : " · ") + text;
    };
    const bool least = wear.sort == Sort::minimum;
    std::vector<std::pair<std::string, units::Quantity>> keeps;
    for (const Known& each : all) {
        if (each.outlook.keep) keeps.emplace_back(each.head, *each.outlook.keep);
        const units::Quantity* as_new = given(limit.figures.new_size);
        if (each.outlook.keep && as_new != nullptr && speaker.job->next_service) {
            const auto order = units::compare(*each.outlook.keep, *as_new);
            if (order == (least ? std::partial_ordering::greater : std::partial_ordering::less))
                found::service_too_far(*speaker.job, limit, *each.outlook.keep, speaker.messages);
        }
    }
    if (keeps.empty() || keeps.size() < all.size()) {
        const auto on = ahead(speaker, limit.figures);
        add_note(speaker.word(on && on->interval ? Key::keep_no_size : Key::keep_unknown));
        if (keeps.empty()) return;
    }
    judged.by = least ? Judged::By::keep_least : Judged::By::keep_most;
    judged.figure = by_head(speaker, keeps);
    judged.shown = speaker.fill(least ? Key::keep_least : Key::keep_most, {judged.figure});
    for (const Known& each : all)
        if (each.outlook.keep) add_note(how_reckoned(speaker, each));
}

HeldAgainst held_against(const Speaker& speaker, const fitted::LimitFigure& limit, linked::ItemId of) {
    HeldAgainst held;
    const model::Limit& figures = limit.figures;
    if (limit.limit.known()) held.limit = linked::name_among_all(speaker.linked, limit.limit);
    if (of.known()) held.item = linked::name_among_all(speaker.linked, of);
    const auto copy = [](const units::Quantity* from, std::optional<units::Quantity>& to) {
        if (from != nullptr) to = *from;
    };
    copy(given(figures.minimum), held.minimum);
    copy(given(figures.maximum), held.maximum);
    if (figures.within) {
        held.minimum = figures.within->value.range.lower;
        held.maximum = figures.within->value.range.upper;
    }
    copy(given(figures.new_size), held.as_new);
    copy(given(figures.reads_to), held.reads_to);
    copy(given(figures.uncertainty), held.uncertainty);
    if (figures.difference) copy(given(figures.difference->value.maximum), held.difference);
    if (figures.unit) held.unit = units::find_unit(figures.unit->value);
    return held;
}

} // namespace

Judged judge(const Speaker& speaker, const fitted::LimitUse& use) {
    const fitted::LimitFigure& limit = use.figure;
    Judged judged = judge_bounds(speaker, limit);
    const auto wear = wear_limit(limit.figures);
    const auto on = wear ? ahead(speaker, limit.figures) : std::nullopt;
    if (wear && (on || given(limit.figures.new_size) != nullptr)) {
        std::vector<Known> all;
        if (on && use.of.empty())
            all.push_back(known_of(speaker, limit.figures, *wear, held_against(speaker, limit, {}), {}, *on));
        for (const linked::ItemId item : use.of) {
            if (!on || !speaker.present(item)) continue;
            const HeldAgainst held = held_against(speaker, limit, item);
            const auto values = speaker.values(item);
            if (values.empty()) all.push_back(known_of(speaker, limit.figures, *wear, held, {}, *on));
            for (const fitted::AxisValue value : values)
                all.push_back(known_of(speaker, limit.figures, *wear, held,
                                       speaker.fit.axes[speaker.item(item).axis.index()].values[value], *on));
        }
        judge_wear(speaker, limit, *wear, all, judged);
        // Each by its own: which is which stands beside its box.
        const bool one = std::all_of(all.begin(), all.end(), [&](const Known& each) {
            return same(each.outlook.keep, all.front().outlook.keep);
        });
        if (!one) judged.figure = judged.shown = speaker.word(Key::keep_each);
    }
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

Reading reading_panel(const Speaker& speaker, const fitted::LimitFigure& limit, std::string name, linked::ItemId of,
                      const std::vector<ColumnRead>& columns) {
    const model::Limit& figures = limit.figures;
    Reading reading;
    reading.held = held_against(speaker, limit, of);
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
    Judged judged = judge_bounds(speaker, limit);
    const auto wear = wear_limit(figures);
    const auto on = wear ? ahead(speaker, figures) : std::nullopt;
    reading.held.wears = wear && on;
    if (on) reading.held.interval = on->interval;
    reading.held.margin = margin_of(speaker);
    std::vector<Known> all;
    for (const ColumnRead& column : columns) {
        reading.held.at.push_back(column.at);
        Known known;
        if (column.is && wear && on) {
            known = known_of(speaker, figures, *wear, reading.held, column.at, *on);
        } else {
            known.series = series_of(speaker, reading.held, column.at);
        }
        known.head = column.head;
        reading.held.past.push_back(known.past);
        reading.held.keep.push_back(known.outlook.keep);
        if (column.is) all.push_back(std::move(known));
    }
    if (wear && on)
        judge_wear(speaker, limit, *wear, all, judged);
    else if (wear && as_new != nullptr)
        judged.note += (judged.note.empty() ? "" : " · ") + std::string(speaker.word(Key::keep_unknown));
    reading.keep = judged.shown;
    reading.note = judged.note;
    if (wear && wear->sort == Sort::minimum && as_new != nullptr)
        if (const auto keep = strictest(all, wear->sort))
            reading.bar =
                bar_of(speaker, *minimum, *keep, *as_new, worst(all, wear->sort, &mechanics::Outlook::expected));
    if (speaker.job != nullptr) {
        reading.last = last_of(speaker, all);
        if (reading.last.empty()) reading.last = speaker.word(Key::last_none);
        std::vector<std::pair<std::string, units::Quantity>> expected;
        for (const Known& each : all)
            if (each.outlook.expected) expected.emplace_back(each.head, *each.outlook.expected);
        if (!expected.empty()) reading.expected = speaker.fill(Key::expected, {by_head(speaker, expected)});
    }
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
