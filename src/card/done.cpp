#include "card/done.h"

#include "linked/deeds.h"

#include <algorithm>

namespace benchleaf::card {

namespace {

using fitted::AxisValue;
using model::Debt;
using model::Effect;

using Answers = std::vector<Answered>;

bool holds(const Answers& answers, const Answered& one) {
    return std::find(answers.begin(), answers.end(), one) != answers.end();
}

std::optional<Answered> opposite(Answered one) {
    using How = Answered::How;
    if (one.how == How::over) return std::nullopt;
    one.how = one.how == How::yes ? How::no : How::yes;
    return one;
}

bool contradict(const Answers& answers) {
    return std::any_of(answers.begin(), answers.end(), [&](const Answered& one) {
        const auto other = opposite(one);
        return other && holds(answers, *other);
    });
}

class Gatherer {
public:
    Gatherer(const fitted::Fit& fit, const linked::Linked& linked, const Unfolded& unfolded)
        : fit_(fit), linked_(linked), unfolded_(unfolded) {}

    void rows(const Nodes& nodes) {
        for (const Node& node : nodes) {
            rows(node.body);
            if (node.row->kind == fitted::RowKind::verb && node.leaves_shop) verb(node);
            for (const Nodes* inner : {&node.if_so, &node.if_not, &node.otherwise}) rows(*inner);
        }
    }

    std::vector<Done> all;

private:
    // What a row is done to; a reading also to the adjustments that it proves.
    std::vector<fitted::Target> objects(const fitted::Row& row) const {
        std::vector<fitted::Target> made = row.targets;
        if (row.verb != model::VerbName::measure) return made;
        for (const fitted::LimitUse& use : row.limits) {
            if (!use.figure.limit.known()) continue;
            for (const linked::ItemId proved : linked_.limits[use.figure.limit.index()].proves) {
                fitted::Target target;
                target.item = proved;
                made.push_back(std::move(target));
            }
        }
        return made;
    }

    // On which values of its axis a row is done to an item.
    std::vector<AxisValue> values(const Node& node, const fitted::Target& target) const {
        auto on = values_of(fit_, target.item, target.values);
        const Place& place = unfolded_.places[node.place];
        if (place.bound && fit_.items[target.item.index()].is.axis == place.procedure->axis)
            std::erase_if(on, [&](AxisValue value) {
                return std::find(node.values.begin(), node.values.end(), value) == node.values.end();
            });
        return on;
    }

    void verb(const Node& node) {
        for (const fitted::Target& target : objects(*node.row)) {
            if (!target.item.known() || !fit_.items[target.item.index()].present) continue;
            const linked::Item& item = fit_.items[target.item.index()].is;
            const model::Deed* deed = linked::deed_for(model::verb(node.row->verb), item.sort, target.place);
            if (deed == nullptr) continue;
            auto on = values(node, target);
            if (on.empty()) {
                if (!values_of(fit_, target.item).empty()) continue; // narrowed to a side where it is not
                on.push_back(fitted::no_value);
            }
            for (const AxisValue value : on) done(node, *deed, target, item, value);
        }
    }

    void done(const Node& node, const model::Deed& deed, const fitted::Target& target, const linked::Item& item,
              AxisValue value) {
        Done one;
        one.item = target.item;
        one.value = value;
        one.when = node.when;
        const auto add = [&](Done::What what) {
            one.what = what;
            all.push_back(one);
        };
        if (deed.to != model::Leaves::same) add(Done::What::moved);
        for (const Effect effect : deed.effects) {
            static constexpr std::pair<Effect, Debt> pays[] = {
                {Effect::pay_fill, Debt::fill},
                {Effect::pay_prime, Debt::prime},
                {Effect::pay_circulate, Debt::circulate},
                {Effect::pay_level, Debt::level},
                {Effect::pay_leak_check, Debt::leak_check},
                {Effect::pay_adjust, Debt::adjust},
            };
            for (const auto& [pay, debt] : pays) {
                if (effect != pay) continue;
                one.debt = debt;
                add(Done::What::paid);
            }
            if (effect == Effect::torqued) {
                add(Done::What::torqued);
                if (deed.to != model::Leaves::same) add(Done::What::torqued_new);
            } else if (effect == Effect::pay_locker && node.row->step->consumable == item.threadlock) {
                one.locker = item.threadlock;
                add(Done::What::locker);
            } else if (effect == Effect::pay_bleed && item.vents.known()) {
                Done bled = one;
                bled.what = Done::What::paid;
                bled.debt = Debt::bleed;
                bled.item = item.vents;
                bled.vent = target.item;
                all.push_back(bled);
            } else if (effect == Effect::pay_prove) {
                proved(one);
            }
        }
    }

