// `benchleaf wear`: what the real program prints, against figures worked by hand and python3's statistics, and what it refuses.
#include "gates/program.h"

#include <cmath>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <sstream>

using namespace benchleaf::gates;

namespace {

using Words = std::vector<std::string>;

// A pad of at least 2.0 mm, of tests/outside/mechanics_test.cpp and wear_line_test.cpp.
const Words pad{"--minimum", "2.0mm", "--reads-to", "0.1mm", "--uncertainty", "0.1mm"};

// Where no shop is.
Ran wear(Words arguments, const Words& more = {}) {
    arguments.insert(arguments.begin(), "wear");
    arguments.insert(arguments.end(), more.begin(), more.end());
    return run(arguments, {.folder = scratch("wear")});
}
void says(const Ran& ran, const Words& all) {
    CHECK(ran.status == 0);
    CHECK(ran.err.empty());
    for (const std::string& each : all) CHECK_MESSAGE(ran.out.find(each) != std::string::npos, each, " in\n", ran.out);
}
void says_not(const Ran& ran, const std::string& text) {
    CHECK_MESSAGE(ran.out.find(text) == std::string::npos, text, " in\n", ran.out);
}
nlohmann::json figures(const Words& arguments, Words more) {
    more.emplace_back("--json");
    const Ran ran = wear(arguments, more);
    CHECK(ran.status == 0);
    return nlohmann::json::parse(ran.out);
}

} // namespace

TEST_CASE("by the line through three readings or more") {
    // docs/history-and-due.md works it by hand: slope −0.00025, bound 0.000797 mm/km; over 6 000 km 4.781 mm, so keep 2.1 + 4.781 = 6.881, up to 6.9;
    // from 6.9 at 14 000 km 19 200 km on, at the bound 6 024 km.
    const Words three{"7.9mm@10000km", "7.7mm@12000km", "6.9mm@14000km"};
    says(wear(pad, three),
         {"limit     at least 2.0 mm; the gauge is sure to ±0.1 mm, so good from 2.1 mm\n",
          "0.25 mm per 1 000 km through 3 readings; at most 0.797 mm (95 %, one-sided)\n",
          "keep      not reckoned: --next-service", "expected at 33 200 km, at the soonest at 20 024 km\n"});
    Words next = three;
    next.insert(next.end(), {"--next-service", "+6 000 km"});
    says(wear(pad, next), {"keep      at least 6.9 mm lasts 6 000 km more\n", "by the line through 3 readings\n"});
    // 10.5 − 0.00025 · 16 000 = 6.5. Today's reading is judged by what was before it: 6.8 is short of 6.9, and 6.9 is not.
    next.insert(next.end(), {"--meter", "16 000 km", "--reading"});
    Words short_of = next, enough = next;
    short_of.emplace_back("6.8mm");
    enough.emplace_back("6.9mm");
    says(wear(pad, short_of),
         {"today     6.5 mm is to be expected at 16 000 km\n", "at least 6.9 mm lasts",
          "reading   6.8 mm: within, but not to the next service\n", "with it, ", "through 4 readings"});
    says(wear(pad, enough), {"reading   6.9 mm: within: reaches the next service\n"});

    // A new one is no thicker than what is asked for: nothing lasts so long.
    Words far = three;
    far.insert(far.end(), {"--next-service", "+10000km", "--new", "9.0mm"});
    says(wear(pad, far), {"keep      at least 10.1 mm lasts 10 000 km more\n", "a new one of 9.0 mm does not\n"});
}

