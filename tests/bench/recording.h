// A card's drawing as the list of calls that make it, taken from the page contents that benchleaf itself writes: so whoever replays it draws
// the same boxes, lines and strings, the QR square as the one path that it is, and no form, no attachment, no pictures.
#pragma once

#include "fonts/fonts.h"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::bench {

struct Call {
    std::string name; // the operator (ISO 32000-1, annex A)
    std::array<float, 6> numbers{};
    std::string text; // of Tj what is shown, two bytes a character; of Tf the font's name
};

struct RecordedPage {
    float width = 0;
    float height = 0;
    std::vector<Call> calls;
};

struct Recording {
    std::array<std::optional<fonts::Kinds>, fonts::face_count> faces; // as far as they are used
    std::vector<RecordedPage> pages;
};

// The calls of a page's content. Empty when it has one that the bare program does not know.
std::optional<std::vector<Call>> calls_of(std::string_view content);

std::string write(const Recording& recording);
Recording read(const std::string& text);

} // namespace benchleaf::bench
