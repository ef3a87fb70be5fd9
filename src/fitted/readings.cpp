// Which readings have been taken when a decision rests on them, on every way that leads there. A procedure is looked at by itself, with those
// that it calls: whoever decides has the box with the reading on the card before him.
#include "fitted/readings.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <optional>
#include <set>
#include <utility>

namespace benchleaf::fitted {

namespace {

// The values of its axis on which a limit was read; nothing: on all.
using Values = std::optional<std::set<AxisValue>>;
struct Reading {
    linked::AxisId axis; // of what the limit is of
    Values values;
};
using Taken = std::map<linked::LimitId, Reading>;

Values both(const Values& a, const Values& b) {
    if (!a) return b;
    if (!b) return a;
    std::set<AxisValue> common;
    std::set_intersection(a->begin(), a->end(), b->begin(), b->end(), std::inserter(common, common.end()));
    return common;
}

void add(Taken& taken, const Taken& more) {
    for (const auto& [limit, reading] : more) {
        const auto [at, fresh] = taken.try_emplace(limit, reading);
        if (fresh || !at->second.values) continue;
        if (!reading.values)
            at->second.values.reset();
        else
            at->second.values->insert(reading.values->begin(), reading.values->end());
    }
}

Taken on_both(const Taken& a, const Taken& b) {
    Taken common;
    for (const auto& [limit, reading] : a)
        if (const auto other = b.find(limit); other != b.end())
            common.emplace(limit, Reading{reading.axis, both(reading.values, other->second.values)});
    return common;
}

class Walk {
public:
    Walk(const Fit& fit, const std::function<void(const Unmeasured&)>& report,
         const std::function<void(const HalfLooked&)>& half_looked)
        : fit_(fit), report_(report), half_looked_(half_looked) {}

    const Taken& procedure(ProcedureIndex index) {
        const auto [at, fresh] = done_.try_emplace(index);
        if (!fresh) return at->second; // a ring of calls was refused before
        Taken taken;
        const Now outer = std::exchange(now_, {index, fit_.procedures[index.index()].axis, {}, {}, {}});
        for (const Section& section : fit_.procedures[index.index()].sections)
            if (!rows(section.rows, taken)) break;
        now_ = outer;
        return done_[index] = std::move(taken);
    }

    // Where nothing decides by a limit at all, that is told of the shop as a whole.
    void tell_undecided(const std::function<void(const Lone&)>& report) const {
        for (const auto& [use, values] : read_) {
            const auto decided = decided_.find(use->figure.limit);
            if (decided == decided_.end()) continue;
            Lone finding{use, {}};
            std::set_difference(values.begin(), values.end(), decided->second.begin(), decided->second.end(),
                                std::back_inserter(finding.values));
            if (!finding.values.empty()) report(finding);
        }
    }

    // Where something decides by it on others as well, it is told that those were not read.
    void tell_undiffering(const std::function<void(const Lone&)>& report) const {
        std::map<linked::LimitId, std::set<AxisValue>> all = decided_;
        for (const auto& [use, values] : read_) all[use->figure.limit].insert(values.begin(), values.end());
        for (const auto& [use, values] : read_)
            if (use->figure.figures.difference && all.at(use->figure.limit).size() < 2)
                report({use, {values.begin(), values.end()}});
    }

private:
    struct Answered {
        Taken yes, no;
    };
    struct Look {
        const Row* row;
        Values only; // as below
    };
    struct Now { // in the procedure that is walked
        ProcedureIndex in;
        linked::AxisId axis;
        Values only; // the values of its axis that the row is for, and those around it
        std::map<linked::StepId, Answered> answers;
        std::map<linked::StepId, Look> looks;
    };

    // False when every way through them stops.
    bool rows(const Rows& all, Taken& taken) {
        for (const Row& row : all) {
            const Values outer = now_.only;
            if (!row.only.empty()) now_.only = both(outer, std::set<AxisValue>(row.only.begin(), row.only.end()));
            const bool goes_on = one(row, taken);
            now_.only = outer;
            if (!goes_on) return false;
        }
        return true;
    }

    bool one(const Row& row, Taken& taken) {
        switch (row.kind) {
        case RowKind::hole:
        case RowKind::plain:
            return true;
        case RowKind::stop:
            return false;
        case RowKind::verb: {
            if (row.verb == model::VerbName::inspect) now_.looks.insert_or_assign(row.id, Look{&row, now_.only});
            Taken more = row.calls.known() ? procedure(row.calls) : Taken();
            for (const LimitUse& use : row.limits) more.insert_or_assign(use.figure.limit, read_by(row, use));
            for (auto& [limit, reading] : more)
                if (reading.axis == now_.axis) reading.values = both(reading.values, now_.only);
            for (const LimitUse& use : row.limits)
                if (const Reading& reading = more.at(use.figure.limit); reading.axis.known())
                    read_.emplace_back(&use, reading.values ? *reading.values : values_of(use));
            add(taken, more);
            return true;
        }
        case RowKind::question: {
            judge(row, taken);
            Taken yes = taken;
            Taken no = taken;
            const bool goes_yes = rows(row.if_so, yes);
            const bool goes_no = rows(row.if_not, no);
            if (row.answer_used) now_.answers.insert_or_assign(row.id, Answered{yes, no});
            taken = !goes_yes ? std::move(no) : !goes_no ? std::move(yes) : on_both(yes, no);
            return goes_yes || goes_no;
        }
        case RowKind::if_answered: {
            Taken inner = taken;
            for (const linked::Answer& answer : row.answers) {
                const auto asked = now_.answers.find(answer.question);
                if (asked != now_.answers.end()) add(inner, answer.yes ? asked->second.yes : asked->second.no);
            }
            rows(row.if_so, inner);
            return true;
        }
        case RowKind::repeat: {
            if (!rows(row.body, taken)) return false;
            judge(row, taken);
            Taken inner = taken;
            rows(row.otherwise, inner);
            return true;
        }
        }
        return true;
    }

