#include "base/require.h"

#include <cstdio>
#include <cstdlib>

namespace benchleaf::base {

void broken(std::string_view what, std::source_location where) {
    std::fprintf(stderr, "benchleaf: internal error: %.*s (%s:%u)\n", static_cast<int>(what.size()), what.data(),
                 where.file_name(), where.line());
    std::abort();
}

} // namespace benchleaf::base
