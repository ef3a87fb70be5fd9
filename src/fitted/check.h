// A check over what was fitted: what a vehicle lacks. Each lives in checks/ in a file of its own, with its level and
// its wording (reports.h); fitting calls the wording where it finds the mistake. The table of all is made by the build.
#pragma once

#include "fitted/fitted.h"
#include "messages/message.h"

#include <span>

namespace benchleaf::fitted {

struct Check {
    messages::Rule rule;
};

std::span<const Check* const> all_checks();

} // namespace benchleaf::fitted
