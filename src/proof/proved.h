// A job, or one procedure on one vehicle, whose close-out was proved without an error. It cannot be made in any other way than by
// `prove_job`, so that whoever holds a Proved may print a card. It also says, card by card, in what state the work leaves what
// it touched: what the card's close-out block is made of.
#pragma once

#include "fitted/fitted.h"
#include "messages/message.h"

#include <optional>
#include <vector>

namespace benchleaf::proof {

// How one card leaves one item that it touched.
struct Left {
    linked::ItemId item;
    std::vector<fitted::AxisValue> values; // on which values of its axis; empty: it has none
    linked::Place place = 0;
    bool torqued = false;        // on some way
    bool moved = false;          // on some way its place changed: a setting was set, a part was off
    std::uint64_t paid = 0;      // bits of model::Debt that were owed and are paid
    std::uint64_t owes = 0;      // what a later card still has to pay
    linked::ConsumableId locker; // that was put on it on some way
};

class Proved {
public:
    const fitted::Fitted& fitted() const { return *fitted_; }
    const fitted::Fit& fit() const { return fitted_->fits[fit_]; }
    // By the order of `fit().sequence`.
    const std::vector<std::vector<Left>>& cards() const { return cards_; }

private:
    Proved(const fitted::Fitted& fitted, std::size_t fit) : fitted_(&fitted), fit_(fit) {}
    friend std::optional<Proved> prove_job(const fitted::Fitted&, std::size_t, messages::Messages&);

    const fitted::Fitted* fitted_;
    std::size_t fit_;
    std::vector<std::vector<Left>> cards_;
};

// Proves the sequence of `fitted.fits[fit]` and every procedure that it calls. Nothing when there was an error, here or in
// `messages` before.
std::optional<Proved> prove_job(const fitted::Fitted& fitted, std::size_t fit, messages::Messages& messages);

// Proves every procedure of a fit by itself, between its contracts.
void prove_procedures(const fitted::Fitted& fitted, std::size_t fit, messages::Messages& messages);

std::string dump(const Proved& proved);

} // namespace benchleaf::proof
