// A check over the spelling of one file: a trap of YAML, or what YAML allows and a shop's files must not hold. Each
// lives in checks/ in a file of its own, with its rule, level and wording; the table is made by the build. The parser
// calls them through reports.h, at the place where it sees the mistake.
#pragma once

#include "messages/message.h"
#include "syntax/syntax.h"

#include <span>

namespace benchleaf::syntax {

struct Check {
    messages::Rule rule;
};

std::span<const Check* const> all_checks();

} // namespace benchleaf::syntax
