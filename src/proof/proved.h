// A job, or one procedure on one vehicle, whose close-out was proved without an error. It cannot be made in any other way than by
// `prove_job`, so that whoever holds a Proved may print a card. It also says, card by card, what is not finished when that card is
// done: nothing of it may be left unsaid in the card's close-out.
#pragma once

#include "fitted/fitted.h"
#include "messages/message.h"

#include <optional>
#include <vector>

namespace benchleaf::proof {

// What is not at rest when a card is done, on one value of its axis: work for another card, whether or not this one touched it.
struct Left {
    linked::ItemId item;
    fitted::AxisValue value = fitted::no_value;
    linked::Place place = 0;
    std::uint64_t owes = 0; // bits of model::Debt, owed on some way
};

class Proved {
public:
    const fitted::Fitted& fitted() const { return *fitted_; }
    const fitted::Fit& fit() const { return fitted_->fits[fit_]; }
    // By the order of `fit().sequence`; by item and value in each.
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

// Of several findings that come of one mistake, the mistake is told; or, to hold them against something else, each.
enum class Tells : std::uint8_t { mistakes, findings };

// Proves every procedure of a fit by itself, between its contracts.
void prove_procedures(const fitted::Fitted& fitted, std::size_t fit, messages::Messages& messages,
                      Tells tells = Tells::mistakes);

std::string dump(const Proved& proved);

} // namespace benchleaf::proof
