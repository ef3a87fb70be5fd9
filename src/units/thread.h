// A screw thread as it is designated: `M8x1.25`, `M10x1`, `M8` (the coarse pitch, ISO 965-1), `1/4-28 UNF`, `1/4-28`,
// `#10-32 UNF`, with ` LH` for left-hand. Read with `parse_thread`; sizes for formulas with `diameter_mm` and
// `pitch_mm`.
#pragma once

#include "units/quantity.h"

namespace benchleaf::units {

struct Thread {
    enum class Series : std::uint8_t { metric, unified };

    Series series = Series::metric;
    Quantity diameter;        // nominal: mm of a metric thread, in of a unified one
    Quantity pitch;           // mm; of a metric thread only
    int threads_per_inch = 0; // of a unified thread only (1/28 in is no finite decimal)
    bool left_hand = false;
    std::string designation; // printed: `M8×1.25`, `1/4-28 UNF`, `M14×1.5 LH`

    friend bool operator==(const Thread&, const Thread&) = default;
};

// Every mistake is a `bad-thread`. Metric: the pitch is one of ISO 261's and not above the diameter's coarse pitch.
// Unified: where a series is written it has that number of threads at that size (ASME B1.1).
Parsed<Thread> parse_thread(std::string_view text);

double diameter_mm(const Thread& thread);
double pitch_mm(const Thread& thread);

// The coarse pitch of ISO 261 in mm for a nominal diameter in mm; nullopt for a diameter that has none here (M1 to
// M64).
std::optional<double> coarse_pitch_mm(double diameter_mm);

} // namespace benchleaf::units
