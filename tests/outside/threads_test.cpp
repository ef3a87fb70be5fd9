// Threads against published tables.
#include "units/thread.h"

#include <cmath>
#include <doctest/doctest.h>
#include <string>

using namespace benchleaf::units;

namespace {
Thread read(std::string_view text) {
    auto result = parse_thread(text);
    REQUIRE_MESSAGE(std::holds_alternative<Thread>(result), text);
    return std::get<Thread>(result);
}
std::string replaced(std::string text) { // a plain space for U+00A0
    for (std::size_t at = text.find("\u00A0"); at != std::string::npos; at = text.find("\u00A0"))
        text.replace(at, 2, " ");
    return text;
}
} // namespace

TEST_CASE("metric threads of a machining table") {
    // Designations and pitches of the internal 6H threads in Debian's freecad-common 0.20.2, Mod/Path/Data/Threads/metric-internal-6H.csv
    // (ISO 261 choice), read there: M1.6 to M64. The first of a diameter's largest pitch is its coarse one.
    const std::string_view table[] = {
        "M1.6 x 0.35", "M2 x 0.4",   "M2.5 x 0.45", "M3 x 0.5",  "M3.5 x 0.6", "M4 x 0.7",  "M5 x 0.8",  "M6 x 1",
        "M8 x 1",      "M8 x 1.25",  "M10 x 0.75",  "M10 x 1",   "M10 x 1.25", "M10 x 1.5", "M12 x 1",   "M12 x 1.25",
        "M12 x 1.5",   "M12 x 1.75", "M14 x 1.5",   "M14 x 2",   "M15 x 1",    "M16 x 1.5", "M16 x 2",   "M17 x 1",
        "M18 x 1.5",   "M20 x 1",    "M20 x 1.5",   "M20 x 2.5", "M22 x 1.5",  "M22 x 2.5", "M24 x 2",   "M24 x 3",
        "M25 x 1.5",   "M27 x 2",    "M27 x 3",     "M30 x 1.5", "M30 x 2",    "M30 x 3.5", "M33 x 2",   "M35 x 1.5",
        "M36 x 2",     "M36 x 4",    "M39 x 2",     "M40 x 1.5", "M42 x 2",    "M42 x 4.5", "M45 x 1.5", "M48 x 2",
        "M48 x 5",     "M50 x 1.5",  "M55 x 1.5",   "M56 x 2",   "M56 x 5.5",  "M60 x 1.5", "M64 x 2",   "M64 x 6",
    };
    for (const std::string_view text : table) {
        CAPTURE(text);
        const Thread thread = read(text);
        const std::size_t sign = text.find(" x ");
        CHECK(diameter_mm(thread) == std::stod(std::string(text.substr(1, sign - 1))));
        CHECK(pitch_mm(thread) == std::stod(std::string(text.substr(sign + 3))));
        CHECK(!thread.left_hand);
        CHECK(read(thread.designation) == thread);
    }
    // The coarse pitch alone: of the table above the largest of each diameter that has a coarse series; the rest of ISO 261 from memory.
    const std::string_view coarse[][2] = {
        {"M1.6", "M1.6×0.35"}, {"M2", "M2×0.4"},    {"M2.5", "M2.5×0.45"}, {"M3", "M3×0.5"},   {"M3.5", "M3.5×0.6"},
        {"M4", "M4×0.7"},      {"M5", "M5×0.8"},    {"M6", "M6×1"},        {"M7", "M7×1"},     {"M8", "M8×1.25"},
        {"M10", "M10×1.5"},    {"M12", "M12×1.75"}, {"M14", "M14×2"},      {"M16", "M16×2"},   {"M18", "M18×2.5"},
        {"M20", "M20×2.5"},    {"M22", "M22×2.5"},  {"M24", "M24×3"},      {"M27", "M27×3"},   {"M30", "M30×3.5"},
        {"M36", "M36×4"},      {"M42", "M42×4.5"},  {"M48", "M48×5"},      {"M56", "M56×5.5"}, {"M64", "M64×6"},
    };
    for (const auto& [written, printed] : coarse) CHECK(read(written).designation == printed);
    CHECK(coarse_pitch_mm(8) == 1.25);
    CHECK(coarse_pitch_mm(8.1) == std::nullopt);
}

