#include "linked/reports.h"
#include "linked/swapped.h"

namespace benchleaf::linked {

namespace {

void find_stops_when_good(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::stops_when_good = {
    {"stops-when-good", messages::Level::warning, "the work stops where all is good, and goes on where it is not"},
    find_stops_when_good};

namespace {

void find_stops_when_good(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures)
        each_step(procedure, [&](const Step& step) {
            const Step* stop = stop_when_good(step);
            if (stop == nullptr) return;
            messages::Message& message =
                out.add(self.rule, stop->source->stop->span,
                        "the work stops here because all is good, and goes on where it is not", "reached with yes");
            message.labels.push_back({step.basis.front().span, "answered with yes when all that it rests on is good"});
            message.help = step.if_not.empty() ? "if the two ways are swapped, write `if-not` for `if-so`"
                                               : "if the two ways are swapped, put the `stop` under `if-not`";
        });
}

} // namespace
} // namespace benchleaf::linked
