#include "mechanics/preload.h"

#include <limits>
#include <numbers>

namespace benchleaf::mechanics {
namespace {

constexpr double any_size = std::numeric_limits<double>::infinity();
constexpr double inch = 25.4;             // mm
constexpr double ksi = 6.894757293168361; // MPa

struct Proof {
    std::string_view strength_class;
    double up_to;  // nominal diameter in mm
    double stress; // MPa
};
// By class, then by size. ISO 898-1 table 3; SAE J429 in ksi.
constexpr Proof proofs[] = {
    {"4.6", any_size, 225},
    {"4.8", any_size, 310},
    {"5.6", any_size, 280},
    {"5.8", any_size, 380},
    {"6.8", any_size, 440},
    {"8.8", 16, 580},
    {"8.8", any_size, 600},
    {"9.8", any_size, 650},
    {"10.9", any_size, 830},
    {"12.9", any_size, 970},
    {"grade 2", 0.75 * inch, 55 * ksi},
    {"grade 2", 1.5 * inch, 33 * ksi},
    {"grade 5", 1 * inch, 85 * ksi},
    {"grade 5", 1.5 * inch, 74 * ksi},
    {"grade 8", 1.5 * inch, 120 * ksi},
    {"A2-50", any_size, 210},
    {"A2-70", any_size, 450},
    {"A4-50", any_size, 210},
    {"A4-70", any_size, 450},
    {"A4-80", any_size, 600},
};

// A nut carries the full load of a screw whose first number is its class.
struct NutFor {
    std::string_view nut;
    std::string_view screw;
};
constexpr NutFor nuts[] = {{"5", "5.8"}, {"6", "6.8"}, {"8", "8.8"}, {"10", "10.9"}, {"12", "12.9"}};

} // namespace

double stress_area(const units::Thread& thread) {
    const double shrink = thread.series == units::Thread::Series::metric ? 0.9382 : 0.9743;
    const double d = units::diameter_mm(thread) - shrink * units::pitch_mm(thread);
    return std::numbers::pi / 4 * d * d;
}

std::optional<double> proof_stress(std::string_view strength_class, double diameter_mm) {
    for (const NutFor& each : nuts) {
        if (each.nut == strength_class) strength_class = each.screw;
    }
    for (const Proof& each : proofs) {
        if (each.strength_class == strength_class && diameter_mm <= each.up_to) return each.stress;
    }
    return std::nullopt;
}

std::optional<double> proof_load(const units::Thread& thread, std::string_view strength_class) {
    const std::optional<double> stress = proof_stress(strength_class, units::diameter_mm(thread));
    if (!stress) return std::nullopt;
    return *stress * stress_area(thread);
}

Friction friction(ThreadCondition condition) {
    switch (condition) {
    case ThreadCondition::dry:
        return {0.20, 0.35};
    case ThreadCondition::oiled:
        return {0.18, 0.25};
    case ThreadCondition::thread_locked:
        return {0.18, 0.30};
    case ThreadCondition::paste:
        return {0.12, 0.30};
    }
    return {0.20, 0.35};
}

std::optional<Preload> preload(const units::Figure& torque, const units::Thread& thread, ThreadCondition condition) {
    const Friction rubs = friction(condition);
    const double arm = rubs.k * units::diameter_mm(thread) / 1000; // m
    const auto force = [&](const units::Quantity& value) {
        return units::value_in(value, units::Unit::newton_metre) / arm;
    };
    const Preload result{force(torque.nominal), force(torque.lower) * (1 - rubs.scatter),
                         force(torque.upper) * (1 + rubs.scatter)};
    if (!(result.nominal > 0)) return std::nullopt; // NaN is caught here too
    return result;
}

std::optional<double> proof_share(const units::Figure& torque, const units::Thread& thread,
                                  std::string_view strength_class, ThreadCondition condition) {
    const std::optional<Preload> force = preload(torque, thread, condition);
    const std::optional<double> proof = proof_load(thread, strength_class);
    if (!force || !proof) return std::nullopt;
    return force->nominal / *proof;
}

} // namespace benchleaf::mechanics
