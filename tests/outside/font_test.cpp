// The embedded faces against the fonts that they were made from.
#include "base/text.h"
#include "fonts/fonts.h"
#include "outside/tools.h"

#include <doctest/doctest.h>

#include <cstdio>
#include <filesystem>
#include <string>
#include <zlib.h>

using namespace benchleaf;
using fonts::Face;

namespace {

constexpr fonts::Kinds kinds_of_parts[] = {0, 1, 3, 5, 9, 15}; // as make_fonts.py cuts them

std::string unpacked(const fonts::Part& part) {
    std::string bytes(part.file_size, '\0');
    auto size = static_cast<uLongf>(bytes.size());
    REQUIRE(uncompress(reinterpret_cast<Bytef*>(bytes.data()), &size, reinterpret_cast<const Bytef*>(part.file.data()),
                       part.file.size()) == Z_OK);
    REQUIRE(size == bytes.size());
    return bytes;
}

} // namespace

TEST_CASE("every letter of the label languages, and every sign of the trade, is covered") {
    for (const outside::Sentence& sentence : outside::sentences) {
        CAPTURE(sentence.language);
        CHECK(fonts::first_not_covered(sentence.text) == std::string_view::npos);
    }
    CHECK(fonts::first_not_covered("a\tb") == 1);
    CHECK(fonts::first_not_covered("Bremse ✓") == 7);
    CHECK(!fonts::covers(0x00AD));
    CHECK(!fonts::covers(0x200B));
    CHECK(!fonts::covers(0x10FFFF));
    CHECK(!fonts::covers(0xFFFFFFFF));
}

TEST_CASE("a refused character is named by its script") {
    // Characters and blocks of the Unicode Standard.
    CHECK(fonts::script_of(U'ب') == "Arabic");
    CHECK(fonts::script_of(U'א') == "Hebrew");
    CHECK(fonts::script_of(U'अ') == "Devanagari");
    CHECK(fonts::script_of(U'த') == "Tamil");
    CHECK(fonts::script_of(U'ก') == "Thai");
    CHECK(fonts::script_of(U'刹') == "Chinese, Japanese or Korean");
    CHECK(fonts::script_of(U'ブ') == "Japanese");
    CHECK(fonts::script_of(U'한') == "Korean");
    CHECK(fonts::script_of(U'🔧') == "emoji");
    CHECK(fonts::script_of(U'✓') == "pictographs");
    CHECK(fonts::script_of(U'\t') == "control characters");
    CHECK(fonts::script_of(0x0301) == "accents that join no letter");
    CHECK(fonts::script_of(0x00AD) == "invisible characters");
    CHECK(fonts::script_of(0x200F) == "invisible characters");
    CHECK(fonts::script_of(0xFEFF) == "invisible characters");
}

TEST_CASE("the width of a text is the sum of its advances") {
    // Noto Sans Regular's hmtx: all digits 572, a space 260 (read with ttx).
    CHECK(fonts::width(Face::regular, "0123456789") == 5720);
    CHECK(fonts::width(Face::bold, "1111") == fonts::width(Face::bold, "8888")); // digits stand in columns
    CHECK(fonts::width(Face::regular, "24 N·m") ==
          2 * 572 + fonts::advance(Face::regular, U' ') + fonts::advance(Face::regular, U'N') +
              fonts::advance(Face::regular, U'·') + fonts::advance(Face::regular, U'm'));
    CHECK(fonts::advance(Face::regular, 0xA0) == fonts::advance(Face::regular, U' '));
    CHECK(fonts::width(Face::regular, "") == 0);
}

// check_font.py reads the faces and the original fonts with fontTools and compares every outline and every advance; of each part,
// too, that it has the characters of its kinds and no others.
TEST_CASE("each outline and advance is the original font's") {
    for (const fonts::Kinds kinds : kinds_of_parts) {
        CAPTURE(kinds);
        const std::string folder = outside::scratch("font") + "/" + std::to_string(kinds);
        std::filesystem::create_directories(folder);
        std::string advances;
        for (const Face face : {Face::regular, Face::bold, Face::italic}) {
            outside::write(folder + "/" + std::string(fonts::name(face)) + ".ttf", unpacked(fonts::part(face, kinds)));
            for (char32_t c = 0; c < 0x110000; ++c)
                if (fonts::covers(c) && (fonts::kinds_of(c) & ~kinds) == 0)
                    advances += std::string(fonts::name(face)) + " " + std::to_string(static_cast<unsigned>(c)) + " " +
                                std::to_string(fonts::advance(face, c)) + "\n";
        }
        outside::write(folder + "/advances.txt", advances);
        const auto ran =
            outside::run("/usr/bin/python3 " BENCHLEAF_SOURCE_DIR "/tests/outside/check_font.py " + folder);
        INFO(ran.out);
        CHECK(ran.status == 0);
        CHECK(ran.out.find(" 0 damaged") != std::string::npos);
    }
}

TEST_CASE("a text gets the least part that has its letters") {
    const auto bytes = [](std::string_view utf8) {
        fonts::Kinds kinds = 0;
        for (std::size_t at = 0; at < utf8.size();) {
            const base::CodePoint point = base::code_point_at(utf8, at);
            kinds |= fonts::kinds_of(point.value);
            at += point.bytes;
        }
        return fonts::part(Face::bold, kinds).file.size();
    };
    const std::size_t plain = bytes("24 N·m ±10 % → “tighten”");
    CHECK(bytes("Öl prüfen") > plain);
    CHECK(bytes("śruba") > bytes("Öl prüfen"));
    CHECK(bytes("Σφίξε τον κοχλία, 24 N·m") > bytes("Öl prüfen"));
    CHECK(bytes("Ещё раз") > bytes("Öl prüfen"));
    CHECK(bytes("κοχλία, śruba") == fonts::whole(Face::bold).file.size());
    CHECK(2 * plain < bytes("śruba"));
    for (const Face face : {Face::regular, Face::bold, Face::italic})
        CHECK(fonts::part(face, 15).name == fonts::whole(face).name);
}

TEST_CASE("the same fonts make the same bytes") {
    const std::string folder = outside::scratch("font");
    const std::string make = "/usr/bin/python3 " BENCHLEAF_SOURCE_DIR "/src/fonts/make_fonts.py ";
    REQUIRE(outside::run(make + folder + "/again.cpp").status == 0);
    CHECK(outside::read(folder + "/again.cpp") == outside::read(BENCHLEAF_BINARY_DIR "/generated/fonts/faces.cpp"));
}

TEST_CASE("a missing font names the package to install") {
    const std::string make = "/usr/bin/python3 " BENCHLEAF_SOURCE_DIR "/src/fonts/make_fonts.py ";
    const auto ran = outside::run(make + "/dev/null /nowhere");
    CHECK(ran.status != 0);
    CHECK(ran.out.find("apt-get install fonts-noto-core") != std::string::npos);
}
