#include "base/text.h"
#include "linked/look_over.h"
#include "linked/reports.h"
#include "linked/swapped.h"

#include <algorithm>
#include <initializer_list>
#include <iterator>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::linked {

namespace {

void find_bad_goes_on(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::bad_goes_on = {
    {"bad-goes-on", messages::Level::warning,
     "what is bad on brake, wheel, steering or suspension is written down or put back, and the work goes on"},
    find_bad_goes_on};

namespace {

using V = model::VerbName;

bool is_in(const Step& step, std::initializer_list<V> verbs) {
    return step.kind == StepKind::verb && std::find(verbs.begin(), verbs.end(), step.verb) != verbs.end();
}

// What a decision found bad.
struct BadThing {
    std::set<ItemId> items;
    bool washable = false; // looked at, and what is only dirty or dry is right again once it is cleaned or greased
};

// What is looked for may be gone once it is cleaned or greased. A crack, a bend and play are not, and oil that comes out comes again.
bool may_be_washed(const Linked& linked, const Step& look) {
    const auto& look_for = look.source->look_for;
    if (!look_for) return true;
    if (linked.shop != nullptr && linked.shop->language && !linked.shop->language->value.starts_with("en")) return true;
    const std::string words = base::small_letters(look_for->value);
    static constexpr std::string_view washed_away[] = {
        "dirt",    "dust",  "rust",  "dry",   "soot", "glaze", "stick", "mud",   "crust", "scale", "clog",
        "deposit", "grime", "stiff", "swarf", "grit", "burr",  "paint", "corro", "catch", "squeak"};
    return std::any_of(std::begin(washed_away), std::end(washed_away),
                       [&](std::string_view word) { return words.find(word) != std::string::npos; });
}

// Is something about it done, however little? Looking, waiting and writing bring nothing right, nor does what only makes room, or puts back
// what was there before.
class Mending {
public:
    Mending(const Linked& linked, const Steps& steps, const BadThing& bad, int depth = 0)
        : linked_(linked), steps_(steps), bad_(bad), depth_(depth) {
        std::set<ItemId> off;
        std::set<ItemId> worked_on;
        each_step(steps, [&](const Step& step) {
            for (const Target& target : step.targets) {
                if (is_in(step, {V::remove, V::fit})) put_back_.insert(target.item);
                if (is_in(step, {V::remove})) off.insert(target.item);
                if (is_in(step, {V::renew, V::clean})) worked_on.insert(target.item);
                same_goes_back_ =
                    same_goes_back_ ||
                    (is_in(step, {V::fit}) && off.contains(target.item) && bad.items.contains(target.item) &&
                     !worked_on.contains(target.item) && !linked.items[target.item.index()].renew_together.empty());
            }
        });
    }

    bool found() const { return found_in(steps_); }

private:
    // On every answer? Of a question nobody knows which answer is the good one, so one that stops will do where something was done before it
    // ("Bend it straight. Is it straight?").
    bool found_in(const Steps& steps, bool worked = false) const {
        for (const Step& step : steps) {
            switch (step.kind) {
            case StepKind::hole:
            case StepKind::stop:
            case StepKind::again:
                return true;
            case StepKind::verb:
                if (mends(step)) return true;
                worked = worked || step.verb != V::record;
                break;
            case StepKind::plain:
                worked = true;
                break;
            case StepKind::ask: {
                // What is renewed as a set and goes back as it came: whatever is asked then is asked of something else.
                if (same_goes_back_) break;
                const bool yes = found_in(step.if_so, worked);
                const bool no = found_in(step.if_not, worked);
                if ((yes && no) || ((yes || no) && worked)) return true;
                break;
            }
            case StepKind::decide:
                if (found_in(step.if_not, worked)) return true;
                break;
            case StepKind::if_answered:
                if (found_in(step.steps, worked)) return true;
                break;
            }
        }
        return false;
    }
    bool found_in_called(const Step& step) const {
        constexpr int deepest = 24; // beyond, told
        if (!step.procedure.known() || depth_ >= deepest) return true;
        const std::vector<Section>& sections = linked_.procedures[step.procedure.index()].sections;
        return std::any_of(sections.begin(), sections.end(), [&](const Section& section) {
            return Mending(linked_, section.steps, bad_, depth_ + 1).found();
        });
    }
    bool mends(const Step& step) const {
        if (is_in(step, {V::measure, V::inspect, V::record, V::wait, V::mark, V::recheck, V::set, V::press_back,
                         V::slacken, V::remove, V::move, V::open, V::prime, V::circulate, V::level, V::leak_check}))
            return false;
        if (step.verb == V::fit)
            return std::any_of(step.targets.begin(), step.targets.end(),
                               [&](const Target& target) { return target.item.known() && is_new(target.item); });
        if (is_in(step, {V::torque, V::snug}))
            return std::any_of(step.targets.begin(), step.targets.end(),
                               [&](const Target& target) { return !put_back_.contains(target.item); });
        if (step.verb == V::renew)
            return std::any_of(step.targets.begin(), step.targets.end(),
                               [&](const Target& target) { return target.item.known() && belongs(target.item); });
        if (step.verb == V::do_procedure) return found_in_called(step);
        return bad_.washable || !is_in(step, {V::clean, V::apply});
    }
    // One of those that are bad, what is renewed with it, what it hangs on or sits in, and what sits in it.
    bool belongs(ItemId id) const {
        const auto has = [](const std::vector<ItemId>& all, ItemId one) {
            return std::find(all.begin(), all.end(), one) != all.end();
        };
        const Item& item = linked_.items[id.index()];
        return std::any_of(bad_.items.begin(), bad_.items.end(), [&](ItemId each) {
            const Item& bad = linked_.items[each.index()];
            const bool part_or_bolt = bad.sort == Sort::part || bad.sort == Sort::fastener || bad.sort == Sort::clip;
            return each == id || !part_or_bolt || has(bad.renew_together, id) || has(item.renew_together, each) ||
                   has(bad.renew_with, id) || has(bad.held_by, id) || has(bad.holds, id) || bad.inside == id ||
                   item.inside == each || has(bad.disturbed_by, id) || has(bad.behind, id) || bad.locks == id ||
                   item.locks == each || has(item.held_by, each);
        });
    }
    // What is never used again is new whenever it goes in, and so is what comes with it.
    bool is_new(ItemId id) const {
        const Item& item = linked_.items[id.index()];
        for (const auto& reuse : {item.part.reuse, item.fastener.reuse})
            if (reuse && reuse->value == model::Reuse::never && (item.sort == Sort::part || bad_.items.contains(id)))
                return true;
        return std::any_of(item.renew_with.begin(), item.renew_with.end(),
                           [&](ItemId with) { return bad_.items.contains(with); });
    }

    const Linked& linked_;
    const Steps& steps_;
    const BadThing& bad_;
    const int depth_;           // of `do` within `do`
    std::set<ItemId> put_back_; // taken off or fitted here: its torque is part of that
    bool same_goes_back_ = false;
};

bool does_something(const Linked& linked, const Steps& steps, const BadThing& bad) {
    return Mending(linked, steps, bad).found();
}

class BadGoesOn {
public:
    BadGoesOn(const Linked& linked, const Procedure& procedure)
        : linked_(linked), procedure_(procedure), answered_no_(answered_with_no(procedure)) {
        each_step(procedure_, [&](const Step& step) { looked_.emplace(step.id, &step); });
        each_step(procedure_, [&](const Step& step) {
            for (const Answer& answer : step.answers)
                if (!answer.yes) later_[answer.question].push_back(&step.steps);
        });
        each_step(procedure_, [&](const Step& step) { find_good_already(step); });
        each_step(procedure_, [&](const Step& step) {
            if (step.kind != StepKind::again && step.kind != StepKind::decide) return;
            if (step.kind == StepKind::again && good_already_.contains(step.id)) return;
            for (const Basis& basis : step.basis)
                if (step.kind == StepKind::again || deals(step, basis)) dealt_.insert({basis.limit, basis.inspection});
        });
    }

    void judge(const Check& self, Messages& out) const {
        each_step(procedure_, [&](const Step& step) {
            if (step.kind != StepKind::decide || stop_when_good(step) != nullptr || // told otherwise
                righted_when_good(linked_, step, looked_, answered_no_).step != nullptr)
                return;
            for (const Basis& basis : step.basis) {
                const bool later = basis.inspection.known() && basis.inspection.index() > step.id.index();
                if ((!basis.limit.known() && !basis.inspection.known()) || later) continue; // told
                if (dealt_.contains({basis.limit, basis.inspection})) continue; // by this or another decision
                const std::set<ItemId> items = rests_on(linked_, basis, looked_);
                if (left_to_others(items) || renewed_anyhow(step, items)) continue;
                ItemId item = first_relied_on(items);
                if (!item.known()) item = first_relied_on(brought_right(linked_, basis, looked_)); // what it proves
                if (!item.known()) {
                    tell_put_back(step, basis, items, self, out);
                    continue;
                }
                const Item& is = linked_.items[item.index()];
                messages::Message& message =
                    out.add(self.rule, basis.span,
                            "where the " + is.name + " is bad, nothing brings it right and the work goes on");
                message.labels.push_back(relied_on(*relied_on_for(linked_, is)));
                const BadThing bad{items, false};
                const std::string back = fitted_among(step.if_not, items);
                message.help =
                    !back.empty() ? "add `- renew: " + back + "` before the `- fit: " + back + "` under `if-not`"
                    : step.if_not.empty() && does_something(linked_, step.if_so, bad)
                        ? "if the two ways are swapped, write `if-not` for `if-so`; else say under `if-not` what is "
                          "done where it is bad"
                        : "under `if-not`, `renew` or `adjust` it, `do` the procedure that does, or `stop`";
                break;
            }
        });
    }

private:
    ItemId first_relied_on(const std::set<ItemId>& items) const {
        const auto found = std::find_if(items.begin(), items.end(), [&](ItemId each) {
            return relied_on_for(linked_, linked_.items[each.index()]) != nullptr;
        });
        return found == items.end() ? ItemId() : *found;
    }
    // A repeat on the good way, until what was good already is good: the bad one never comes there.
    void find_good_already(const Step& decision) {
        if (decision.kind != StepKind::decide) return;
        each_step(decision.if_so, [&](const Step& step) {
            const auto same = [&](const Basis& until) {
                return std::any_of(decision.basis.begin(), decision.basis.end(), [&](const Basis& basis) {
                    return basis.limit == until.limit && basis.inspection == until.inspection;
                });
            };
            if (step.kind == StepKind::again && std::any_of(step.basis.begin(), step.basis.end(), same))
                good_already_.insert(step.id);
        });
    }
    bool deals(const Step& decision, const Basis& basis) const {
        const auto look = looked_.find(basis.inspection);
        const bool washable = look != looked_.end() && may_be_washed(linked_, *look->second);
        const BadThing bad{rests_on(linked_, basis, looked_), washable};
        if (does_something(linked_, decision.if_not, bad)) return true;
        const auto later = later_.find(decision.id);
        return later != later_.end() &&
               std::any_of(later->second.begin(), later->second.end(),
                           [&](const Steps* steps) { return does_something(linked_, *steps, bad); });
    }
    // Of what nobody's life hangs on, only what is sure: it comes off where it is bad, and goes back on with nothing done to it.
    void tell_put_back(const Step& decision, const Basis& basis, const std::set<ItemId>& items, const Check& self,
                       Messages& out) const {
        for (const Step& off : decision.if_not) {
            if (!is_in(off, {V::remove})) continue;
            for (const Target& target : off.targets) {
                if (!items.contains(target.item)) continue;
                const auto& reuse = linked_.items[target.item.index()].part.reuse;
                if (reuse && reuse->value == model::Reuse::never) continue; // another one goes on
                const Target* back = put_back(decision.if_not, off, target.item);
                if (back == nullptr) continue;
                const Item& is = linked_.items[target.item.index()];
                messages::Message& message = out.add(
                    self.rule, basis.span, "where the " + is.name + " is bad, it comes off and goes back on as it was");
                message.labels.push_back({target.span, "off"});
                message.labels.push_back({back->span, "and on"});
                message.help = "add `- renew: " + is.id + "` between the two, or say what is done to it";
                return;
            }
        }
    }
    static const Target* put_back(const Steps& way, const Step& off, ItemId item) {
        for (const Step* step = &off + 1; step != way.end(); ++step) {
            if (!is_in(*step, {V::remove, V::fit, V::slacken, V::snug, V::torque, V::move})) return nullptr;
            if (!is_in(*step, {V::fit})) continue;
            for (const Target& target : step->targets)
                if (target.item == item) return &target;
        }
        return nullptr;
    }
    // What goes back on, of those that are bad.
    std::string fitted_among(const Steps& way, const std::set<ItemId>& items) const {
        std::string back;
        each_step(way, [&](const Step& step) {
            if (!is_in(step, {V::fit})) return;
            for (const Target& target : step.targets)
                if (back.empty() && items.contains(target.item)) back = linked_.items[target.item.index()].id;
        });
        return back;
    }
    // All of them, further down, whatever was decided.
    bool renewed_anyhow(const Step& decision, const std::set<ItemId>& items) const {
        std::set<ItemId> renewed;
        for (const Section& section : procedure_.sections)
            for (const Step& step : section.steps)
                if (is_in(step, {V::renew}) && step.id.index() > decision.id.index() && step.only.empty() &&
                    !step.source->when)
                    for (const Target& target : step.targets) renewed.insert(target.item);
        return !items.empty() && std::includes(renewed.begin(), renewed.end(), items.begin(), items.end());
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
    std::map<StepId, std::vector<const Steps*>> later_; // what is done where the answer was no
    const std::set<StepId> answered_no_;
    std::set<StepId> good_already_;
    std::set<std::pair<LimitId, StepId>> dealt_;
};

void find_bad_goes_on(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures) BadGoesOn(linked, procedure).judge(self, out);
}

} // namespace
} // namespace benchleaf::linked
