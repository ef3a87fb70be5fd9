#include "linked/look_over.h"
#include "linked/reports.h"
#include "model/verbs.h"

#include <algorithm>

namespace benchleaf::linked {

namespace {

void find_measured_over_and_over(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::measured_over_and_over = {
    {"measured-over-and-over", messages::Level::error, "a repeat reads the same again, and changes nothing in between"},
    find_measured_over_and_over};

namespace {

// Reading and writing down; and a question of which neither answer does more.
bool only_reads(const Step& step) {
    using V = model::VerbName;
    if (step.kind == StepKind::ask || step.kind == StepKind::decide || step.kind == StepKind::if_answered)
        return std::all_of(step.if_so.begin(), step.if_so.end(), only_reads) &&
               std::all_of(step.if_not.begin(), step.if_not.end(), only_reads) &&
               std::all_of(step.steps.begin(), step.steps.end(), only_reads);
    return step.kind == StepKind::verb && !step.source->say &&
           (step.verb == V::measure || step.verb == V::inspect || step.verb == V::record);
}

void judge_rounds(const Linked& linked, const Steps& steps, const Check& self, Messages& out) {
    for (const Step& step : steps) {
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise})
            judge_rounds(linked, *below, self, out);
        if (step.kind != StepKind::again || !step.from.known() || step.basis.empty()) continue;
        const Step* first = nullptr;
        const Step* sets = nullptr; // the last one before the round that slackens or sets something
        bool reads = false;
        bool changes = false;
        for (const Step& each : steps) {
            if (each.id.index() < step.from.index() && each.kind == StepKind::verb && !each.source->id &&
                !each.targets.empty() && each.targets.front().item.known() &&
                (each.verb == model::VerbName::slacken ||
                 (each.verb == model::VerbName::adjust && (sets == nullptr || sets->verb == each.verb))))
                sets = &each;
            if (each.id.index() < step.from.index() || each.id.index() >= step.id.index()) continue;
            if (first == nullptr) first = &each;
            reads = reads || (each.kind == StepKind::verb && each.verb != model::VerbName::record);
            changes = changes || !only_reads(each);
        }
        if (first == nullptr || !reads || changes) continue;
        messages::Message& message = out.add(self.rule, step.source->again->value.from->span,
                                             "from there on a round only reads, and what is bad reads the same again");
        message.labels.push_back({first->source->span, "where a round begins"});
        if (sets != nullptr)
            message.labels.push_back({sets->source->verb->targets.empty() ? sets->source->verb->key
                                                                          : sets->source->verb->targets.front().span,
                                      "set from here on?"});
        message.help =
            (sets == nullptr
                 ? "begin the round at the step that sets it, or put one in"
                 : "begin the round at the step that sets it: give `- " + std::string(model::verb(sets->verb).word) +
                       ": " + linked.items[sets->targets.front().item.index()].id +
                       "` the `id: " + step.source->again->value.from->value.name + "`; or put one in") +
            std::string(": without that, a round hopes for a kinder reading");
    }
}

void find_measured_over_and_over(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures)
        for (const Section& section : procedure.sections) judge_rounds(linked, section.steps, self, out);
}

} // namespace
} // namespace benchleaf::linked
