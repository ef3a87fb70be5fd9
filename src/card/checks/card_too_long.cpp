#include "card/found.h"

namespace benchleaf::card {

const Check checks::card_too_long = {{"card-too-long", messages::Level::error,
                                      "a procedure with all that it does unfolds to more rows than a card holds"}};

void found::card_too_long(const fitted::Procedure& procedure, std::uint32_t most, messages::Messages& out) {
    const auto& id = procedure.source->source->id;
    out.add(checks::card_too_long.rule, id.span,
            "the card of `" + id.value + "` would have more than " + std::to_string(most) + " rows")
        .help = "give the procedures that it calls with `do` to the job instead: each becomes a card of its own";
}

} // namespace benchleaf::card
