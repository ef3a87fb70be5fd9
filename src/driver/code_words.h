// The words of a card's code square: "BENCHLEAF 2026-0412 front-disc-service 3 1b2c3d4e5f607182". They come from a scanner, a keyboard or the keywords of a PDF.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace benchleaf::driver {

// Of a cover sheet without procedure and revision; of a blank card with - for the job.
struct Code {
    std::string text; // the words, a blank between them
    std::string job;
    std::string procedure; // empty: of a cover sheet
    std::string revision;
    std::string digest;
};

// Nothing when it is anything else.
std::optional<Code> read_code(std::string_view text);

} // namespace benchleaf::driver
