#include "linked/reports.h"

#include <algorithm>
#include <vector>

namespace benchleaf::linked {

namespace {

void find_proof_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::proof_unsaid = {
    {"proof-unsaid", messages::Level::warning,
     "something is set until a reading is right, and nothing says that the reading proves it"},
    find_proof_unsaid};

namespace {

struct Setting {
    const Step* step;
    const Target* target;
};

// What a round sets, one after the other.
std::vector<Setting> set_in(const Steps& steps, const Step& again) {
    std::vector<Setting> all;
    for (const Step& step : steps) {
        if (step.id.index() < again.from.index() || step.id.index() >= again.id.index()) continue;
        if (step.kind != StepKind::verb || step.verb != model::VerbName::adjust) continue;
        for (const Target& target : step.targets)
            if (target.item.known()) all.push_back({&step, &target});
    }
    return all;
}

void judge_proofs(const Linked& linked, const Steps& steps, const Check& self, Messages& out) {
    for (const Step& step : steps) {
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise})
            judge_proofs(linked, *below, self, out);
        if (step.kind != StepKind::again || !step.from.known()) continue;
        const auto read =
            std::find_if(step.basis.begin(), step.basis.end(), [](const Basis& basis) { return basis.limit.known(); });
        if (read == step.basis.end()) continue;
        // Of several that are set, nobody knows which one the reading is of.
        const std::vector<Setting> all = set_in(steps, step);
        if (all.size() != 1) continue;
        const Item& adjustment = linked.items[all.front().target->item.index()];
        if (adjustment.adjustment.proved_by) continue;
        const Limit& limit = linked.limits[read->limit.index()];
        messages::Message& message = out.add(self.rule, all.front().target->span,
                                             "the " + adjustment.name + " is set until `" + limit.id +
                                                 "` is right, and nothing says that it is what proves it",
                                             "may be left unread on another card");
        message.labels.push_back({read->span, "set until this is right"});
        message.labels.push_back({adjustment.declared, "has no `proved-by`"});
        message.help = "add `proved-by: [" + limit.id + "]` to the " + adjustment.name;
    }
}

void find_proof_unsaid(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures)
        for (const Section& section : procedure.sections) judge_proofs(linked, section.steps, self, out);
}

} // namespace
} // namespace benchleaf::linked
