#include "linked/look_over.h"
#include "linked/reports.h"

#include <algorithm>
#include <map>
#include <set>
#include <vector>

namespace benchleaf::linked {

namespace {

void find_set_and_not_read(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::set_and_not_read = {{"set-and-not-read", messages::Level::warning,
                                         "a nut that sets the play of a part is tightened, and the play not read"},
                                        find_set_and_not_read};

namespace {

struct Worked {
    std::vector<const Target*> set; // nuts that are tightened
    std::set<LimitId> read;
    std::set<std::size_t> near; // procedures that it calls, that call it, or that stand in a job with it
};

// The limit of a part that has to be read with the nut tight, because the nut sets it.
LimitId set_by(const Linked& linked, ItemId nut) {
    const Item& item = linked.items[nut.index()];
    if (item.sort != Sort::fastener || !item.fastener.duty || item.fastener.duty->value != model::Duty::adjust)
        return {};
    for (std::size_t i = 0; i < linked.limits.size(); ++i)
        for (const ItemId of : linked.limits[i].of) {
            if (!of.known()) continue;
            for (const While& each : linked.items[of.index()].whiles)
                if (each.verb == model::VerbName::measure)
                    for (const Need& need : each.needs)
                        if (need.item == nut && need.place == 0) return LimitId(i);
        }
    return {};
}

void join_nearby(std::vector<Worked>& all, std::size_t one, std::size_t other) {
    all[one].near.insert(other);
    all[other].near.insert(one);
}

void find_set_and_not_read(const Linked& linked, const Check& self, Messages& out) {
    std::vector<Worked> all(linked.procedures.size());
    for (std::size_t i = 0; i < all.size(); ++i)
        each_step(linked.procedures[i], [&](const Step& step) {
            if (step.procedure.known()) join_nearby(all, i, step.procedure.index());
            for (const Target& target : step.targets) {
                if (target.limit.known()) all[i].read.insert(target.limit);
                const bool sets = step.kind == StepKind::verb && step.verb == model::VerbName::torque;
                if (sets && target.item.known()) all[i].set.push_back(&target);
            }
        });
    for (const Job& job : linked.jobs)
        for (const auto& [one, at] : job.procedures)
            for (const auto& [other, there] : job.procedures)
                if (one.known() && other.known()) join_nearby(all, one.index(), other.index());
    std::map<ItemId, LimitId> limit_of; // of the nuts that are tightened anywhere
    for (const Worked& each : all)
        for (const Target* target : each.set)
            if (!limit_of.contains(target->item)) limit_of.emplace(target->item, set_by(linked, target->item));
    for (std::size_t i = 0; i < all.size(); ++i) {
        const bool reads_all = std::all_of(all[i].set.begin(), all[i].set.end(), [&](const Target* target) {
            const LimitId limit = limit_of.at(target->item);
            return !limit.known() || all[i].read.contains(limit);
        });
        if (reads_all) continue; // nobody else has to be asked
        std::set<std::size_t> seen{i};
        std::vector<std::size_t> open{i};
        std::set<LimitId> read;
        while (!open.empty()) {
            const Worked& at = all[open.back()];
            open.pop_back();
            read.insert(at.read.begin(), at.read.end());
            for (const std::size_t next : at.near)
                if (seen.insert(next).second) open.push_back(next);
        }
        std::set<ItemId> told;
        for (const Target* target : all[i].set) {
            const LimitId limit = limit_of.at(target->item);
            if (!limit.known() || read.contains(limit) || !told.insert(target->item).second) continue;
            const Limit& is = linked.limits[limit.index()];
            const std::string what = is.figures.name ? "the " + is.figures.name->value : "`" + is.id + "`";
            messages::Message& message =
                out.add(self.rule, target->span,
                        "the " + linked.items[target->item.index()].name + " is set here, and nobody reads " + what);
            message.labels.push_back({is.declared, "says what it has to leave"});
            message.help =
                "add `- measure: " + is.id + "` behind it, and a `decide` that says what is done when it is off";
        }
    }
}

} // namespace
} // namespace benchleaf::linked
