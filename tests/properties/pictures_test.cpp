// Pictures: every sort of PNG and JPEG is seen as it is, what is damaged in any way is refused, and what is hostile costs nothing. The PNGs are
// made byte by byte (cases/png.h), the JPEGs by libjpeg's writer (cases/jpeg.h).
#include "cases/jpeg.h"
#include "cases/png.h"
#include "pictures/pictures.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <random>
#include <utility>
#include <variant>
#include <vector>

using namespace benchleaf;
using cases::chunk;
using cases::ihdr;
using cases::jpeg;
using cases::png;
using cases::png_start;

namespace {

const pictures::Picture& seen(const std::variant<pictures::Picture, pictures::Refused>& read) {
    if (const auto* refused = std::get_if<pictures::Refused>(&read)) FAIL(refused->why);
    return std::get<pictures::Picture>(read);
}

std::string why_not(const std::variant<pictures::Picture, pictures::Refused>& read) {
    const auto* refused = std::get_if<pictures::Refused>(&read);
    if (refused == nullptr) return "";
    CHECK(!refused->help.empty());
    return refused->why;
}

std::string why_not(std::string bytes, std::string_view path = "a.png") {
    return why_not(pictures::read(std::move(bytes), path));
}

bool says(const std::string& all, std::string_view part) {
    return all.find(part) != std::string::npos;
}

int at(const pictures::Raster& raster, std::uint32_t x, std::uint32_t y, std::uint32_t channel = 0) {
    const std::uint32_t c = std::min(channel, raster.channels - 1); // grey is all three
    return static_cast<unsigned char>(raster.pixels.at((std::size_t{y} * raster.width + x) * raster.channels + c));
}

// Of processor, so that what else the machine does counts for nothing.
double seconds(const std::function<void()>& work) {
    const std::clock_t start = std::clock();
    work();
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

} // namespace

TEST_CASE("every colour type and depth of PNG is seen as it is, straight and interlaced") {
    // PNG 11.2.2: which depths go with which colour.
    const std::vector<std::pair<int, std::vector<int>>> sorts = {
        {0, {1, 2, 4, 8, 16}}, {2, {8, 16}}, {3, {1, 2, 4, 8}}, {4, {8, 16}}, {6, {8, 16}}};
    for (const auto& sort : sorts) {
        const int colour = sort.first;
        for (const int depth : sort.second) {
            for (const bool interlaced : {false, true}) {
                CAPTURE(colour);
                CAPTURE(depth);
                CAPTURE(interlaced);
                const bool coloured = colour == 2 || colour == 6;
                const bool clear = colour == 4 || colour == 6;
                const int levels = depth >= 8 ? 255 : (1 << depth) - 1;
                const auto sample = [&](std::uint32_t x, std::uint32_t y, int c) {
                    if (clear && c == (coloured ? 3 : 1)) return y < 9 ? 255 : 0; // seen above, clear below
                    return static_cast<int>((x * 13 + y * 7 + (coloured ? static_cast<std::uint32_t>(c) * 50 : 0)) %
                                            256);
                };
                const auto read = pictures::read(png(37, 29, colour, depth, sample, {}, interlaced), "a.png");
                const pictures::Picture& picture = seen(read);
                CHECK(picture.width == 37);
                CHECK(picture.height == 29);
                CHECK(!picture.photo);
                CHECK(picture.kept.channels == (coloured ? 3U : 1U));
                int worst = 0;
                for (std::uint32_t y = 0; y < 29; ++y)
                    for (std::uint32_t x = 0; x < 37; ++x)
                        for (int c = 0; c < (coloured ? 3 : 1); ++c) {
                            int wanted = sample(x, y, c);
                            if (depth < 8) wanted = (wanted >> (8 - depth)) * 255 / levels;
                            if (clear && y >= 9) wanted = 255; // on white
                            worst = std::max(worst,
                                             std::abs(wanted - at(picture.kept, x, y, static_cast<std::uint32_t>(c))));
                        }
                CHECK(worst <= 1);
            }
        }
    }
}

TEST_CASE("what a PNG has of clear places is white, half clear is half way, by alpha and by tRNS") {
    const auto half = pictures::read(png(32, 32, 4, 8, [](auto, auto, int c) { return c == 0 ? 0 : 128; }), "a.png");
    CHECK(at(seen(half).kept, 5, 5) > 120); // black half seen through: a middle grey, by whichever curve
    CHECK(at(seen(half).kept, 5, 5) < 200);
    // The grey 0 is clear (11.3.2.1).
    const auto key = pictures::read(
        png(
            32, 32, 0, 8, [](auto x, auto, int) { return x < 16 ? 0 : 90; }, chunk("tRNS", std::string("\0\0", 2))),
        "a.png");
    CHECK(at(seen(key).kept, 5, 5) == 255);
    CHECK(at(seen(key).kept, 20, 5) == 90);
    // Of a palette: entry 1 is clear.
    const auto palette = pictures::read(
        png(
            32, 32, 3, 1, [](auto x, auto, int) { return x < 16 ? 0 : 255; }, chunk("tRNS", std::string("\xFF\0", 2))),
        "a.png");
    CHECK(at(seen(palette).kept, 5, 5) == 0);
    CHECK(at(seen(palette).kept, 20, 5) == 255);
}

TEST_CASE("what a PNG says beside its pixels is passed over, however broken it is") {
    const std::string junk = chunk("iCCP", "profile\0\0 not packed at all") + chunk("tEXt", std::string(200, '\xFF')) +
                             chunk("gAMA", "") + chunk("zTXt", std::string("a\0\0\x78\x9c junk", 9)) +
                             chunk("eXIf", "MM");
    CHECK(why_not(png(40, 40, 0, 8, cases::checkered, junk)).empty());
}

TEST_CASE("JPEGs: with colour, grey, progressive; those of a printing press are refused") {
    for (const bool progressive : {false, true}) {
        const auto read = pictures::read(jpeg(120, 80, {.progressive = progressive}), "a.jpg");
        const pictures::Picture& picture = seen(read);
        CHECK(picture.photo);
        CHECK(picture.kept.channels == 3);
        CHECK(std::abs(at(picture.kept, 100, 70, 0) - 200) < 6);
        CHECK(std::abs(at(picture.kept, 100, 70, 2) - 240) < 6);
        CHECK(std::abs(at(picture.kept, 10, 10, 1) - 20) < 12);
    }
    const auto grey = pictures::read(jpeg(120, 80, {.grey = true}), "a.JPEG");
    CHECK(seen(grey).kept.channels == 1);
    CHECK(says(why_not(jpeg(120, 80, {.cmyk = true}), "a.jpg"), "CMYK"));
}

TEST_CASE("a photo is turned as its camera says") {
    // Exif 2.3, Orientation: where row 0 and column 0 of the file are as one looks at it. The dark corner is at both.
    const std::vector<std::pair<bool, bool>> at_right_and_bottom = {{false, false}, {true, false},  {true, true},
                                                                    {false, true},  {false, false}, {true, false},
                                                                    {true, true},   {false, true}};
    for (int orientation = 1; orientation <= 8; ++orientation) {
        for (const bool little : {false, true}) {
            CAPTURE(orientation);
            const auto read = pictures::read(jpeg(120, 80, {.orientation = orientation, .little = little}), "a.jpg");
            const pictures::Picture& picture = seen(read);
            const bool on_its_side = orientation >= 5;
            CHECK(picture.width == (on_its_side ? 80U : 120U));
            CHECK(picture.height == (on_its_side ? 120U : 80U));
            const pictures::Raster& kept = picture.kept;
            const auto [right, bottom] = at_right_and_bottom[static_cast<std::size_t>(orientation - 1)];
            for (const bool x : {false, true})
                for (const bool y : {false, true})
                    CHECK((at(kept, x ? kept.width - 5 : 4, y ? kept.height - 5 : 4) < 100) ==
                          (x == right && y == bottom));
        }
    }
}

TEST_CASE("scaled down each pixel is the mean of what it covers; never scaled up") {
    const auto read =
        pictures::read(png(3200, 1600, 0, 8, [](auto x, auto, int) { return x % 2 == 0 ? 0 : 255; }), "a.png");
    const pictures::Picture& picture = seen(read);
    CHECK(picture.width == 3200);
    CHECK(picture.kept.width == 1600);
    CHECK(picture.kept.height == 800);
    CHECK(std::all_of(picture.kept.pixels.begin(), picture.kept.pixels.end(),
                      [](char c) { return std::abs(static_cast<unsigned char>(c) - 128) <= 1; }));
    std::mt19937 random(5);
    for (int i = 0; i < 60; ++i) {
        const auto width = static_cast<std::uint32_t>(20 + random() % 80),
                   height = static_cast<std::uint32_t>(20 + random() % 80);
        const auto to = static_cast<std::uint32_t>(1 + random() % 120);
        const auto ramp = pictures::read(
            png(width, height, 0, 8, [&](auto x, auto y, int) { return static_cast<int>((x + y) % 200); }), "a.png");
        const pictures::Printable print = pictures::printable(seen(ramp), to, to);
        CAPTURE(width);
        CAPTURE(height);
        CAPTURE(to);
        CHECK(print.width <= std::min(width, to));
        CHECK(print.height <= std::min(height, to));
        CHECK(print.data.size() == std::size_t{print.width} * print.height);
        // The mean stays the mean.
        const auto mean = [](const std::string& pixels) {
            double sum = 0;
            for (const char c : pixels) sum += static_cast<unsigned char>(c);
            return sum / static_cast<double>(pixels.size());
        };
        CHECK(std::abs(mean(print.data) - mean(seen(ramp).kept.pixels)) < 0.6);
        CHECK(pictures::printable(seen(ramp), to, to).data == print.data);
    }
}

TEST_CASE("every truncation is refused, and any byte that flips is refused or harmless") {
    const std::string small_png = png(20, 18, 6, 8, [](auto x, auto y, int c) {
        return static_cast<int>((x * y + static_cast<std::uint32_t>(c)) % 256);
    });
    const std::string grey = jpeg(48, 40, {.grey = true});
    const std::string progressive = jpeg(48, 40, {.progressive = true, .orientation = 6});
    const std::string colour = jpeg(48, 40);
    for (std::size_t length = 0; length < small_png.size(); ++length) {
        CAPTURE(length);
        CHECK(!why_not(small_png.substr(0, length)).empty());
    }
    for (const std::string& whole : {grey, progressive, colour}) {
        CHECK(why_not(whole, "a.jpg").empty());
        for (std::size_t length = 0; length < whole.size(); ++length) {
            CAPTURE(length);
            CHECK(!why_not(whole.substr(0, length), "a.jpg").empty());
        }
    }
    std::mt19937 random(2026);
    int taken = 0;
    for (int i = 0; i < 2000; ++i) {
        for (const std::string* whole : {&small_png, &grey, &progressive, &colour}) {
            std::string spoiled = *whole;
            for (std::size_t n = 1 + random() % 3; n > 0; --n)
                spoiled[random() % spoiled.size()] ^= static_cast<char>(1 + random() % 255);
            const auto read = pictures::read(spoiled, whole == &small_png ? "a.png" : "a.jpg");
            if (const auto* picture = std::get_if<pictures::Picture>(&read)) {
                CHECK(whole != &small_png); // whose sums tell every flip
                CHECK(picture->kept.pixels.size() ==
                      std::size_t{picture->kept.width} * picture->kept.height * picture->kept.channels);
                ++taken;
            } else {
                CHECK(!std::get<pictures::Refused>(read).why.empty());
            }
        }
    }
    CHECK(taken > 100); // a JPEG has no sums: a pixel may be another
}

TEST_CASE("what is hostile is refused at once") {
    const std::string whole = png(40, 30, 0, 8, cases::checkered);
    const double took = seconds([&] {
        // It would unpack to 7.5 GB.
        CHECK(
            says(why_not(png_start + ihdr(50'000, 50'000, 2, 8) + chunk("IDAT", cases::stored("")) + chunk("IEND", "")),
                 "pixels"));
        CHECK(says(why_not(png_start + ihdr(0xFFFFFFFF, 1, 2, 16) + chunk("IEND", "")), "pixels"));
        for (const auto& [width, height] : {std::pair(0U, 30U), {30U, 0U}, {0U, 0U}})
            CHECK(says(
                why_not(png_start + ihdr(width, height, 0, 8) + chunk("IDAT", cases::stored("")) + chunk("IEND", "")),
                "nothing can be seen"));
        CHECK(says(why_not(png(400, 20, 0, 8, cases::checkered)), "times as long as wide"));
        CHECK(why_not(png(400, 80, 0, 8, cases::checkered)).empty());
        // As large as may be, and no pixels in it.
        CHECK(says(why_not(png_start + ihdr(5600, 5600, 6, 16) + chunk("IDAT", cases::stored("")) + chunk("IEND", "")),
                   "damaged"));
        // Lengths that lie.
        std::string lies = whole;
        lies[8] = '\x7F';
        CHECK(says(why_not(lies), "cut short"));
        lies[8] = '\xFF';
        CHECK(says(why_not(lies), "cut short"));
        std::string sum = whole;
        sum[sum.size() - 20] ^= 1;
        CHECK(says(why_not(sum), "damaged"));
        CHECK(says(why_not(png(40, 30, 0, 8, cases::checkered, chunk("acTL", std::string(8, '\1')))), "moves"));
        CHECK(!why_not(png(40, 30, 0, 8, cases::checkered, chunk("PRIV", "x"))).empty());
        CHECK(!why_not(png(40, 30, 0, 8, cases::checkered, ihdr(40, 30, 0, 8))).empty());
        CHECK(!why_not(png_start + ihdr(40, 30, 7, 8) + chunk("IDAT", cases::stored("")) + chunk("IEND", "")).empty());
        CHECK(!why_not(png_start + ihdr(40, 30, 3, 8) + chunk("IDAT", cases::stored(std::string(1230, '\0'))) +
                       chunk("IEND", ""))
                   .empty());
        CHECK(!why_not(png_start + chunk("IEND", "")).empty());
        // Other sorts, and names that say otherwise.
        CHECK(says(why_not("GIF89a..."), "neither"));
        CHECK(says(why_not("<svg/>"), "neither"));
        CHECK(says(why_not(""), "empty"));
        CHECK(says(why_not(whole, "a.jpg"), "it is a PNG"));
        CHECK(says(why_not(jpeg(40, 30), "a.png"), "it is a JPEG"));
        CHECK(says(why_not(std::string(pictures::most_bytes + 1, 'x')), "million bytes"));
        // A JPEG that says it is larger than it is, and larger than may be.
        std::string large = jpeg(40, 30);
        const std::size_t frame = large.find("\xFF\xC0");
        REQUIRE(frame != std::string::npos);
        large[frame + 5] = large[frame + 7] = '\x0F';
        CHECK(!why_not(large, "a.jpg").empty());
        large[frame + 5] = large[frame + 7] = '\xFF';
        CHECK(says(why_not(large, "a.jpg"), "pixels"));
        large[frame + 5] = large[frame + 6] = 0;
        CHECK(!why_not(large, "a.jpg").empty());
    });
    CHECK(took < 0.5 * BENCHLEAF_TIME_SLACK);
    // A progressive file may go over the picture again and again.
    std::string again = jpeg(2400, 1600, {.progressive = true});
    const std::size_t last = again.rfind("\xFF\xDA");
    const std::string scan = again.substr(last, again.size() - 2 - last);
    again.resize(again.size() - 2);
    while (again.size() < 3'000'000) again += scan;
    again += "\xFF\xD9";
    const double scans = seconds([&] { CHECK(!why_not(again, "a.jpg").empty()); });
    CHECK(scans < 2.0 * BENCHLEAF_TIME_SLACK);
    // A photo of a phone.
    const std::string photo = jpeg(4000, 3000);
    const double phone = seconds([&] { CHECK(why_not(photo, "a.jpg").empty()); });
    CHECK(phone < 0.5 * BENCHLEAF_TIME_SLACK);
}
