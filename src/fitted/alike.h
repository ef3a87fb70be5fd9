// Which vehicles are alike for a procedure, so that it is not fitted and proved on each of a thousand. What was looked at when it was proved
// on one vehicle was noted (Looks); another one that has the same features, axes and wheels, whose items hold each other likewise, and whose
// own figures are the same in all of that, gives the same verdict. Nothing is guessed: what is not known to be alike is proved.
//
//     const Alike alike(linked);
//     Verdicts verdicts(alike);
//     if (const auto verdict = verdicts.of(procedure, vehicle)) …   // good or not, as on a vehicle that is alike
//     else … verdicts.remember(procedure, vehicle, looks, good);
#pragma once

#include "fitted/fitted.h"

#include <map>
#include <optional>
#include <set>
#include <utility>
#include <vector>

namespace benchleaf::fitted {

class Alike {
public:
    explicit Alike(const linked::Linked& linked);

    // Those that differ in figures alone; a verdict never holds for others.
    const std::vector<std::vector<linked::VehicleId>>& sorts() const { return of_sort_; }

private:
    friend class Verdicts;
    enum class Level : std::uint8_t { item, torque, limit };
    using Figure = std::pair<Level, std::uint32_t>; // whose: an ItemId or LimitId
    using Figures = std::map<Figure, std::size_t>;  // to a number for what it says

    std::size_t says(linked::VehicleId vehicle, const Figure& figure) const;

    std::vector<std::vector<linked::VehicleId>> of_sort_;
    std::vector<std::size_t> sorts_;            // by vehicle
    std::vector<Figures> own_;                  // by vehicle
    std::vector<std::set<Figure>> any_of_sort_; // by sort
};

class Verdicts {
public:
    explicit Verdicts(const Alike& alike) : alike_(alike) {}

    // `ProcedureId()` stands for the vehicle itself, as far as it was judged without any procedure.
    std::optional<bool> of(linked::ProcedureId procedure, linked::VehicleId vehicle) const;
    void remember(linked::ProcedureId procedure, linked::VehicleId vehicle, const Looks& looks, bool good);

private:
    struct Seen {
        // Of all that any vehicle of the sort has of its own; 0 where this one has nothing.
        std::vector<std::pair<Alike::Figure, std::size_t>> looked_at;
        bool good = true;
    };

    const Alike& alike_;
    std::map<std::pair<linked::ProcedureId, std::size_t>, std::vector<Seen>> seen_;
};

} // namespace benchleaf::fitted