    linked::AxisId axis_of(const LimitUse& use) const {
        for (const ItemId item : use.of)
            if (fit_.items[item.index()].is.axis.known()) return fit_.items[item.index()].is.axis;
        return {};
    }

    Reading read_by(const Row& row, const LimitUse& use) const {
        Reading reading{axis_of(use), std::set<AxisValue>()};
        for (const Target& target : row.targets) {
            if (std::find(use.of.begin(), use.of.end(), target.item) == use.of.end()) continue;
            if (target.values.empty()) return {reading.axis, std::nullopt};
            reading.values->insert(target.values.begin(), target.values.end());
        }
        if (reading.values->empty()) reading.values.reset();
        return reading;
    }

    std::set<AxisValue> wanted(const LimitUse& use) const {
        if (now_.only && axis_of(use) == now_.axis) return *now_.only;
        return values_of(use);
    }

    std::set<AxisValue> values_of(const LimitUse& use) const {
        std::set<AxisValue> all;
        for (const ItemId item : use.of) all.merge(all_of(fit_.items[item.index()]));
        return all;
    }

    // Of each thing that it goes by, what all the looks at it have seen together.
    void judge_looks(const Row& row) const {
        struct Seen {
            const Row* look;
            std::set<AxisValue> values;
        };
        std::map<ItemId, Seen> seen;
        for (const linked::StepId id : row.inspections) {
            const auto look = now_.looks.find(id);
            if (look == now_.looks.end()) continue;
            for (const Target& target : look->second.row->targets) {
                const Item& item = fit_.items[target.item.index()];
                if (!item.is.axis.known()) continue;
                Values values = target.values.empty()
                                    ? std::nullopt
                                    : Values(std::set<AxisValue>(target.values.begin(), target.values.end()));
                if (item.is.axis == now_.axis) values = both(values, look->second.only);
                Seen& all = seen[target.item];
                all.look = look->second.row;
                if (!values) values = all_of(item);
                all.values.insert(values->begin(), values->end());
            }
        }
        for (const auto& [id, all] : seen) {
            const Item& item = fit_.items[id.index()];
            const std::set<AxisValue> wanted = now_.only && item.is.axis == now_.axis ? *now_.only : all_of(item);
            HalfLooked finding{&row, all.look, id, {}};
            std::set_difference(wanted.begin(), wanted.end(), all.values.begin(), all.values.end(),
                                std::back_inserter(finding.lacking));
            if (!finding.lacking.empty()) half_looked_(finding);
        }
    }
    std::set<AxisValue> all_of(const Item& item) const {
        std::set<AxisValue> all;
        for (std::uint32_t i = 0; i < item.instances; ++i) all.insert(fit_.instances[item.first_instance + i].value);
        return all;
    }

    void judge(const Row& row, const Taken& taken) {
        judge_looks(row);
        for (const LimitUse& use : row.limits) {
            decided_[use.figure.limit].merge(wanted(use));
            const auto found = taken.find(use.figure.limit);
            if (found != taken.end() && !found->second.values) continue;
            Unmeasured finding{now_.in, &row, &use, {}};
            if (found != taken.end()) {
                const std::set<AxisValue> all = wanted(use);
                std::set_difference(all.begin(), all.end(), found->second.values->begin(), found->second.values->end(),
                                    std::back_inserter(finding.lacking));
                if (finding.lacking.empty()) continue;
            }
            report_(finding);
        }
    }

    const Fit& fit_;
    const std::function<void(const Unmeasured&)>& report_;
    const std::function<void(const HalfLooked&)>& half_looked_;
    std::map<ProcedureIndex, Taken> done_;
    std::vector<std::pair<const LimitUse*, std::set<AxisValue>>> read_;
    std::map<linked::LimitId, std::set<AxisValue>> decided_;
    Now now_;
};

} // namespace

void judge_readings(const Fit& fit, const std::function<void(const Unmeasured&)>& unmeasured,
                    const std::function<void(const Lone&)>& undecided,
                    const std::function<void(const Lone&)>& undiffering,
                    const std::function<void(const HalfLooked&)>& half_looked) {
    Walk walk(fit, unmeasured, half_looked);
    for (std::size_t i = 0; i < fit.procedures.size(); ++i) walk.procedure(ProcedureIndex(i));
    walk.tell_undecided(undecided);
    walk.tell_undiffering(undiffering);
}

linked::LimitId read_instead(const Row& repeat) {
    std::set<linked::LimitId> read;
    for (const Row& row : repeat.body) {
        if (row.kind == RowKind::verb && row.calls.known()) return {}; // which may read more
        if (row.kind == RowKind::verb)
            for (const LimitUse& use : row.limits) read.insert(use.figure.limit);
    }
    const bool by_read = std::any_of(repeat.limits.begin(), repeat.limits.end(),
                                     [&](const LimitUse& use) { return read.contains(use.figure.limit); });
    return repeat.kind != RowKind::repeat || by_read || read.size() != 1 ? linked::LimitId() : *read.begin();
}

} // namespace benchleaf::fitted
