// Which states of a setting send a circuit round. Internal to proof/.
#pragma once

#include "base/text.h"
#include "linked/linked.h"

#include <algorithm>
#include <iterator>
#include <string>
#include <string_view>

namespace benchleaf::proof {

// By its English name; the state that the circuit names is one anyway.
inline bool turns_in(const linked::Item& setting, linked::Place state) {
    static constexpr std::string_view turning[] = {"running", "idling", "idle", "cranking", "revving", "revs"};
    const std::string name = base::small_letters(setting.places[state].name);
    return std::any_of(std::begin(turning), std::end(turning),
                       [&](std::string_view word) { return name.find(word) != std::string::npos; });
}

// Does the circuit go round in that state of the setting, or does what sends it round turn there, if slower?
inline bool goes_round_in(const linked::Item& circuit, linked::ItemId id, const linked::Item& setting,
                          linked::Place state) {
    return std::any_of(circuit.whiles.begin(), circuit.whiles.end(), [&](const linked::While& each) {
        return each.verb == model::VerbName::circulate &&
               std::any_of(each.needs.begin(), each.needs.end(), [&](const linked::Need& need) {
                   return need.item == id && (need.place == state || (state != 0 && turns_in(setting, need.place) &&
                                                                      turns_in(setting, state)));
               });
    });
}

} // namespace benchleaf::proof
