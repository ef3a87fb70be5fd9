// How wide columns are in a room that may not hold them: each as wide as it asks for where that is no more than its share, and what is left is shared by
// those that ask for more, down to `least`.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace benchleaf::base {

template <class Width>
std::vector<Width> share_out(Width room, const std::vector<Width>& asked, Width least) {
    std::vector<Width> widths(asked.size(), 0);
    std::size_t open = asked.size();
    for (bool again = true; again && open > 0;) {
        again = false;
        const Width share = room / static_cast<Width>(open);
        for (std::size_t i = 0; i < asked.size(); ++i) {
            if (widths[i] != 0 || asked[i] > share) continue;
            widths[i] = asked[i];
            room -= asked[i];
            --open;
            again = true;
        }
    }
    for (Width& each : widths)
        if (each == 0) each = std::max(room / static_cast<Width>(open), least);
    return widths;
}

} // namespace benchleaf::base
