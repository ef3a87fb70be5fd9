#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_once_for_nothing(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::once_for_nothing = {{"once-for-nothing", messages::Level::warning,
                                         "a section says `once`, and its procedure is not worked side by side"},
                                        find_once_for_nothing};

namespace {

void find_once_for_nothing(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures) {
        if (procedure.source->each) continue;
        for (const Section& section : procedure.sections) {
            if (!section.once || section.source == nullptr || !section.source->once) continue;
            messages::Message& message =
                out.add(self.rule, section.source->once->span,
                        "this section is worked once, and so is all of this procedure: it says no `each`");
            message.labels.push_back({procedure.source->id.span, "has no `each`"});
            message.help = "say `each: side` at the head of the procedure, or take `once` out";
            break; // of one procedure it is one mistake
        }
    }
}

} // namespace
} // namespace benchleaf::linked
