// What fitting can find wrong, in words: one function a finding, each defined beside its rule in checks/.
#pragma once

#include "fitted/check.h"

#include <string>
#include <utility>
#include <vector>

namespace benchleaf::fitted {

namespace checks {
extern const Check axis_missing, decided_unmeasured, do_does_not_fit, finer_than_gauge, fits_no_vehicle, half_decided,
    impossible_only, impossible_when, item_not_on_vehicle, job_does_not_fit, limit_in_two_sorts, limit_missing,
    limit_reversed, lining_without_minimum, nothing_to_decide, pattern_of_one, preload_absurd, preload_unusual,
    size_below_zero, threads_not_locked, torque_missing, torque_without_source, difference_of_one, wait_too_short,
    worn_when_new, clamps_nothing, slot_for_no_pin, gauge_too_coarse, difference_apart, threads_not_dry,
    threads_left_bare, limit_without_source, filled_unlike_holds, filled_absurd, fill_unsaid, fluid_unsaid,
    vent_not_bled, axle_not_on_vehicle, reads_to_unsaid, wears_otherwise, half_looked, bore_without_maximum,
    holder_not_on_side, threads_unsaid, angle_reuse_unsaid, slot_unsaid;
} // namespace checks

using messages::Messages;

// A vehicle, or none, as messages and helps speak of it.
struct OfVehicle {
    std::string name; // "the Ostrel Haul 300"; "a vehicle" without one
    std::string file; // "vehicles/ostrel-haul-300.yaml"; empty without one
    Span id;          // where it is declared
};

// Why something is not there: the condition that fails, and what the vehicle has instead.
struct Failing {
    Span condition;        // its key
    std::string wanted;    // "front-brake: sliding-caliper"
    Span has;              // where the vehicle says otherwise; unknown when it says nothing
    std::string has_value; // "drum"
};

void report_item_not_on_vehicle(Messages& out, Span at, const std::string& item, const OfVehicle& vehicle,
                                const Failing& failing);
// The axis of the item has no value on this vehicle, or not this one.
void report_item_without_axis(Messages& out, Span at, const std::string& item, const OfVehicle& vehicle,
                              const std::string& axis, Span declared);
void report_item_narrowed_away(Messages& out, Span at, const std::string& item, const OfVehicle& vehicle,
                               Span narrowed);
void report_impossible_when(Messages& out, Span at, const std::string& what, const std::string& near, Span near_at);
void report_impossible_only(Messages& out, Span at, const std::string& value, const std::string& axis,
                            const std::vector<std::string>& values, const std::string& near);
// `calls`: what goes by it is a procedure that this step works.
void report_only_of_no_axis(Messages& out, Span at, const std::string& axis, const std::string& what,
                            bool calls = false);
// In a section that is worked once.
void report_only_of_one(Messages& out, Span at, const std::string& axis, const std::string& item);
// `only`: where the vehicle leaves the holder out, at that value of its axis.
void report_holder_not_on_side(Messages& out, Span only, const linked::Item& part, const linked::Item& holder,
                               const std::string& value);
void report_holder_of_nothing(Messages& out, Span only, const linked::Item& part, const linked::Item& holder,
                              const std::string& value);
// Of a vehicle that tells its wheels.
void report_axle_not_on_vehicle(Messages& out, const model::Ref<model::Refers::free>& axle,
                                const model::Vehicle& vehicle);
// `what` is "the procedure `x`", "the part `y`".
void report_fits_no_vehicle(Messages& out, Span at, const std::string& what, bool procedure);
void report_fits_near_miss(Messages& out, Span at, const std::string& written, const std::string& near);
// A procedure in a job's `do`.
struct Misfit {
    Span at;
    std::string procedure;
    Failing failing;
};
void report_job_does_not_fit(Messages& out, const std::vector<Misfit>& misfits, const OfVehicle& vehicle);
void report_do_does_not_fit(Messages& out, Span at, const std::string& procedure, const OfVehicle& vehicle,
                            const Failing& failing);
void report_axis_missing(Messages& out, Span at, const std::string& procedure, const std::string& axis,
                         const OfVehicle& vehicle);
// `lacking`: "left", where it was read on other values of its axis; else empty.
// `elsewhere`: what does measure it, too late or not on every side.
struct MeasuredElsewhere {
    Span late;
    Span narrow;
    std::string instead; // what a round reads, and does not decide by
};
void report_decided_unmeasured(Messages& out, Span at, const std::string& limit, const std::string& id,
                               const std::string& lacking, Span declared, Span step,
                               const MeasuredElsewhere& elsewhere);
// `lacking`: "right", where nothing decides by it.
void report_half_decided(Messages& out, Span at, const std::string& limit, const std::string& lacking, Span declared);
// `value`: the only one that is measured here, if there is one.
void report_difference_of_one(Messages& out, Span at, const LimitFigure& figure, const std::string& value);
// `until`: the time in which it sets, or clears.
void report_wait_too_short(Messages& out, Span at, const std::string& consumable, Span until,
                           const units::Quantity& wanted, bool sets);
// `catalogue`: its file, where it gives the torques of others and no vehicle gives this one; else empty.
void report_torque_missing(Messages& out, Span at, const std::string& id, const std::string& fastener,
                           const OfVehicle& vehicle, Span declared, const std::string& catalogue);
void report_torque_without_source(Messages& out, Span at, const std::string& fastener, Span step, bool source_below);
void report_limit_missing(Messages& out, Span at, const std::string& id, const std::string& limit,
                          const OfVehicle& vehicle, Span declared);
// The nominal preload as a part of the proof load, outside what a clamping screw is tightened to. A figure of which nobody says where it
// comes from is absurd; one that has a source is only unusual.
// `whatever_source`: so far out that no source makes it right.
void report_preload(Messages& out, Span at, const linked::Item& item, const TorqueFigure& figure,
                    std::string_view strength, double share, bool whatever_source);
// The stages of a critical fastener that clamps, which leave it loose.
void report_clamps_nothing(Messages& out, Span at, const linked::Item& item, const TorqueFigure& figure);
void report_slot_for_no_pin(Messages& out, Span at, const linked::Item& item, const TorqueFigure& figure);
void report_slot_unsaid(Messages& out, Span at, const linked::Item& item, const TorqueFigure& figure,
                        const linked::Item& pin);
// What a limit says of itself once all levels are laid over each other.
// One of its figures, with the words of its key: "`minimum`".
struct LimitPart {
    std::string key;
    units::Unit unit;
    std::string figure; // "2.0 kPa"
    Span span;
    bool shown = true;                         // beside the box on the card
    std::optional<units::Quantity> quantity{}; // of one figure; a range has none
};
void report_limit_in_two_sorts(Messages& out, const LimitFigure& figure, const LimitPart& odd, const LimitPart& other);
// `why`: what says that it wears.
void report_size_below_zero(Messages& out, const LimitFigure& figure, Span at, const units::Quantity& size, Span why);
void report_lining_without_minimum(Messages& out, const LimitFigure& figure, Span surface);
// `bound`: what it is held against.
void report_bore_without_maximum(Messages& out, const LimitFigure& figure, Span surface);
void report_half_looked(Messages& out, Span at, const linked::Item& item, const std::string& lacking, Span look);
void report_wears_otherwise(Messages& out, const LimitFigure& figure, const std::string& id, const linked::Job& job);
void report_reads_to_unsaid(Messages& out, const LimitFigure& figure, const units::Quantity& bound);
// Two figures that disagree are told at that which a procedure, vehicle or job has changed, if the other is the catalogue's.
void report_limit_reversed(Messages& out, const LimitFigure& figure, bool maximum_changed);
void report_finer_than_gauge(Messages& out, const LimitFigure& figure, Span at, const units::Quantity& bound);
void report_gauge_too_coarse(Messages& out, const LimitFigure& figure, Span range);
void report_difference_of_no_axis(Messages& out, const LimitFigure& figure, const linked::Item& item,
                                  const std::string& axis);
// A question, asked for each value of the axis by itself, that rests on a difference over it.
void report_difference_apart(Messages& out, Span at, const LimitFigure& figure, const std::string& axis);
void report_worn_when_new(Messages& out, const LimitFigure& figure, bool wears_down, bool new_changed);
// `threads` is what the torque is for.
void report_threads_not_locked(Messages& out, const linked::Item& item, Span threads, std::string_view word);
void report_threads_not_dry(Messages& out, const linked::Item& item, Span on, const std::string& consumable,
                            const TorqueFigure& figure);
// `cleaned`: where what they slide on is taken off; not known where it only goes in again. `unused`: null, or what was surely meant for it.
void report_threads_left_bare(Messages& out, const linked::Item& item, Span cleaned, Span tightened,
                              const TorqueFigure& figure, std::string_view word, const linked::Consumable* unused);
void report_filled_unlike_holds(Messages& out, Span at, const linked::Item& circuit, bool too_much);
// Ten times what it holds, or a five-hundredth; or more than any circuit of a small vehicle holds.
void report_filled_absurd(Messages& out, Span at, const linked::Item& circuit, const units::Quantity& amount);
void report_holds_absurd(Messages& out, Span at, const linked::Item& circuit, const units::Quantity& amount);
void report_threads_unsaid(Messages& out, const linked::Item& item, Span torque); // of one with thread-locker
void report_angle_reuse_unsaid(Messages& out, const linked::Item& item, Span torque);
void report_fill_unsaid(Messages& out, Span at, const linked::Item& circuit);
void report_fluid_unsaid(Messages& out, Span at, const linked::Item& circuit); // of what is filled, bled or levelled
void report_vent_not_bled(Messages& out, Span at, const linked::Item& circuit, const linked::Item& vent);
void report_limit_without_source(Messages& out, Span at, const std::string& name, Span source_below);
// A pattern, or rounds, of a fastener that is no group; or rounds without the pattern by which the card prints them.
void report_pattern_of_one(Messages& out, const linked::Item& item);
void report_rounds_without_pattern(Messages& out, const linked::Item& item);
void report_nothing_to_decide(Messages& out, Span at, const OfVehicle& vehicle);

} // namespace benchleaf::fitted
