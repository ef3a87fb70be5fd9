#include "linked/look_over.h"
#include "linked/reports.h"

#include <algorithm>
#include <set>

namespace benchleaf::linked {

namespace {

void find_bad_goes_on(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::bad_goes_on = {
    {"bad-goes-on", messages::Level::warning,
     "what is bad on brake, wheel, steering or suspension is written down, and the work goes on"},
    find_bad_goes_on};

namespace {

// Anything is done about it, however little. Looking, waiting and writing bring nothing right, nor does what only makes room.
bool does_something(const Steps& steps) {
    bool does = false;
    each_step(steps, [&](const Step& step) {
        using V = model::VerbName;
        static constexpr V idle[] = {V::measure, V::inspect,    V::record,  V::wait,   V::mark, V::recheck,
                                     V::set,     V::press_back, V::slacken, V::remove, V::move};
        const bool works = std::find(std::begin(idle), std::end(idle), step.verb) == std::end(idle);
        does = does || step.kind == StepKind::hole || step.kind == StepKind::stop || step.kind == StepKind::again ||
               (step.kind == StepKind::verb && works);
    });
    return does;
}

class BadGoesOn {
public:
    BadGoesOn(const Linked& linked, const Procedure& procedure) : linked_(linked), procedure_(procedure) {
        each_step(procedure_, [&](const Step& step) {
            looked_.emplace(step.id, &step);
            for (const Answer& answer : step.answers)
                if (!answer.yes && does_something(step.steps)) done_later_.insert(answer.question);
        });
        each_step(procedure_, [&](const Step& step) {
            const bool dealt = step.kind == StepKind::again || (step.kind == StepKind::decide && deals(step));
            if (!dealt) return;
            for (const Basis& basis : step.basis) dealt_.insert({basis.limit, basis.inspection});
        });
    }

    void judge(const Check& self, Messages& out) const {
        each_step(procedure_, [&](const Step& step) {
            if (step.kind != StepKind::decide || deals(step)) return;
            for (const Basis& basis : step.basis) {
                const bool later = basis.inspection.known() && basis.inspection.index() > step.id.index();
                if ((!basis.limit.known() && !basis.inspection.known()) || later) continue; // told
                if (dealt_.contains({basis.limit, basis.inspection})) continue;             // by another decision
                const std::set<ItemId> items = rests_on(linked_, basis, looked_);
                const auto item = std::find_if(items.begin(), items.end(),
                                               [&](ItemId each) { return bears_people(linked_.items[each.index()]); });
                if (item == items.end() || left_to_others(items)) continue;
                const Item& is = linked_.items[item->index()];
                messages::Message& message =
                    out.add(self.rule, basis.span,
                            "where the " + is.name + " is bad, nothing is done to it and the work goes on");
                message.labels.push_back({is.part.system->span, "people rely on it"});
                message.help = "under `if-not`, `renew` or `adjust` it, `do` the procedure that does, or `stop`";
                break;
            }
        });
    }

private:
    bool deals(const Step& decision) const {
        return does_something(decision.if_not) || done_later_.contains(decision.id);
    }
    // The next procedure finds it out of its place, and does not put it back as it is.
    bool left_to_others(const std::set<ItemId>& items) const {
        return std::any_of(procedure_.ends_with.begin(), procedure_.ends_with.end(), [&](const Entering& left) {
            return left.has_place && left.place != 0 && items.contains(left.item);
        });
    }

    const Linked& linked_;
    const Procedure& procedure_;
    Looked looked_;
    std::set<StepId> done_later_;
    std::set<std::pair<LimitId, StepId>> dealt_;
};

void find_bad_goes_on(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures) BadGoesOn(linked, procedure).judge(self, out);
}

} // namespace
} // namespace benchleaf::linked
