// What stands after the work: findings, the strip for work that stops half-way, the close-out made from the proof. Private to card/.
#pragma once

#include "card/rows.h"

namespace benchleaf::card {

Findings make_findings(const Speaker& speaker);
StopStrip make_stop_strip(const Speaker& speaker);
// `left`: what is not finished when this card is done. `torques`: the values set, as text.
CloseOut make_close_out(const Speaker& speaker, const Unfolded& unfolded, const std::vector<proof::Left>& left,
                        const std::map<linked::ItemId, std::string>& torques);

} // namespace benchleaf::card
