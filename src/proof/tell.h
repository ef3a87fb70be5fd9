// Findings as messages: one message for what differs only in the side, with the item's name and the sides written in.
#pragma once

#include "proof/check.h"

namespace benchleaf::proof {

// `asked` gives the row of each question that a finding's answers name.
void tell(const fitted::Fit& fit, const linked::Linked& linked, const std::vector<Finding>& findings,
          const std::vector<const fitted::Row*>& asked, messages::Messages& messages);

// What one step did, or lacks, to several things at once is one mistake: such findings become one, where its help can name them all.
void tell_alike_once(const fitted::Fit& fit, std::vector<Finding>& findings);

} // namespace benchleaf::proof
