// A mistake of ours. `require(condition, "what was taken for granted")` ends the program with the place when the
// condition does not hold. It is never used for what a user may write (that is a messages::Message) nor for what a disk
// may do (that is a base::Result).
#pragma once

#include <string_view>

namespace benchleaf::base {

// The defaults give the caller's place (clang 14 has no std::source_location).
[[noreturn]] void broken(std::string_view what, const char* file = __builtin_FILE(), int line = __builtin_LINE());

inline void require(bool condition, std::string_view what, const char* file = __builtin_FILE(),
                    int line = __builtin_LINE()) {
    if (!condition) broken(what, file, line);
}

} // namespace benchleaf::base
