#include "linked/reports.h"

#include <algorithm>

namespace benchleaf::linked {

namespace {

void find_stops_when_good(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::stops_when_good = {
    {"stops-when-good", messages::Level::warning, "the work stops where all is good, and goes on where it is not"},
    find_stops_when_good};

namespace {

bool stops(const Steps& steps) {
    return std::any_of(steps.begin(), steps.end(), [](const Step& step) {
        return step.kind == StepKind::stop || stops(step.if_so) || stops(step.if_not) || stops(step.steps) ||
               stops(step.otherwise);
    });
}

void judge(const Steps& steps, const Check& self, Messages& out) {
    for (const Step& step : steps) {
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise}) judge(*below, self, out);
        if (step.kind != StepKind::decide || step.basis.empty() || stops(step.if_not)) continue;
        const auto stop = std::find_if(step.if_so.begin(), step.if_so.end(),
                                       [](const Step& each) { return each.kind == StepKind::stop; });
        if (stop == step.if_so.end()) continue;
        messages::Message& message =
            out.add(self.rule, stop->source->stop->span,
                    "the work stops here because all is good, and goes on where it is not", "reached with yes");
        message.labels.push_back({step.basis.front().span, "answered with yes when all that it rests on is good"});
        message.help = "if the two ways are swapped, put the `stop` under `if-not`";
    }
}

void find_stops_when_good(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures)
        for (const Section& section : procedure.sections) judge(section.steps, self, out);
}

} // namespace
} // namespace benchleaf::linked
