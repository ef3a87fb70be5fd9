#include "base/text.h"
#include "linked/look_over.h"
#include "linked/reports.h"
#include "model/verbs.h"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

namespace benchleaf::linked {

namespace {

void find_narrowed_alone(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::narrowed_alone = {
    {"narrowed-alone", messages::Level::warning,
     "a thing is worked on everywhere, and greased, cleaned, renewed or looked at on one side only"},
    find_narrowed_alone};

namespace {

// What the proof does not miss where it is left out.
bool leaves_no_mark(model::VerbName verb) {
    return verb == model::VerbName::apply || verb == model::VerbName::clean || verb == model::VerbName::inspect ||
           verb == model::VerbName::renew;
}

std::vector<ItemId> handled(const Step& step) {
    std::vector<ItemId> items = step.to;
    for (const Target& target : step.targets) items.push_back(target.item);
    return items;
}

class NarrowedAlone {
public:
    NarrowedAlone(const Linked& linked, const Procedure& procedure) : linked_(linked) {
        for (const Section& section : procedure.sections) gather(section.steps, nullptr);
    }

    void judge(const Check& self, Messages& out) const {
        for (const Narrow& narrow : narrow_) {
            const Item& item = linked_.items[narrow.item.index()];
            const model::VerbName verb = narrow.step->verb;
            const ConsumableId consumable = narrow.step->consumable;
            const bool elsewhere = std::any_of(narrow_.begin(), narrow_.end(), [&](const Narrow& other) {
                return other.item == narrow.item && other.step->verb == verb && other.step->consumable == consumable &&
                       other.only->values != narrow.only->values;
            });
            const auto worked = everywhere_.find(narrow.item);
            if (elsewhere || worked == everywhere_.end() || alike_.contains({verb, consumable, narrow.item})) continue;
            messages::Message& message =
                out.add(self.rule, narrow.only->span,
                        "the " + item.name + " is " + std::string(model::verb(verb).done) + " " +
                            base::join_and(narrow.only->values) + " only, and worked on everywhere");
            message.labels.push_back({worked->second, "everywhere here"});
            message.help = "take the `only` out, or add the step for the others";
        }
    }

private:
    struct Narrow {
        const Step* step;
        const Only* only;
        ItemId item;
    };

    void gather(const Steps& steps, const Only* outer) {
        for (const Step& step : steps) {
            const Only* only = step.only.empty() ? outer : &step.only.front();
            for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise}) gather(*below, only);
            if (step.kind != StepKind::verb || step.source->when) continue;
            for (const ItemId id : handled(step)) see(step, only, outer, id);
        }
    }

    void see(const Step& step, const Only* only, const Only* outer, ItemId id) {
        if (!id.known()) return;
        const Item& item = linked_.items[id.index()];
        if (!item.axis.known()) return;
        const bool narrow = only != nullptr && only->axis == item.axis;
        // What it owes, the proof misses.
        if (step.verb == model::VerbName::apply &&
            (step.consumable == item.lubricant || step.consumable == item.threadlock))
            return;
        if (leaves_no_mark(step.verb)) {
            if (!narrow) alike_.insert({step.verb, step.consumable, id});
            // What lies in a step that is narrowed is work on that side; what is renewed together, the proof misses.
            else if (only != outer && (step.verb != model::VerbName::renew || item.renew_together.empty()))
                narrow_.push_back({&step, only, id});
        } else if (!narrow && step.verb != model::VerbName::measure) {
            const auto target = std::find_if(step.targets.begin(), step.targets.end(),
                                             [&](const Target& each) { return each.item == id; });
            if (target != step.targets.end()) everywhere_.try_emplace(id, target->span);
        }
    }

    const Linked& linked_;
    std::vector<Narrow> narrow_;
    std::map<ItemId, Span> everywhere_;
    std::set<std::tuple<model::VerbName, ConsumableId, ItemId>> alike_; // done for all of them
};

void find_narrowed_alone(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures) NarrowedAlone(linked, procedure).judge(self, out);
}

} // namespace
} // namespace benchleaf::linked
