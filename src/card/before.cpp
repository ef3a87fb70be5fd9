#include "card/before.h"

#include "mechanics/date.h"

#include <algorithm>
#include <set>

namespace benchleaf::card {

namespace {

using fitted::RowKind;
using linked::ItemId;
using model::VerbName;

units::Quantity pieces(std::int64_t count) {
    units::Quantity made;
    made.digits = count;
    made.unit = units::Unit::piece;
    return made;
}

class Counter {
public:
    Counter(const Speaker& speaker, const Unfolded& unfolded) : s_(speaker), unfolded_(unfolded) {
        find_fitted(unfolded.rows);
    }

    Tally rows(const Nodes& all) {
        Tally sum;
        for (const Node& node : all) {
            switch (node.row->kind) {
            case RowKind::hole:
            case RowKind::stop:
                break;
            case RowKind::plain:
            case RowKind::verb:
                sum.then(row(node));
                break;
            case RowKind::question: {
                sum.then(row(node));
                Tally so = rows(node.if_so);
                Tally not_so = rows(node.if_not);
                // What a job takes that is finished: a way that stops takes what it takes, perhaps.
                if (always_stops(node.if_so) != always_stops(node.if_not)) {
                    Tally& stopped = always_stops(node.if_so) ? so : not_so;
                    const Tally& goes_on = always_stops(node.if_so) ? not_so : so;
                    stopped.perhaps();
                    Tally both = either(goes_on, stopped);
                    for (Tally::Entry& entry : both.entries)
                        if (const auto* sure = goes_on.find(entry.of, entry.id)) entry.least = sure->least;
                    sum.then(both);
                } else {
                    sum.then(either(so, not_so));
                }
                break;
            }
            case RowKind::if_answered: {
                Tally inner = rows(node.if_so);
                inner.perhaps();
                sum.then(inner);
                break;
            }
            case RowKind::repeat: {
                Tally body = rows(node.body);
                body.up_to_times(std::max<std::int64_t>(node.row->at_most, 1) + 1);
                sum.then(body);
                Tally inner = rows(node.otherwise);
                inner.perhaps();
                sum.then(inner);
                break;
            }
            }
        }
        return sum;
    }

private:
    void find_fitted(const Nodes& all) {
        for (const Node& node : all) {
            if (node.row->kind == RowKind::verb && node.row->verb == VerbName::fit)
                for (const fitted::Target& target : node.row->targets) fitted_.insert(target.item);
            for (const Nodes* inner : {&node.body, &node.if_so, &node.if_not, &node.otherwise}) find_fitted(*inner);
        }
    }

    // How many instances of a target a row is done to, over all columns.
    std::int64_t instances(const Node& node, const fitted::Target& target) const {
        const auto values = s_.values(target.item, target.values);
        if (values.empty()) return 1;
        const Place& place = unfolded_.places[node.place];
        if (!place.bound || s_.item(target.item).axis != place.procedure->axis)
            return static_cast<std::int64_t>(values.size());
        return std::count_if(values.begin(), values.end(), [&](const auto value) {
            return std::find(node.values.begin(), node.values.end(), value) != node.values.end();
        });
    }

    std::int64_t all_instances(ItemId item) const {
        return std::max<std::int64_t>(1, static_cast<std::int64_t>(s_.values(item).size()));
    }

