#include "base/require.h"

#include <cstdio>
#include <cstdlib>

namespace benchleaf::base {

void broken(std::string_view what, const char* file, int line) {
    std::fprintf(stderr, "benchleaf: internal error: %.*s (%s:%d)\n", static_cast<int>(what.size()), what.data(), file,
                 line);
    std::abort();
}

} // namespace benchleaf::base
