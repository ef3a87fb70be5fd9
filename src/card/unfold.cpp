#include "card/unfold.h"

#include "card/found.h"

#include <algorithm>
#include <iterator>
#include <set>

namespace benchleaf::card {

namespace {

using fitted::AxisValue;
using fitted::Row;
using fitted::RowKind;
using Values = std::vector<AxisValue>;

bool holds(const Values& values, AxisValue value) {
    return std::find(values.begin(), values.end(), value) != values.end();
}

Values both(const Values& a, const Values& b) {
    Values common;
    std::copy_if(a.begin(), a.end(), std::back_inserter(common), [&](AxisValue value) { return holds(b, value); });
    return common;
}

// For which values of an axis rows do something.
struct Work {
    std::set<AxisValue> done; // to an item of that value, or by a step that an `only` keeps for it
    // By a step in plain words, or a question: it is for every value, since nobody has said otherwise.
    bool follows = false;

    bool is_for(AxisValue value) const { return follows || done.contains(value); }
};

class Unfolder {
public:
    Unfolder(const fitted::Fit& fit, const linked::Linked& linked, messages::Messages& messages)
        : fit_(fit), linked_(linked), messages_(messages) {}

    std::optional<Unfolded> unfold(const fitted::Procedure& procedure) {
        root_ = &procedure;
        made_.procedures.push_back(&procedure);
        run(procedure, std::nullopt, {}, false, made_.rows);
        if (failed_) return std::nullopt;
        std::vector<Work> work(made_.places.size());
        for (const Node& node : made_.rows) look(node, work);
        for (std::size_t i = 0; i < made_.places.size(); ++i) {
            Place& place = made_.places[i];
            if (!place.bound) continue;
            const Values& all = place.procedure->values;
            std::copy_if(all.begin(), all.end(), std::back_inserter(place.values),
                         [&](AxisValue value) { return work[i].is_for(value); });
            if (place.values.empty()) place.values = all;
        }
        settle(made_.rows, nullptr);
        lead_on(made_.rows, GoesOn{});
        answered(made_.rows, {}, true);
        return std::move(made_);
    }

private:
    // How a call, or the row around a row, is narrowed.
    struct Within {
        std::optional<Values> only;
        std::int64_t again = 0;
    };

    // Rows of `procedure` go to the end of `to`; `place_of_call` is the bound place that it is called from.
    void run(const fitted::Procedure& procedure, std::optional<std::size_t> place_of_call, const Within& within,
             bool called, Nodes& to) {
        // A cycle of `do` was reported before; the bound on rows does not hold one that has none.
        if (depth_ > 200) return too_long();
        ++depth_;
        if (std::find(made_.procedures.begin(), made_.procedures.end(), &procedure) == made_.procedures.end())
            made_.procedures.push_back(&procedure);
        const std::size_t frame = made_.numbers.size();
        made_.numbers.emplace_back();
        const std::size_t start = to.size();
        for (const fitted::Section& section : procedure.sections) {
            std::size_t place = 0;
            if (place_of_call) {
                place = *place_of_call;
                const Place& outer = made_.places[place];
                if (section.bound && procedure.axis != outer.procedure->axis && procedure.values.size() > 1 &&
                    !failed_) {
                    failed_ = true;
                    found::two_axes_at_once(linked_, *outer.procedure, procedure, messages_);
                }
            } else {
                place = made_.places.size();
                made_.places.push_back({&procedure, &section, called, section.bound, {}});
            }
            rows(section.rows, procedure, place, within, frame, to);
        }
        if (called && procedure.source != nullptr && to.size() > start) {
            auto& brings = to[start].brings;
            brings.insert(brings.begin(), procedure.source->cautions.begin(), procedure.source->cautions.end());
        }
        --depth_;
    }