    std::int64_t times_worked(const Node& node) const {
        return std::max<std::int64_t>(
            1, static_cast<std::int64_t>(columns_marked(s_, unfolded_.places[node.place], node).size()));
    }

public:
    // Of one row by itself.
    Tally row(const Node& node) const {
        Tally made;
        const fitted::Row& row = *node.row;
        const model::Step* given = row.step == nullptr ? nullptr : row.step->source;
        if (given == nullptr) return made;
        const bool bound = unfolded_.places[node.place].bound;
        if (given->minutes) time(made, given->minutes->value.quantity, bound ? times_worked(node) : 1);
        if (row.kind != RowKind::verb) return made;
        if (row.verb == VerbName::wait && given->verb && given->verb->time && !given->minutes)
            time(made, given->verb->time->value.quantity, bound ? times_worked(node) : 1);

        if (row.verb == VerbName::apply && given->amount && row.step->consumable.known()) {
            std::int64_t places = 0; // the amount is for each item on each of its values
            for (const fitted::Target& target : row.targets) {
                if (!s_.present(target.item)) continue;
                const auto values = s_.values(target.item, target.values);
                const bool once_a_column = bound && values.empty();
                places += (once_a_column ? times_worked(node) : instances(node, target)) * s_.item(target.item).count;
            }
            if (const auto amount = units::multiply(given->amount->value.quantity, std::max<std::int64_t>(places, 1)))
                made.add(Tally::Of::consumable, row.step->consumable.index(), *amount);
        }
        if (row.verb == VerbName::fill) {
            for (const fitted::Target& target : row.targets) {
                if (!s_.present(target.item) || !s_.item(target.item).fluid.known()) continue;
                const linked::Item& circuit = s_.item(target.item);
                const auto& holds = circuit.circuit_of.holds;
                if (!given->amount && !holds) continue;
                const units::Quantity& one = given->amount ? given->amount->value.quantity : holds->value.quantity;
                if (const auto amount = units::multiply(one, instances(node, target)))
                    made.add(Tally::Of::consumable, circuit.fluid.index(), *amount);
            }
        }
        if (row.verb == VerbName::renew) renewed(node, made);
        if (row.verb == VerbName::fit) fitted_new(node, made);
        return made;
    }

private:
    static void time(Tally& made, const units::Quantity& quantity, std::int64_t times) {
        const auto minutes = units::convert(quantity, units::Unit::minute, units::Decimals{0}, units::Round::up);
        const auto sum = minutes ? units::multiply(*minutes, times) : std::nullopt;
        if (sum) made.add(Tally::Of::time, 0, *sum);
    }

    bool never_reused(ItemId item) const {
        const linked::Item& is = s_.item(item);
        const auto& reuse = is.sort == linked::Sort::part ? is.part.reuse : is.fastener.reuse;
        return reuse && reuse->value == model::Reuse::never;
    }

    void renewed(const Node& node, Tally& made) const {
        std::vector<std::pair<ItemId, std::int64_t>> all;
        const auto note = [&](ItemId item, std::int64_t count) {
            for (auto& [known, most] : all)
                if (known == item) {
                    most = std::max(most, count);
                    return;
                }
            all.emplace_back(item, count);
        };
        for (const fitted::Target& target : node.row->targets) {
            if (!s_.present(target.item)) continue;
            const linked::Item& item = s_.item(target.item);
            note(target.item, item.renew_together.empty() ? instances(node, target) : all_instances(target.item));
            for (const ItemId with : item.renew_together) // on every side
                if (s_.present(with)) note(with, all_instances(with));
        }
        for (const auto& [item, count] : all) {
            // What is new at every fit is counted there.
            if (never_reused(item) && fitted_.contains(item)) continue;
            made.add(Tally::Of::item, item.index(), pieces(count * s_.item(item).count));
        }
    }

    void fitted_new(const Node& node, Tally& made) const {
        for (const fitted::Target& target : node.row->targets) {
            if (!s_.present(target.item)) continue;
            const linked::Item& item = s_.item(target.item);
            if (never_reused(target.item))
                made.add(Tally::Of::item, target.item.index(), pieces(instances(node, target) * item.count));
            for (const ItemId with : item.renew_with) {
                if (!s_.present(with) || fitted_.contains(with)) continue;
                // As many as there are of it, and one at least for each bolt.
                const std::int64_t each = std::max(s_.item(with).count, item.count) *
                                          (s_.item(with).axis == item.axis ? 1 : all_instances(with));
                made.add(Tally::Of::item, with.index(), pieces(instances(node, target) * each));
            }
        }
    }

