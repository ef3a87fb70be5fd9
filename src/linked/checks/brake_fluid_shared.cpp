#include "linked/brake_fluid.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_brake_fluid_shared(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::brake_fluid_shared = {
    {"brake-fluid-shared", messages::Level::warning,
     "a brake or clutch is filled with the same as a circuit of another catalogue"},
    find_brake_fluid_shared};

namespace {

void find_brake_fluid_shared(const Linked& linked, const Check& self, Messages& out) {
    tell_shared(linked, false, self.rule, out);
}

} // namespace
} // namespace benchleaf::linked
