// A mistake of ours. `require(condition, "what was taken for granted")` ends the program with the place when the
// condition does not hold. It is never used for what a user may write (that is a messages::Message) nor for what a disk
// may do (that is a base::Result).
#pragma once

#include <source_location>
#include <string_view>

namespace benchleaf::base {

[[noreturn]] void broken(std::string_view what, std::source_location where = std::source_location::current());

inline void require(bool condition, std::string_view what,
                    std::source_location where = std::source_location::current()) {
    if (!condition) broken(what, where);
}

} // namespace benchleaf::base