    const Speaker& s_;
    const Unfolded& unfolded_;
    std::set<ItemId> fitted_;
};

// -- Lists that need no sum -----------------------------------------------------------------------------------------------------
struct Gathered {
    std::vector<std::string> sockets;
    std::vector<std::string> tools;
    std::vector<linked::ConsumableId> consumables;
    bool all_timed = true;
};

void use(std::vector<linked::ConsumableId>& to, linked::ConsumableId id) {
    if (id.known() && std::find(to.begin(), to.end(), id) == to.end()) to.push_back(id);
}

void gather(const Speaker& s, const Nodes& rows, Gathered& used) {
    for (const Node& node : rows) {
        gather(s, node.body, used);
        const linked::Step* step = node.row->step;
        if (step != nullptr) {
            const bool worked = node.row->kind == RowKind::verb || node.row->kind == RowKind::plain;
            const bool timed = (step->source != nullptr && step->source->minutes) || node.row->verb == VerbName::wait;
            if (worked && !timed) used.all_timed = false;
            for (const auto tool : step->tools)
                if (tool.known()) add_once(used.tools, s.linked.tools[tool.index()].name);
            for (const auto tool : step->with_tools)
                if (tool.known()) add_once(used.tools, s.linked.tools[tool.index()].name);
            use(used.consumables, step->consumable);
            for (const auto each : step->with_consumables) use(used.consumables, each);
        }
        if (node.row->kind == RowKind::verb) {
            const VerbName verb = node.row->verb;
            const bool turns = verb == VerbName::slacken || verb == VerbName::remove || verb == VerbName::snug ||
                               verb == VerbName::torque || verb == VerbName::recheck || verb == VerbName::bleed;
            for (const fitted::Target& target : node.row->targets) {
                if (!s.present(target.item)) continue;
                const linked::Item& item = s.item(target.item);
                if (turns && item.fastener.head) add_once(used.sockets, item.fastener.head->value);
                if (verb == VerbName::fill || verb == VerbName::level) use(used.consumables, item.fluid);
            }
        }
        for (const Nodes* inner : {&node.if_so, &node.if_not, &node.otherwise}) gather(s, *inner, used);
    }
}

std::string wrench_line(const Speaker& s, std::size_t index) {
    const model::Wrench& wrench = s.shop.wrenches->value[index].value;
    const std::string range = wrench.range ? s.say(wrench.range->value.range) : std::string();
    // A blank card hangs on the wall for longer than a calibration lasts.
    if (!wrench.calibrated_until || s.job == nullptr)
        return s.fill(Key::wrench_line_plain, {wrench_name(s, index), range});
    return s.fill(Key::wrench_line, {wrench_name(s, index), range, mechanics::print(wrench.calibrated_until->value)});
}

// What is laid out is measured with a jug or on a scale: a sum of more than two figures is rounded up, never down, to the largest of
// 1, 2 and 5 times a power of ten that is at most a twentieth of it, so that nobody lays out more than a twentieth too much. 2.402 L are
// 2.5 L. What is counted is not rounded, nor is a figure that somebody wrote.
units::Quantity to_measure(const units::Quantity& sum) {
    if (units::dimension(sum.unit) == units::Dimension::count) return sum;
    std::int64_t figures = sum.digits;
    while (figures > 0 && figures % 10 == 0) figures /= 10;
    if (figures < 100) return sum;
    std::int64_t step = 1; // in units of the last decimal
    const std::int64_t most = sum.digits / 20;
    for (std::int64_t power = 1; power <= most; power *= 10)
        for (const std::int64_t times : {1, 2, 5})
            if (times * power <= most) step = times * power;
    const std::int64_t over = sum.digits % step;
    units::Quantity up = sum;
    if (over != 0) up.digits += step - over;
    while (up.decimals > 0 && up.digits % 10 == 0) {
        up.digits /= 10;
        --up.decimals;
    }
    return up;
}

std::string state_line(const Speaker& s, const linked::Entering& entering) {
    std::string text = s.name(entering.item);
    std::vector<std::string> says;
    if (entering.has_place) says.push_back(s.place(entering.item, entering.place));
    if (const std::string debts = owed(s, entering.owes); !debts.empty())
        says.push_back(s.fill(Key::still_owed, {debts}));
    if (!says.empty()) text += ": " + s.listed(says);
    return s.with_sides(std::move(text), entering.item);
}

} // namespace

std::string wrench_name(const Speaker& s, std::size_t index) {
    const auto& named = s.shop.wrenches->value[index];
    return named.value.name ? named.value.name->value : named.id.value;
}

std::string between(const Speaker& s, const Needs::Amount& amount) {
    if (units::compare(amount.least, amount.most) == 0) return s.say(amount.most);
    if (amount.least.unit == amount.most.unit) return s.number(amount.least) + "–" + s.say(amount.most);
    return s.say(amount.least) + "–" + s.say(amount.most);
}

TorqueLine torque_line(const Needs::Torque& torque, std::uint32_t card, const std::string& place) {
    TorqueLine line{card, torque.step, torque.value, torque.name, {}};
    for (const std::string& note : torque.notes) line.about += note + " · ";
    line.about += place;
    return line;
}

std::string times(const Speaker& s, std::int64_t count) {
    return count > 1 ? s.fill(Key::times, {std::to_string(count)}) : std::string();
}

std::string minutes_text(const Speaker& s, const std::optional<Needs::Amount>& minutes, bool all_timed) {
    if (!minutes) return {};
    // Where some steps have no time the sum says the least alone.
    return all_timed ? between(s, *minutes) : s.fill(Key::at_least, {s.say(minutes->least)});
}

Needs make_needs(const Speaker& s, const Unfolded& unfolded, const MadeRows& rows) {
    Needs made;
    made.torques = rows.set;
    made.wrenches = rows.wrenches;
    made.wrenches_wanted = rows.wrenches_wanted;
    for (const fitted::Procedure* each : unfolded.procedures) {
        if (each->source == nullptr || !each->source->source->protection) continue;
        for (const auto& protection : each->source->source->protection->value)
            add_once(made.protection, protection.value);
    }
    Gathered used;
    gather(s, unfolded.rows, used);
    made.sockets = std::move(used.sockets);
    made.tools = std::move(used.tools);

    const Tally sum = Counter(s, unfolded).rows(unfolded.rows);
    for (const linked::ConsumableId id : used.consumables) {
        const linked::Consumable& consumable = s.linked.consumables[id.index()];
        std::optional<units::Unit> unit;
        if (consumable.figures.unit) unit = units::find_unit(consumable.figures.unit->value);
        Needs::Consumable takes{id, {}};
        for (const Tally::Entry& entry : sum.entries) {
            if (entry.of != Tally::Of::consumable || entry.id != id.index()) continue;
            // In the unit that the shop adds it up in, where that is exact.
            const auto least = unit ? units::convert_exactly(entry.least, *unit) : std::nullopt;
            const auto most = unit ? units::convert_exactly(entry.most, *unit) : std::nullopt;
            const auto laid = [&](const units::Quantity& exact) { return entry.summed ? to_measure(exact) : exact; };
            takes.amounts.push_back(least && most ? Needs::Amount{laid(*least), laid(*most)}
                                                  : Needs::Amount{laid(entry.least), laid(entry.most)});
        }
        made.consumables.push_back(std::move(takes));
    }
    for (const Tally::Entry& entry : sum.entries)
        if (entry.of == Tally::Of::item)
            made.pieces.push_back({ItemId(entry.id), entry.least.digits, entry.most.digits - entry.least.digits});
    if (const Tally::Entry* time = sum.find(Tally::Of::time, 0)) made.minutes = {time->least, time->most};
    made.all_timed = used.all_timed;
    return made;
}

namespace {

void takes_of(const Speaker& s, const Counter& counter, const Nodes& rows,
              std::map<std::uint32_t, std::vector<Takes>>& to) {
    for (const Node& node : rows) {
        for (const Tally::Entry& entry : counter.row(node).entries) {
            if (entry.of == Tally::Of::consumable)
                to[node.number].push_back({s.linked.consumables[entry.id].name, entry.most});
            else if (entry.of == Tally::Of::item)
                to[node.number].push_back({s.name(ItemId(entry.id)), entry.most});
        }
        if (const linked::Step* step = node.row->step)
            for (const auto each : step->with_consumables)
                if (each.known()) to[node.number].push_back({s.linked.consumables[each.index()].name, std::nullopt});
        for (const Nodes* inner : {&node.body, &node.if_so, &node.if_not, &node.otherwise})
            takes_of(s, counter, *inner, to);
    }
}

} // namespace

std::map<std::uint32_t, std::vector<Takes>> takes_of_rows(const Speaker& speaker, const Unfolded& unfolded) {
    std::map<std::uint32_t, std::vector<Takes>> made;
    takes_of(speaker, Counter(speaker, unfolded), unfolded.rows, made);
    return made;
}

Before make_before(const Speaker& s, const Unfolded& unfolded, const Needs& needs) {
    Before made;
    const fitted::Procedure& procedure = *unfolded.procedures.front();
    for (const linked::Entering& entering : procedure.starts_with)
        if (s.present(entering.item)) add_once(made.states, state_line(s, entering));
    made.protection = needs.protection;
    for (const std::size_t wrench : needs.wrenches) made.tools.push_back({wrench_line(s, wrench), ""});
    for (const auto* more : {&needs.wrenches_wanted, &needs.sockets, &needs.tools})
        for (const std::string& each : *more) made.tools.push_back({each, ""});
    for (const Needs::Consumable& each : needs.consumables) {
        std::vector<std::string> amounts;
        for (const Needs::Amount& amount : each.amounts) amounts.push_back(between(s, amount));
        made.consumables.push_back({s.linked.consumables[each.id.index()].name, s.join(amounts)});
    }
    for (const Needs::Pieces& each : needs.pieces) {
        if (each.always > 0) made.renew.push_back({s.name(each.id), times(s, each.always)});
        if (each.perhaps > 0) made.may_need.push_back({s.name(each.id), times(s, each.perhaps)});
    }
    made.minutes = minutes_text(s, needs.minutes, needs.all_timed);
    return made;
}

} // namespace benchleaf::card