TEST_CASE("by the last reading, or the size when new") {
    // q = 1.25·6000/12000 = 0.625; (2.1 + 0.625·9.0)/1.625 = 4.7538…: up to 4.8.
    const Words at{"--new", "9.0mm", "--meter", "12000km", "--next-service", "18000km"};
    says(wear(pad, at), {"keep      at least 4.8 mm lasts 6 000 km more\n",
                         "if it wears as since 9.0 mm at 0 km, new, and with a margin of 1.25"});
    // g = 1: (2.1 + 0.5·9.0)/1.5 = 4.4.
    Words even = at;
    even.insert(even.end(), {"--margin", "1"});
    says(wear(pad, even), {"at least 4.4 mm lasts", "with a margin of 1\n"});
    // Since 8.0 at 2 000 km: q = 1.25·6000/10000 = 0.75; (2.1 + 6.0)/1.75 = 4.628…: up to 4.7. From 9.0 at 0 to 8.0 at 2 000 it wore 0.5 mm in
    // 1 000 km, so 3.0 are to be expected. With 4.8 read, 3.2 went in 10 000 km: 2.7 to go are 8 437.5 km, at 1.25 times that rate 6 750.
    Words read = at;
    read.insert(read.end(), {"8.0mm@2000km", "--reading", "4.8mm"});
    says(wear(pad, read), {"3.0 mm is to be expected at 12 000 km", "at least 4.7 mm lasts",
                           "as since 8.0 mm at 2 000 km, and", "expected at 20 437 km, at the soonest at 18 750 km"});
    // Renewed at 2 000 km with 9.0 mm: q = 0.75; (2.1 + 6.75)/1.75 = 5.057…: up to 5.1.
    Words renewed = at;
    renewed.insert(renewed.end(), {"--new-at", "2000km"});
    says(wear(pad, renewed), {"at least 5.1 mm lasts", "9.0 mm at 2 000 km, new"});
    // Of one reading alone no wear is known, and how far it ran is not either.
    says(wear(pad, {"6.4mm@12460km", "--next-service", "+6000km"}),
         {"keep      not reckoned: --meter does not say", "no forecast: only one size is known"});
    says(wear(pad, {"--meter", "12460km", "--next-service", "+6000km"}),
         {"not reckoned: besides today's reading no size"});
    says(wear(pad, {"2.1mm@1000km", "--meter", "2000km", "--next-service", "+6000km", "--reading", "2.1mm"}),
         {"no longer inside the limit", "2.1 mm: within today\n", "limit at  expected at 2 000 km"});
    says(wear(pad, {"5.0mm@1000km", "5.2mm@2000km"}), {"no forecast: no wear is to be seen"});
}

TEST_CASE("four verdicts with the guard band of the gauge") {
    // ILAC-G8:09/2019, seen in part: minimum 22.00, U 0.02.
    const auto disc = [](const std::string& read) {
        return wear({"--minimum", "22.00mm", "--reads-to", "0.01mm", "--uncertainty", "0.02mm", "--reading", read});
    };
    says(disc("22.02mm"), {"good from 22.02 mm", "22.02 mm: within today"});
    says(disc("22.01mm"), {": doubtful"});
    says(disc("21.98mm"), {": doubtful"});
    says(disc("21.97mm"), {": past the limit"});
    says_not(disc("21.97mm"), "keep");
    const auto runout = [](const std::string& read) {
        return wear({"--maximum", "0.10mm", "--reads-to", "0.01mm", "--uncertainty", "0.01mm", "--reading", read});
    };
    says(runout("0.09mm"), {"at most 0.10 mm", "good up to 0.09 mm", ": within today"});
    says(runout("0.10mm"), {": doubtful"});
    says(runout("0.11mm"), {": doubtful"});
    says(runout("0.12mm"), {": past the limit"});
}

TEST_CASE("what wears up to a maximum, and over hours") {
    // 0.2 mm in 100 h, on the line: 182.0 − 0.1 − 0.5 = 181.4; from 180.4 at 300 h the 1.5 mm to 181.9 take 750 h.
    const Words drum{"--maximum",    "182.0mm",      "--reads-to",   "0.1mm",          "--uncertainty", "0.1mm",
                     "180.0mm@100h", "180.2mm@200h", "180.4mm@300h", "--next-service", "+250h"};
    says(wear(drum),
         {"0.2 mm per 100 h through 3 readings; at most 0.2 mm", "keep      at most 181.4 mm lasts 250 h more\n",
          "expected at 1 050 h, at the soonest at 1 050 h"});
    says(wear(drum, {"--meter", "400h", "--reading", "181.5mm"}), {"181.5 mm: within, but not to the next service"});
    says(wear(drum, {"--meter", "400h", "--reading", "181.4mm"}), {"181.4 mm: within: reaches the next service"});
}