    void rows(const fitted::Rows& all, const fitted::Procedure& procedure, std::size_t place, const Within& around,
              std::size_t frame, Nodes& to) {
        for (const Row& row : all) {
            if (failed_) return;
            if (row.kind == RowKind::hole) continue;
            Within within = around;
            const bool bound = made_.places[place].bound;
            if (bound && !row.only.empty() && procedure.axis == made_.places[place].procedure->axis) {
                within.only = within.only ? both(*within.only, row.only) : row.only;
                if (within.only->empty()) continue; // the call around it is for other values
            }
            if (row.kind == RowKind::verb && row.verb == model::VerbName::do_procedure) {
                if (++steps_ > 10 * most_rows) return too_long(); // calls of what is empty
                if (row.calls.known())
                    run(fit_.procedures[row.calls.index()], bound ? std::optional(place) : std::nullopt, within, true,
                        to);
                continue;
            }
            Node node;
            node.row = &row;
            node.place = place;
            node.frame = frame;
            node.again = within.again;
            node.narrowed = within.only.has_value();
            if (bound) node.values = node.narrowed ? *within.only : made_.places[place].procedure->values;
            if (row.kind == RowKind::verb && is_nowhere(node)) continue;
            if (row.kind == RowKind::repeat) {
                Within round = within;
                const std::int64_t most = std::clamp<std::int64_t>(row.at_most, 1, most_again);
                round.again = std::min(most_again, (within.again + 1) * (most + 1) - 1);
                rows(row.body, procedure, place, round, frame, node.body);
                if (node.body.empty()) continue;
            }
            if (row.kind != RowKind::if_answered) {
                if (number_ >= most_rows) return too_long();
                node.number = ++number_;
                made_.numbers[frame][row.id] = node.number;
            }
            rows(row.if_so, procedure, place, within, frame, node.if_so);
            rows(row.if_not, procedure, place, within, frame, node.if_not);
            rows(row.otherwise, procedure, place, within, frame, node.otherwise);
            if (row.kind == RowKind::if_answered && node.if_so.empty()) continue;
            to.push_back(std::move(node));
        }
    }

    void too_long() {
        if (!failed_) found::card_too_long(*root_, most_rows, messages_);
        failed_ = true;
    }

    // -- For which values of its axis each row is worked --------------------------------------------------------------------------
    // The items that a row is done to, or whose readings decide it, each with the values that it is narrowed to.
    struct Thing {
        linked::ItemId item;
        const Values* only;
    };
    std::vector<Thing> things(const Row& row) const {
        static const Values all;
        std::vector<Thing> made;
        const auto add = [&](linked::ItemId item, const Values& only) {
            if (item.known() && fit_.items[item.index()].present) made.push_back({item, &only});
        };
        for (const fitted::Target& target : row.targets) add(target.item, target.values);
        const bool reads = row.kind != RowKind::verb || row.verb == model::VerbName::measure;
        if (reads && row.targets.empty())
            for (const fitted::LimitUse& use : row.limits)
                for (const linked::ItemId item : use.of) add(item, all);
        return made;
    }

    // Whether all that a row is done to has the axis of its place; then it is worked for their values alone.
    bool is_sided(const Node& node, const std::vector<Thing>& all) const {
        const linked::AxisId axis = made_.places[node.place].procedure->axis;
        return !all.empty() && std::all_of(all.begin(), all.end(), [&](const Thing& thing) {
            return fit_.items[thing.item.index()].is.axis == axis && !values_of(fit_, thing.item).empty();
        });
    }

    // A step whose call is kept for a side on which this vehicle has nothing of what it is done to.
    bool is_nowhere(const Node& node) const {
        const Place& place = made_.places[node.place];
        const std::vector<Thing> all = things(*node.row);
        return !all.empty() && std::all_of(all.begin(), all.end(), [&](const Thing& thing) {
            if (values_of(fit_, thing.item).empty()) return false;
            const Values on = values_of(fit_, thing.item, *thing.only);
            const bool along = place.bound && fit_.items[thing.item.index()].is.axis == place.procedure->axis;
            return (along ? both(on, node.values) : on).empty();
        });
    }