TEST_CASE("unified threads of a machining table") {
    // Sizes and threads per inch in the same package's imperial-internal-2B.csv, read there; which series each belongs to by ASME B1.1: memory.
    const std::string_view table[][2] = {
        {"2-56", "#2-56 UNC"},        {"2-64", "#2-64 UNF"},      {"3-48", "#3-48 UNC"},
        {"3-56", "#3-56 UNF"},        {"4-40", "#4-40 UNC"},      {"4-48", "#4-48 UNF"},
        {"5-40", "#5-40 UNC"},        {"5-44", "#5-44 UNF"},      {"6-32", "#6-32 UNC"},
        {"6-40", "#6-40 UNF"},        {"8-32", "#8-32 UNC"},      {"8-36", "#8-36 UNF"},
        {"10-24", "#10-24 UNC"},      {"10-32", "#10-32 UNF"},    {"1/4-20", "1/4-20 UNC"},
        {"1/4-28", "1/4-28 UNF"},     {"5/16-18", "5/16-18 UNC"}, {"5/16-24", "5/16-24 UNF"},
        {"3/8-16", "3/8-16 UNC"},     {"3/8-24", "3/8-24 UNF"},   {"7/16-14", "7/16-14 UNC"},
        {"7/16-20", "7/16-20 UNF"},   {"1/2-13", "1/2-13 UNC"},   {"1/2-20", "1/2-20 UNF"},
        {"5/8-11", "5/8-11 UNC"},     {"5/8-18", "5/8-18 UNF"},   {"3/4-10", "3/4-10 UNC"},
        {"3/4-16", "3/4-16 UNF"},     {"7/8-9", "7/8-9 UNC"},     {"7/8-14", "7/8-14 UNF"},
        {"1-8", "1-8 UNC"},           {"1-12", "1-12 UNF"},       {"1-1/8-7", "1-1/8-7 UNC"},
        {"1-1/4-12", "1-1/4-12 UNF"}, {"1-3/8-6", "1-3/8-6 UNC"}, {"1-1/2-12", "1-1/2-12 UNF"},
    };
    for (const auto& [written, printed] : table) {
        const Thread thread = read(written);
        CHECK(replaced(thread.designation) == printed);
        CHECK(read(thread.designation) == thread);
        CHECK(thread.series == Thread::Series::unified);
    }
    CHECK(diameter_mm(read("1/4-28 UNF")) == doctest::Approx(6.35).epsilon(1e-12));
    CHECK(diameter_mm(read("#10-32")) == doctest::Approx(4.826).epsilon(1e-12)); // 0.190 in
    CHECK(pitch_mm(read("1/4-28 UNF")) == doctest::Approx(25.4 / 28).epsilon(1e-12));
}

TEST_CASE("left-hand threads and what is no thread") {
    CHECK(replaced(read("M14x1.5-LH").designation) == "M14×1.5 LH"); // ISO 965-1
    CHECK(read("M14x1.5 LH").left_hand);
    CHECK(read("1/2-20 UNF LH").left_hand);

    struct Bad {
        std::string_view text;
        std::string_view at;
    };
    const Bad rows[] = {
        {"M8x12.5", "12.5"},  {"M8x1.1", "1.1"}, {"M8x1.5", "1.5"},     {"M8x", "M8x"},
        {"Mx1", "M"},         {"M", "M"},        {"M8,5", ",5"},        {"M08x1.25", "M08"},
        {"1/4-28 UNC", "28"}, {"1/4-27", "27"},  {"1/4-28 BSF", "BSF"}, {"8 mm", "8 mm"},
        {"m8", "m8"},         {"", ""},          {"LH", "LH"},          {"M0x0", "M0"},
        {"M8x0", "0"},
    };
    for (const Bad& bad : rows) {
        CAPTURE(bad.text);
        auto result = parse_thread(bad.text);
        REQUIRE(std::holds_alternative<ParseError>(result));
        const auto& error = std::get<ParseError>(result);
        CHECK(error.name == "bad-thread");
        CHECK(bad.text.substr(error.begin, error.end - error.begin) == bad.at);
    }
}
