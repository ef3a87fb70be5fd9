// Fits procedures to vehicles. `fit_shop` gives one Fit for each vehicle of the shop, with all procedures whose `fits`
// hold on it (or one Fit without a vehicle, in which everything is present, for a shop that has none yet); it also
// warns of what fits no vehicle and so is never proved. `fit_job` gives one Fit with the job's own figures laid over
// and its procedures in `sequence`; `fit_procedure` one with that procedure, for a blank card. What does not fit or
// lacks a figure is reported and is a hole: a Fit whose making gave an error must not be printed.
//
// A torque is looked up key by key: job, vehicle, procedure, the catalogues that the procedure sees. Its source is that
// of the level that gives the value, or of one above: a source never vouches for a value that it does not hold. A limit
// likewise; `within` stands for minimum and maximum together.
#pragma once

#include "fitted/fitted.h"
#include "messages/message.h"

#include <memory>
#include <optional>
#include <string>

namespace benchleaf::fitted {

// What holds for the whole shop, found once. Several threads may fit by the same one.
struct Common;
std::shared_ptr<const Common> common_of(const linked::Linked& linked);

// The Linked must outlive what is made from it.
Fitted fit_shop(const linked::Linked& linked, messages::Messages& messages);
Fitted fit_job(const Common& common, linked::JobId job, const std::optional<history::Vehicle>& past,
               messages::Messages& messages);
Fitted fit_procedure(const Common& common, linked::ProcedureId procedure, linked::VehicleId vehicle,
                     messages::Messages& messages);

// The vehicles of a shop one after the other, so that only one of them is held.
class ShopFitter {
public:
    explicit ShopFitter(std::shared_ptr<const Common> common);
    ShopFitter(const ShopFitter&) = delete;
    ShopFitter& operator=(const ShopFitter&) = delete;
    ~ShopFitter();

    // What fits no vehicle, and so is never proved.
    void find_unfitted(messages::Messages& messages);
    // With all procedures that fit it: what `fit_shop` makes of that vehicle, and says of it after those before it.
    Fitted whole(linked::VehicleId vehicle, messages::Messages& messages);
    // Likewise where another one, which looked at nothing else, said that of a vehicle.
    void take(const ShopFitter& other, const messages::Messages& said, messages::Messages& messages);

    // To see whether anything is wrong, procedure by procedure. True: nothing is, of the vehicle itself.
    bool look_at(linked::VehicleId vehicle, Looks& looks);
    // Of the vehicle that was looked at last, with one procedure and what it calls; not what another one has to do with it.
    Fitted alone(linked::ProcedureId procedure, Looks& looks, bool& good);

private:
    struct Inner;
    std::unique_ptr<Inner> inner_;
};

// Has the vehicle all that they ask for?
bool meets(const linked::Vehicle& vehicle, const model::Conditions& conditions);

// One thing a line, for people and tests.
std::string dump(const Fitted& fitted);

} // namespace benchleaf::fitted