    void look(const Node& node, std::vector<Work>& work) const {
        for (const Nodes* inner : {&node.body, &node.if_so, &node.if_not, &node.otherwise})
            for (const Node& each : *inner) look(each, work);
        const RowKind kind = node.row->kind;
        if (!made_.places[node.place].bound || kind == RowKind::stop || kind == RowKind::if_answered) return;
        Work& here = work[node.place];
        const std::vector<Thing> all = things(*node.row);
        if (is_sided(node, all)) {
            for (const Thing& thing : all) {
                for (const AxisValue value : values_of(fit_, thing.item)) {
                    const bool narrowed_away = !thing.only->empty() && !holds(*thing.only, value);
                    if (holds(node.values, value) && !narrowed_away) here.done.insert(value);
                }
            }
        } else if (node.narrowed) {
            here.done.insert(node.values.begin(), node.values.end());
        } else if (kind != RowKind::repeat) { // a repeat goes with its rows
            here.follows = true;
        }
    }

    void settle(Nodes& all, const Node* around) {
        for (Node& node : all) {
            const Place& place = made_.places[node.place];
            if (place.bound) {
                const bool inside = around != nullptr && around->place == node.place;
                node.values = both(inside ? around->values : place.values, node.values);
                const std::vector<Thing> read = things(*node.row);
                if (node.row->kind == RowKind::verb && is_sided(node, read)) {
                    std::erase_if(node.values, [&](AxisValue value) { return !any_has(read, value); });
                } else if (node.row->kind == RowKind::question && node.row->inspections.empty() &&
                           is_sided(node, read)) {
                    // Asked where there is something to answer it from, or something to do for either answer.
                    std::vector<Work> work(made_.places.size());
                    for (const Nodes* inner : {&node.if_so, &node.if_not})
                        for (const Node& each : *inner) look(each, work);
                    std::erase_if(node.values, [&](AxisValue value) {
                        return !any_has(read, value) && !work[node.place].done.contains(value);
                    });
                }
            }
            settle(node.body, around);
            if (node.row->kind == RowKind::repeat && place.bound && !node.body.empty()) {
                std::erase_if(node.values, [&](AxisValue value) {
                    return std::none_of(node.body.begin(), node.body.end(), [&](const Node& each) {
                        return each.place == node.place && holds(each.values, value);
                    });
                });
            }
            for (Nodes* inner : {&node.if_so, &node.if_not, &node.otherwise}) settle(*inner, &node);
        }
    }

    bool any_has(const std::vector<Thing>& all, AxisValue value) const {
        return std::any_of(all.begin(), all.end(),
                           [&](const Thing& thing) { return holds(values_of(fit_, thing.item, *thing.only), value); });
    }

    // -- On which answers ---------------------------------------------------------------------------------------------------------
    // An answer whose opposite always stops is the only one with which the vehicle leaves the shop: it need not be said.
    void answered(Nodes& all, const std::vector<Answered>& when, bool leaves_shop) {
        using How = Answered::How;
        for (Node& node : all) {
            node.when = when;
            node.leaves_shop = leaves_shop;
            const auto way = [&](Nodes& rows, How how, bool other_stops) {
                auto deeper = when;
                if (!other_stops) deeper.push_back({node.number, how});
                answered(rows, deeper, leaves_shop && !always_stops(rows));
            };
            const bool asks = node.row->kind == RowKind::question;
            if (asks) {
                questions_[node.number] = &node;
                way(node.if_so, How::yes, always_stops(node.if_not));
                way(node.if_not, How::no, always_stops(node.if_so));
            } else if (node.row->kind == RowKind::if_answered) {
                auto deeper = when;
                for (const linked::Answer& answer : node.row->answers) {
                    const auto number = made_.numbers[node.frame].find(answer.question);
                    if (number == made_.numbers[node.frame].end()) continue;
                    const auto question = questions_.find(number->second);
                    const bool known = question != questions_.end();
                    if (known && always_stops(answer.yes ? question->second->if_not : question->second->if_so))
                        continue;
                    // With what led to that question.
                    if (known)
                        for (const Answered& each : question->second->when)
                            if (std::find(deeper.begin(), deeper.end(), each) == deeper.end()) deeper.push_back(each);
                    deeper.push_back({number->second, answer.yes ? How::yes : How::no});
                }
                answered(node.if_so, deeper, leaves_shop && !always_stops(node.if_so));
            }
            answered(node.body, when, leaves_shop);
            if (!asks) way(node.otherwise, How::over, false);
        }
    }

