// As mistakes_test.cpp, of two leading arms: pins behind their nuts, bolts that are tightened on the ground.
#include "cases/mistaken.h"
#include "driver/shop_files.h"

using namespace benchleaf;

namespace {

constexpr const char* on = "suspension/front-arms-on.yaml";

const cases::MistakenShop shop("millrace-yard");

void without(const std::string& first, const std::vector<std::string>& expected) {
    shop.without(on, first, expected);
}

} // namespace

TEST_CASE("a pin goes in behind its nut, however far further down it would be shut in") {
    const std::string shut = ": once the front wheel is on, it cannot be reached";
    without("  - fit: ball-joint-pin",
            {"shut-in: add `- fit: ball-joint-pin` after `- torque: ball-joint-nut`" + shut});
    without("  - fit: track-rod-pin", {"shut-in: add `- fit: track-rod-pin` after `- torque: track-rod-nut`" + shut});
}

TEST_CASE("a bolt is snugged behind its fit, in whatever section that stands") {
    without("  - snug: arm-bolt", {"still-needed: add `- snug: arm-bolt` after `- fit: arm-bolt`"});
}

TEST_CASE("what is tightened on the ground is so behind what is done there in words, or before it") {
    without(
        "  - torque: arm-bolt",
        {"left-loose: add `- torque: arm-bolt` after `- Rock the front end so that the arms settle.`, or right after "
         "`- set: { front-end: down }` if that comes last, or, where another procedure tightens it, say `ends-with: { "
         "arm-bolt: snug }`"});
}
