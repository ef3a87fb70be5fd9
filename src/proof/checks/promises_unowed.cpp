#include "proof/check.h"

#include <algorithm>

namespace benchleaf::proof::checks {

namespace {

// All that the contract lets it owe, and on no way, nowhere, is any of it owed.
void find_promises_unowed(Moment& now, const Check& self) {
    const linked::Sort sort = now.it().is.sort;
    if (!now.contracted || !now.begins.empty() || !now.promised.known() || now.may_owe == 0) return;
    if (sort != linked::Sort::circuit && sort != linked::Sort::adjustment) return;
    const std::vector<fitted::InstanceId> all = now.every(now.item);
    const bool owed = std::any_of(all.begin(), all.end(), [&](fitted::InstanceId at) {
        return now.anyhow(at) || now.some(at, [&](const Standing& s) { return (s.unfinished() & now.may_owe) != 0; });
    });
    if (owed) return;
    Finding& finding = now.report(self, "{item} owes none of what the `ends-with` says");
    finding.label = "said to be owed here";
    finding.help =
        "if a step opens, empties or disturbs it, the catalogue has to say so: `opens`, `circuit`, `disturbed-by`; "
        "else take the `owes` out";
}

} // namespace

extern const Check promises_unowed{{"promises-unowed", messages::Level::warning,
                                    "an `ends-with` says that something owes work, and nothing makes it so"},
                                   When::end,
                                   std::nullopt,
                                   find_promises_unowed};

} // namespace benchleaf::proof::checks