    // Fills `after` of every node: what comes next once the node and its ways are done.
    void lead_on(Nodes& all, GoesOn after) {
        for (std::size_t i = 0; i < all.size(); ++i) {
            Node& node = all[i];
            GoesOn next = after;
            if (i + 1 < all.size()) next = {GoesOn::To::step, first_number(all[i + 1]), all[i + 1].place};
            const Place& place = made_.places[node.place];
            const bool leaves = next.to != GoesOn::To::step || next.place != node.place;
            if (place.bound && place.values.size() > 1 && leaves && next.to != GoesOn::To::section_end)
                next = {GoesOn::To::section_end, 0, node.place};
            node.after = next;
            lead_on(node.if_so, next);
            lead_on(node.if_not, next);
            lead_on(node.otherwise, next);
            lead_on(node.body, {GoesOn::To::step, node.number, node.place});
        }
    }

    const fitted::Fit& fit_;
    const linked::Linked& linked_;
    messages::Messages& messages_;
    const fitted::Procedure* root_ = nullptr;
    // More rounds than can be counted are no more than this.
    static constexpr std::int64_t most_again = 1000;

    Unfolded made_;
    std::map<std::uint32_t, const Node*> questions_; // by number, of those that were come by
    std::uint32_t number_ = 0;
    std::uint32_t steps_ = 0;
    int depth_ = 0;
    bool failed_ = false;
};

} // namespace

std::optional<Unfolded> unfold(const fitted::Fit& fit, const linked::Linked& linked, const fitted::Procedure& procedure,
                               messages::Messages& messages) {
    return Unfolder(fit, linked, messages).unfold(procedure);
}

std::vector<AxisValue> values_of(const fitted::Fit& fit, linked::ItemId id, const std::vector<AxisValue>& only) {
    std::vector<AxisValue> all;
    const fitted::Item& item = fit.items[id.index()];
    if (!item.is.axis.known() || fit.axes[item.is.axis.index()].values.size() < 2) return all;
    for (std::uint32_t i = 0; i < item.instances; ++i) {
        const AxisValue value = fit.instances[item.first_instance + i].value;
        if (only.empty() || holds(only, value)) all.push_back(value);
    }
    return all;
}

bool always_stops(const Nodes& rows) {
    return std::any_of(rows.begin(), rows.end(), [](const Node& node) {
        switch (node.row->kind) {
        case RowKind::stop:
            return true;
        case RowKind::question:
            return always_stops(node.if_so) && always_stops(node.if_not);
        case RowKind::repeat:
            return always_stops(node.body);
        default:
            return false;
        }
    });
}

std::uint32_t first_number(const Node& first) {
    if (first.row->kind == RowKind::if_answered) return first_number(first.if_so);
    if (!first.body.empty()) return first_number(first.body);
    return first.number;
}

std::uint32_t first_number(const Nodes& rows) {
    return rows.empty() ? 0 : first_number(rows.front());
}

std::uint32_t last_number(const Nodes& rows) {
    if (rows.empty()) return 0;
    const Node& last = rows.back();
    for (const Nodes* inner : {&last.otherwise, &last.if_not, &last.if_so})
        if (!inner->empty()) return last_number(*inner);
    return last.number;
}

} // namespace benchleaf::card
