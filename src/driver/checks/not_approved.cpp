#include "driver/approvals.h"
#include "driver/check.h"
#include "driver/meanings.h"
#include "driver/reports.h"

#include "model/date.h"

#include <fmt/format.h>

namespace benchleaf::driver {

namespace checks {
// Asked for by `check --approved` (approvals.cpp).
extern const Check not_approved;
const Check not_approved = {
    {"not-approved", messages::Level::error, "with --approved: a procedure that nobody has approved as it stands"},
    nullptr};
} // namespace checks

void report_not_approved(messages::Messages& out, const source::Spanned<std::string>& procedure,
                         const Approved& state) {
    const auto who = [](const model::Approval& approval) {
        return fmt::format("{} approved it{}", approval.by ? approval.by->value : "somebody",
                           approval.date ? " on " + model::print(approval.date->value) : std::string());
    };
    messages::Message& message =
        out.add(checks::not_approved.rule, procedure.span,
                fmt::format("nobody has approved `{}` as it stands ({})", procedure.value, in_groups(state.digest)));
    if (state.refused != nullptr)
        message.labels.push_back({state.refused->id.span, fmt::format("this one does not count: {}", state.why)});
    else if (state.earlier != nullptr)
        message.labels.push_back(
            {state.earlier->id.span, fmt::format("{}, when it said something else", who(*state.earlier))});
    message.help = fmt::format("read it against the maker's manual, then `benchleaf approve {} --by …{}`",
                               procedure.value, state.to_be_signed ? " --sign KEY" : "");
}

} // namespace benchleaf::driver
