// The bare program that benchleaf's speed is held against: it parses the same YAML with yaml-cpp, does nothing with it, and draws a card
// that was recorded beforehand (recording.h), call by call, with libharu: the same boxes, lines and strings at the same places, with the
// same faces, which were packed when the program was built, and packed as ours. No names are resolved, nothing is proved, measured or
// broken into lines.
#pragma once

#include "bench/recording.h"

#include <cstddef>
#include <string>
#include <vector>

namespace benchleaf::bench {

// How many nodes were parsed, so that the work is not left out by the compiler.
std::size_t parse(const std::vector<std::string>& yaml);
// How many events yaml-cpp's parser gave: its own scan alone, which builds nothing.
std::size_t scan(const std::vector<std::string>& yaml);

// With our packed faces.
std::string draw(const Recording& recording);
// In the plainest way that libharu knows: three font files embedded whole, with its UTF-8 encoder.
std::string draw_plainly(const Recording& recording, const std::string font_files[3]);

} // namespace benchleaf::bench
