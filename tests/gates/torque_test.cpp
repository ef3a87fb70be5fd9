// `benchleaf torque`: what the real program prints, against worked examples of tests/outside/mechanics_test.cpp, and what it refuses.
#include "gates/program.h"

#include <doctest/doctest.h>

using namespace benchleaf::gates;

namespace {

const std::string demo = std::string(BENCHLEAF_SOURCE_DIR) + "/procedures";

// Where no shop is.
Ran torque(std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), "torque");
    return run(arguments, {.folder = scratch("torque")});
}
void says(const Ran& ran, const std::vector<std::string>& all) {
    CHECK(ran.status == 0);
    CHECK(ran.err.empty());
    for (const std::string& each : all) CHECK_MESSAGE(ran.out.find(each) != std::string::npos, each, " in\n", ran.out);
}

} // namespace

TEST_CASE("a torque in other units, on a thread, on a wrench, round a ring") {
    // Exact factors (NIST SP 811); M8 of 8.8: stress area 36.6 mm², proof load 21 200 N (ISO 898-1 reprints, which round).
    says(torque({"25.5N·m", "--thread", "M8", "--class", "8.8"}),
         {"18.8 lbf·ft  ·  226 lbf·in  ·  2.60 kgf·m", "stress area 36.6 mm²", "dry: K 0.20, scatter ±35 %", "15900 N",
          // 15 937 / 21 230 = 0.7507; 0.65 of that at the least and 1.35 at the most, the scatter of dry threads
          "of which the preload is 75 %, from 49 % to 101 %"});
    // TM 9-2350-261-20-1: 40 lbf·ft, wrench 12, adapter 4: set to 30.
    says(torque({"40lbf·ft", "--adapter", "4in", "--wrench-length", "12in"}),
         {"for 40 lbf·ft with 4 in at 0° set it to 30.00 lbf·ft"});
    // Square to the wrench an adapter changes nothing.
    says(torque({"40lbf·ft", "--adapter", "4in", "--wrench-length", "12in", "--angle", "90°"}),
         {"set it to 40.00 lbf·ft"});
    // ASME PCC-1's legacy cross pattern; two rounds.
    says(torque({"90N·m", "--count", "8", "--rounds", "2"}), {"1 5 3 7 2 6 4 8", "45 N·m, 90 N·m"});
}

TEST_CASE("a torque and an angle") {
    // In one argument or two, as it is said and as it is printed.
    for (const std::vector<std::string>& written : std::vector<std::vector<std::string>>{
             {"30N·m", "+90°"}, {"30 N·m + 90°"}, {"30 N·m +90°"}, {"30 N·m, +90°"}, {"30N·m,", "+90°"}})
        says(torque(written), {"torque    30 N·m, +90°\n"});
    says(torque({"25 ±2 N·m + 90 ±5°"}), {"torque    25 ±2 N·m, +90 ±5°\n", "from 23 N·m to 27 N·m"});
    says(torque({"25 N·m +- 8 % + 90°"}), {"torque    25 N·m ±8 %, +90°\n"});
    says(torque({"contact + 270°"}), {"torque    contact +270°\n"});
    says(torque({"20N·m, 40N·m, +90°, +90°"}), {"torque    20 N·m, 40 N·m, +90°, +90°\n"});
    // The angle comes after the last round, and what it adds is told not to be known: 20 / (0.2 · 8 mm) = 12 500 N.
    const std::vector<std::string> on{"20N·m + 90°", "--thread", "M8", "--class", "8.8", "--rounds", "2"};
    says(torque(on), {"12500 N", "at 20 N·m; what +90° adds depends on the joint and is not reckoned",
                      "rounds    10 N·m, 20 N·m, and then +90°\n"});
    std::vector<std::string> json = on;
    json.emplace_back("--json");
    says(torque(json), {"\"turnedOn\": [", "\"preloadAt\": {", "\"greatestShareOfProof\": "});
}

TEST_CASE("the shop's own wrench") {
    const Ran ran = run({"torque", "23N·m ±10 %", "--date", "2026-11-25", "--shop", demo});
    says(ran, {"from 20.7 N·m to 25.3 N·m", "wrench B, no. FW-0118, 10–60 N·m"});
    says(run({"torque", "23N·m ±3 %", "--shop", demo}), {"its ±4 % is coarser than the tolerance of 23 N·m"});
    CHECK(ran.out.find("coarser") == std::string::npos);
    // Wrench A is 240 mm long, and 20 · 240 / (240 + 40) = 17.14, which it holds.
    says(run({"torque", "20N·m", "--adapter", "40mm", "--shop", demo}),
         {"wrench A", "with 40 mm at 0° set it to 17.14 N·m"});
    says(run({"torque", "900N·m", "--date", "2026-11-25", "--shop", demo}), {"none of the shop holds 900 N·m"});
    says(run({"torque", "23N·m", "--date", "2036-11-25", "--shop", demo}), {"is out of calibration"});
}

TEST_CASE("the same for a program") {
    const Ran ran = torque({"25N·m", "--thread", "M8x1.25", "--class", "8.8", "--count", "4", "--json"});
    says(ran, {"\"stressAreaMm2\": 36.6", "\"order\": [", "\"unit\": \"lbf·ft\"", "\"proofLoadN\""});
}

TEST_CASE("what is no torque is refused in one line") {
    const auto refused = [](const std::vector<std::string>& arguments, const std::string& says) {
        const Ran ran = torque(arguments);
        CAPTURE(ran.err);
        CHECK(ran.status == 2);
        CHECK(ran.out.empty());
        CHECK(ran.err.find(says) != std::string::npos);
    };
    refused({"24mm"}, "`mm` is a length");
    refused({"24"}, "no unit");
    refused({"+90°"}, "benchleaf: `+90°`");
    refused({"24N·m", "--thread", "M8x9"}, "--thread `M8x9`");
    refused({"24N·m", "--class", "8.8"}, "--thread");
    refused({"24N·m", "--thread", "M8", "--class", "99"}, "--class `99`");
    refused({"24N·m", "--adapter", "40mm", "--wrench-length", "0mm"}, "no lever left");
    refused({"24N·m", "--count", "25"}, "at most 24");
    refused({"24N·m", "--adapter", "40mm"}, "say --wrench-length");
    refused({"contact +90°", "--rounds", "2"}, "no torque in `contact +90°`");
    refused({"25,5 N·m"}, "25.5");
    refused({"+90°, 25N·m"}, "`+90°`");
    refused({"25N·m, , +90°"}, "benchleaf: ``");
    refused({"24N·m", "--date", "tomorrow"}, "2026-11-25");
    refused({"24N·m", "--threads", "wet", "--thread", "M8"}, "dry");
}
