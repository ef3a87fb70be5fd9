#include "linked/reports.h"
#include "linked/swapped.h"

namespace benchleaf::linked {

namespace {

void find_renews_when_good(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::renews_when_good = {{"renews-when-good", messages::Level::warning,
                                         "something is renewed or adjusted where it is good, and left where it is not"},
                                        find_renews_when_good};

namespace {

void find_renews_when_good(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures) {
        Looked looked;
        each_step(procedure, [&](const Step& step) { looked.emplace(step.id, &step); });
        const std::set<StepId> answered_no = answered_with_no(procedure);
        each_step(procedure, [&](const Step& step) {
            const Righted righted = righted_when_good(linked, step, looked, answered_no);
            if (righted.step == nullptr) return;
            const std::string& name = linked.items[righted.target->item.index()].name;
            const bool renews = righted.step->verb == model::VerbName::renew;
            messages::Message& message =
                out.add(self.rule, righted.target->span,
                        renews ? "the " + name + " is renewed because it is good, and stays where it is not"
                               : "the " + name + " is adjusted because it is good, and left where it is not",
                        "reached with yes");
            message.labels.push_back({step.basis.front().span, "answered with yes when all that it rests on is good"});
            message.help =
                renews ? std::string(step.if_not.empty() ? "if the two ways are swapped, write `if-not` for `if-so`"
                                                         : "if the two ways are swapped, put the `renew` under "
                                                           "`if-not`") +
                             "; if it is always renewed, put it behind the question"
                       : "if the two ways are swapped, write `if-not` for `if-so`; if it is always "
                         "adjusted, put it before the reading";
        });
    }
}

} // namespace
} // namespace benchleaf::linked