TEST_CASE("the same for a program, and as python3's statistics reckon it (live)") {
    const std::vector<std::pair<double, double>> taken{
        {1240, 8.3}, {3980, 7.2}, {6610, 5.8}, {8460, 5.4}, {10020, 4.4}};
    Words readings;
    std::string x, y;
    for (const auto& each : taken) {
        readings.push_back(fmt::format("{}mm@{}km", each.second, each.first));
        x += fmt::format("{},", each.first);
        y += fmt::format("{},", each.second);
    }
    // The slope's standard error from the correlation: b·√((1/r² − 1)/(n − 2)).
    const Ran python =
        run("/usr/bin/python3",
            {"-c", fmt::format("import statistics as s, math\nx=[{}]\ny=[{}]\nb, a = s.linear_regression(x, y)\n"
                               "r = s.correlation(x, y)\nprint(b, a, abs(b) * math.sqrt((1/r**2 - 1) / 3))",
                               x, y)});
    REQUIRE(python.status == 0);
    double slope = 0, intercept = 0, error = 0;
    std::stringstream(python.out) >> slope >> intercept >> error;
    REQUIRE(slope < 0);
    const auto near = [](double value, double right) { return std::abs(value - right) <= 1e-8 * std::abs(right); };

    readings.insert(readings.end(), {"--next-service", "+2000km"});
    const auto json = figures(pad, readings);
    const auto& line = json.at("line");
    CHECK(line.at("points") == 5);
    CHECK(near(line.at("slope"), slope));
    CHECK(near(line.at("intercept"), intercept));
    CHECK(near(line.at("slope-error"), error));
    constexpr double t = 2.353363; // Student, one-sided 95 %, 3 degrees of freedom; every textbook's table has 2.353
    const double bound = -slope + t * error;
    CHECK(std::abs(line.at("rate-bound").get<double>() - bound) < 1e-6 * bound);
    CHECK(json.at("keep").at("value") == doctest::Approx(std::ceil((2.1 + 2000 * bound) * 10) / 10));
    CHECK(json.at("keep-from") == "line");
    CHECK(json.at("expected").at("value") == std::floor(10020 + 2.3 / -slope));
    CHECK(json.at("soonest").at("value") == doctest::Approx(10020 + 2.3 / bound).epsilon(1e-4));
    CHECK(json.at("readings").size() == 5);

    const auto judged =
        figures(pad, {"--new", "9.0mm", "--meter", "12000km", "--next-service", "+6000km", "--reading", "4.7mm"});
    CHECK(judged.at("verdict") == "not-to-next-service");
    CHECK(judged.at("keep-from") == "new");
    CHECK(judged.at("interval").at("value") == 6000);
    CHECK(judged.at("good").at("value") == 2.1);
    const auto unknown = figures(pad, {"--reading", "4.7mm"});
    CHECK(unknown.at("verdict") == "within");
    CHECK(unknown.at("no-keep") == "no-next-service");
    CHECK(!unknown.contains("keep"));
}

TEST_CASE("the example of the docs") {
    std::stringstream page(read(std::string(BENCHLEAF_SOURCE_DIR) + "/docs/history-and-due.md"));
    std::size_t shown = 0;
    for (std::string text; std::getline(page, text);) {
        if (!text.starts_with("benchleaf wear ")) continue;
        ++shown;
        std::stringstream line(text.substr(std::string_view("benchleaf wear ").size()));
        Words words;
        for (std::string word; line >> word;) words.push_back(word);
        says(wear(words), {"expected at 33 200 km, at the soonest at 20 024 km"});
    }
    CHECK(shown == 1);
}

TEST_CASE("what is not sure is refused in one line") {
    const auto refused = [](const Words& arguments, const std::string& says) {
        const Ran ran = wear(pad, arguments);
        CAPTURE(ran.err);
        CHECK(ran.status == 2);
        CHECK(ran.out.empty());
        CHECK(ran.err.find(says) != std::string::npos);
    };
    refused({"5@1000km"}, "`5`: this number has no unit");
    refused({"5mm@1000"}, "`1000`: this number has no unit");
    refused({"5mm"}, "6.4mm@12460km");
    refused({"5N@1000km"}, "held against a limit of 2.0 mm");
    refused({"+5mm@1000km"}, "no plus sign");
    refused({"5mm@+1000km"}, "no plus sign");
    refused({"5mm@1000km", "5mm@10h"}, "one meter has one unit");
    refused({"5mm@1000km", "5mm@900km"}, "`5mm@900km`: this lies before 1 000 km");
    refused({"5mm@1000km", "--meter", "1000km"}, "a reading of today is --reading");
    refused({"5mm@1000km", "--reading", "4mm"}, "--meter");
    refused({"5mm@1000km", "--new", "9mm", "--new-at", "2000km"}, "lies before 2 000 km");
    refused({"5mm@1000km", "--next-service", "6000km"}, "`+6000km`");
    refused({"--meter", "7000km", "--next-service", "6000km"}, "`+6000km`");
    refused({"--meter", "7000km", "--next-service", "+60h"}, "one meter has one unit");
    refused({"--new-at", "0km"}, "--new");
    refused({"--margin", "0.9"}, "1 or more");
    refused({"--maximum", "3mm"}, "--maximum");
    CHECK(wear({"--reads-to", "0.1mm", "--reading", "2mm"}).err.find("--minimum") != std::string::npos);
    CHECK(wear({"--minimum", "2mm", "--reading", "2mm"}).err.find("--reads-to") != std::string::npos);
    CHECK(wear({"--minimum", "2mm", "--reads-to", "0mm"}).err.find("above zero") != std::string::npos);
    CHECK(wear({"--minimum", "2mm", "--reads-to", "0.1mm", "--uncertainty", "-1mm"}).status == 2);
    CHECK(wear({"--minimum", "9000000mm", "--reads-to", "0.000000000000001mm"}).err.find("not so many steps") !=
          std::string::npos);
}
