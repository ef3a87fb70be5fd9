// What a torque does to a screw: its preload, against the proof load of its thread and class.
#pragma once

#include "units/quantity.h"
#include "units/thread.h"

#include <optional>
#include <string_view>

namespace benchleaf::mechanics {

// Tensile stress area in mm². Metric: π/4·(d − 0.9382·P)² (ISO 898-1). Unified: π/4·(d − 0.9743/n)² in inches (ASME
// B1.1).
double stress_area(const units::Thread& thread);

// Stress under proof load in MPa of a strength class at a nominal diameter in mm; nullopt for a class that is not
// known. `4.6` … `12.9`: ISO 898-1 (8.8 has 580 up to 16 mm and 600 above). A nut's class, `5` `6` `8` `10` `12`,
// stands for the screw it is made for (ISO 898-2). `grade 2`, `grade 5`, `grade 8`: SAE J429. `A2-50` … `A4-80`: the
// 0.2 % stress of ISO 3506-1, from memory.
std::optional<double> proof_stress(std::string_view strength_class, double diameter_mm);

// Proof load in N = stress area · stress under proof load.
std::optional<double> proof_load(const units::Thread& thread, std::string_view strength_class);

enum class ThreadCondition : std::uint8_t { dry, oiled, thread_locked, paste };

struct Friction {
    double k = 0;       // nut factor K of T = K·F·d
    double scatter = 0; // of the preload at one torque, as a part of it: 0.35 is ±35 %
};
// dry 0.20 (zinc plated), oiled 0.18, paste 0.12: Shigley table 8-15. Wet thread-locker as oil: common practice.
// Scatter: dry ±35 %, oiled ±25 % (NASA values); thread-locker and paste ±30 %: common practice.
Friction friction(ThreadCondition condition);

// F = T / (K·d), in N.
struct Preload {
    double nominal = 0; // at the nominal torque and the mean K
    double least = 0;   // at the lower torque, less the scatter
    double greatest = 0;
};
// nullopt when the figure is no torque above zero.
std::optional<Preload> preload(const units::Figure& torque, const units::Thread& thread, ThreadCondition condition);

// The nominal preload as a part of the proof load (0.75 is 75 %); nullopt when either is not known.
std::optional<double> proof_share(const units::Figure& torque, const units::Thread& thread,
                                  std::string_view strength_class, ThreadCondition condition);

} // namespace benchleaf::mechanics
