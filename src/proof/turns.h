// Which states of a setting send a circuit round. Internal to proof/.
#pragma once

#include "linked/look_over.h"

#include <algorithm>

namespace benchleaf::proof {

// Does the circuit go round in that state of the setting, or does what sends it round turn there, if slower?
inline bool goes_round_in(const linked::Item& circuit, linked::ItemId id, const linked::Item& setting,
                          linked::Place state) {
    return std::any_of(circuit.whiles.begin(), circuit.whiles.end(), [&](const linked::While& each) {
        return each.verb == model::VerbName::circulate &&
               std::any_of(each.needs.begin(), each.needs.end(), [&](const linked::Need& need) {
                   return need.item == id &&
                          (need.place == state || (state != 0 && linked::turns(setting.places[need.place].name) &&
                                                   linked::turns(setting.places[state].name)));
               });
    });
}

} // namespace benchleaf::proof
