// Every procedure on every vehicle of a shop. In a shop of many vehicles a procedure is fitted and proved by itself on those that differ in
// what it looks at (fitted/alike.h); a vehicle on which anything is wrong is then looked at once more as a whole, since what is said of one
// procedure may name another that would help.
#pragma once

#include "driver/in_order.h"
#include "fitted/fit.h"
#include "linked/linked.h"
#include "messages/message.h"

#include <memory>

namespace benchleaf::driver {

// `each`: all are looked at as a whole, for tests that hold the two against each other.
enum class Vehicles : std::uint8_t { alike, each };

// What is wrong, or should be known, is added to `messages`. `proves`: not only fitted.
void prove_shop(const linked::Linked& linked, const std::shared_ptr<const fitted::Common>& common, bool proves,
                Vehicles vehicles, Threads threads, messages::Messages& messages);

} // namespace benchleaf::driver