    // A reading proves an adjustment where that was made before it: on the answers that lead to both.
    void proved(Done one) {
        one.what = Done::What::paid;
        one.debt = Debt::prove;
        std::vector<Done> more;
        for (const Done& before : all) {
            if (before.what != Done::What::paid || before.debt != Debt::adjust || before.item != one.item ||
                before.value != one.value)
                continue;
            Done both = one;
            for (const Answered& each : before.when)
                if (!holds(both.when, each)) both.when.push_back(each);
            if (!contradict(both.when)) more.push_back(std::move(both));
        }
        all.insert(all.end(), more.begin(), more.end());
    }

    const fitted::Fit& fit_;
    const linked::Linked& linked_;
    const Unfolded& unfolded_;
};

const Node* question(const Nodes& rows, std::uint32_t number) {
    for (const Node& node : rows) {
        if (node.number == number) return &node;
        for (const Nodes* inner : {&node.body, &node.if_so, &node.if_not, &node.otherwise})
            if (const Node* found = question(*inner, number)) return found;
    }
    return nullptr;
}

} // namespace

When simplified(When when) {
    for (Answers& each : when) {
        std::sort(each.begin(), each.end());
        each.erase(std::unique(each.begin(), each.end()), each.end());
    }
    const auto within = [](const Answers& small, const Answers& large) {
        return std::includes(large.begin(), large.end(), small.begin(), small.end());
    };
    for (bool shorter = true; shorter;) {
        shorter = false;
        std::sort(when.begin(), when.end());
        when.erase(std::unique(when.begin(), when.end()), when.end());
        for (std::size_t i = 0; i < when.size() && !shorter; ++i) {
            for (std::size_t k = 0; k < when.size() && !shorter; ++k) {
                if (i == k) continue;
                if (within(when[i], when[k])) { // said already
                    when.erase(when.begin() + static_cast<std::ptrdiff_t>(k));
                    shorter = true;
                    break;
                }
                // Where i holds but for one answer, and k on the opposite one, that answer does not matter to k.
                for (const Answered& one : when[i]) {
                    const auto other = opposite(one);
                    if (!other || !holds(when[k], *other)) continue;
                    Answers rest = when[i];
                    std::erase(rest, one);
                    if (!within(rest, when[k])) continue;
                    std::erase(when[k], *other);
                    shorter = true;
                    break;
                }
            }
        }
    }
    return when;
}

std::vector<Done> what_is_done(const fitted::Fit& fit, const linked::Linked& linked, const Unfolded& unfolded) {
    Gatherer gatherer(fit, linked, unfolded);
    gatherer.rows(unfolded.rows);
    return std::move(gatherer.all);
}

std::vector<Alike> alike(const std::vector<const Done*>& all) {
    std::map<AxisValue, When> by_value;
    for (const Done* one : all) by_value[one->value].push_back(one->when);
    std::vector<Alike> made;
    for (auto& [value, when] : by_value) {
        when = simplified(std::move(when));
        auto same =
            std::find_if(made.begin(), made.end(), [&, &w = when](const Alike& each) { return each.when == w; });
        if (same == made.end()) same = made.insert(made.end(), {{}, when});
        if (value != fitted::no_value) same->values.push_back(value);
    }
    return made;
}

Answers told(const Answers& answers, const Unfolded& unfolded) {
    Answers left = answers;
    for (const Answered& one : answers) {
        const Node* asked = question(unfolded.rows, one.step);
        if (asked == nullptr) continue;
        std::erase_if(left, [&](const Answered& each) { return each.step != one.step && holds(asked->when, each); });
    }
    return left;
}

} // namespace benchleaf::card
