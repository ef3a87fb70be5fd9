// What the driver itself finds wrong in the course of a run, in words: each is defined beside its rule in checks/.
#pragma once

#include "messages/message.h"

#include <string>

namespace benchleaf::driver {

void report_allows_nothing(messages::Messages& out, source::Span at, const std::string& check);

} // namespace benchleaf::driver
