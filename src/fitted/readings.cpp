// Which readings have been taken when a decision rests on them, on every way that leads there. A procedure is looked at by itself, with those
// that it calls: whoever decides has the box with the reading on the card before him.
#include "fitted/readings.h"

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <utility>

namespace benchleaf::fitted {

namespace {

// The values of the item's axis on which a limit was read; nothing: on all.
using Values = std::optional<std::set<AxisValue>>;
using Taken = std::map<linked::LimitId, Values>;

void unite(Values& with, const Values& more) {
    if (!with) return;
    if (!more)
        with.reset();
    else
        with->insert(more->begin(), more->end());
}

void add(Taken& taken, linked::LimitId limit, const Values& values) {
    const auto [at, fresh] = taken.try_emplace(limit, values);
    if (!fresh) unite(at->second, values);
}

void add(Taken& taken, const Taken& more) {
    for (const auto& [limit, values] : more) add(taken, limit, values);
}

Taken on_both(const Taken& a, const Taken& b) {
    Taken both;
    for (const auto& [limit, values] : a) {
        const auto other = b.find(limit);
        if (other == b.end()) continue;
        if (!values) {
            both.emplace(limit, other->second);
        } else if (!other->second) {
            both.emplace(limit, values);
        } else {
            std::set<AxisValue> common;
            std::set_intersection(values->begin(), values->end(), other->second->begin(), other->second->end(),
                                  std::inserter(common, common.end()));
            if (!common.empty()) both.emplace(limit, std::move(common));
        }
    }
    return both;
}

class Walk {
public:
    Walk(const Fit& fit, const std::function<void(const Unmeasured&)>& report) : fit_(fit), report_(report) {}

    const Taken& procedure(ProcedureIndex index) {
        const auto [at, fresh] = done_.try_emplace(index);
        if (!fresh) return at->second; // a ring of calls was refused before
        Taken taken;
        auto outer = std::exchange(answers_, {});
        for (const Section& section : fit_.procedures[index.index()].sections)
            if (!rows(section.rows, taken)) break;
        answers_ = std::move(outer);
        return done_[index] = std::move(taken);
    }

private:
    struct Answered {
        Taken yes, no;
    };

    // False when every way through them stops.
    bool rows(const Rows& all, Taken& taken) {
        for (const Row& row : all)
            if (!one(row, taken)) return false;
        return true;
    }

    bool one(const Row& row, Taken& taken) {
        switch (row.kind) {
        case RowKind::hole:
        case RowKind::plain:
            return true;
        case RowKind::stop:
            return false;
        case RowKind::verb:
            if (row.calls.known()) add(taken, procedure(row.calls));
            for (const LimitUse& use : row.limits) add(taken, use.figure.limit, read_on(row, use));
            return true;
        case RowKind::question: {
            judge(row, taken);
            Taken yes = taken;
            Taken no = taken;
            const bool goes_yes = rows(row.if_so, yes);
            const bool goes_no = rows(row.if_not, no);
            if (row.answer_used) answers_.insert_or_assign(row.id, Answered{yes, no});
            taken = !goes_yes ? std::move(no) : !goes_no ? std::move(yes) : on_both(yes, no);
            return goes_yes || goes_no;
        }
        case RowKind::if_answered: {
            Taken inner = taken;
            for (const linked::Answer& answer : row.answers) {
                const auto asked = answers_.find(answer.question);
                if (asked != answers_.end()) add(inner, answer.yes ? asked->second.yes : asked->second.no);
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

    static Values read_on(const Row& row, const LimitUse& use) {
        if (!row.only.empty()) return std::set<AxisValue>(row.only.begin(), row.only.end());
        std::set<AxisValue> values;
        for (const Target& target : row.targets) {
            if (std::find(use.of.begin(), use.of.end(), target.item) == use.of.end()) continue;
            if (target.values.empty()) return std::nullopt;
            values.insert(target.values.begin(), target.values.end());
        }
        if (values.empty()) return std::nullopt;
        return values;
    }

    void judge(const Row& row, const Taken& taken) {
        for (const LimitUse& use : row.limits) {
            const auto found = taken.find(use.figure.limit);
            if (found != taken.end() && !found->second) continue;
            Unmeasured finding{&use, {}};
            if (found != taken.end()) {
                std::set<AxisValue> wanted(row.only.begin(), row.only.end());
                if (wanted.empty())
                    for (const ItemId item : use.of) {
                        const Item& is = fit_.items[item.index()];
                        for (std::uint32_t i = 0; i < is.instances; ++i)
                            wanted.insert(fit_.instances[is.first_instance + i].value);
                    }
                std::set_difference(wanted.begin(), wanted.end(), found->second->begin(), found->second->end(),
                                    std::back_inserter(finding.lacking));
                if (finding.lacking.empty()) continue;
            }
            report_(finding);
        }
    }

    const Fit& fit_;
    const std::function<void(const Unmeasured&)>& report_;
    std::map<ProcedureIndex, Taken> done_;
    std::map<linked::StepId, Answered> answers_; // of the procedure that is walked
};

} // namespace

void find_unmeasured(const Fit& fit, const std::function<void(const Unmeasured&)>& report) {
    Walk walk(fit, report);
    for (std::size_t i = 0; i < fit.procedures.size(); ++i) walk.procedure(ProcedureIndex(i));
}

} // namespace benchleaf::fitted
