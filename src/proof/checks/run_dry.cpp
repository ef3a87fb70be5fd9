#include "base/text.h"
#include "proof/check.h"

#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <string_view>

namespace benchleaf::proof::checks {

namespace {

constexpr std::string_view turning[] = {"running", "idling", "idle", "cranking", "revving", "revs"};

// By its English name; the state that the circuit names is one anyway.
bool turns_in(const linked::Item& setting, linked::Place state) {
    const std::string name = base::small_letters(setting.places[state].name);
    return std::any_of(std::begin(turning), std::end(turning),
                       [&](std::string_view word) { return name.find(word) != std::string::npos; });
}

// Does the circuit go round in that state of the setting, or does what sends it round turn there, if slower?
bool runs_in(const linked::Item& circuit, linked::ItemId id, const linked::Item& setting, linked::Place state) {
    return std::any_of(circuit.whiles.begin(), circuit.whiles.end(), [&](const linked::While& each) {
        return each.verb == model::VerbName::circulate &&
               std::any_of(each.needs.begin(), each.needs.end(), [&](const linked::Need& need) {
                   return need.item == id && (need.place == state || (state != 0 && turns_in(setting, need.place) &&
                                                                      turns_in(setting, state)));
               });
    });
}

void find_run_dry(Moment& now, const Check& self) {
    for (std::size_t i = 0; i < now.fit.items.size(); ++i) {
        const fitted::Item& circuit = now.fit.items.unnoted(i);
        const auto& sort = circuit.is.circuit_of.sort;
        if (!circuit.present || !sort || sort->value == model::CircuitSort::fuel) continue;
        if (!runs_in(circuit.is, now.item, now.it().is, now.place)) continue;
        for (const fitted::InstanceId at : now.beside(linked::ItemId(i))) {
            const auto bad = now.some(at, [](const Standing& s) { return s.owes(model::Debt::fill); });
            if (!bad) continue;
            Finding& finding = now.report(self,
                                          fmt::format("{{item}} is {}{{sides}} while the {} is drained",
                                                      now.place_name(now.item, now.place), circuit.is.name),
                                          bad);
            if (auto since = now.debt_cause(at, bad->standing)) finding.more.push_back(std::move(*since));
            finding.help = fmt::format("`fill` the {} before this step, on every way that leads here", circuit.is.name);
            break;
        }
    }
}

} // namespace

extern const Check run_dry{{"run-dry", messages::Level::error,
                            "an engine is run while its oil, its coolant or another of its circuits is drained"},
                           When::demand,
                           model::Demand::one_rung,
                           find_run_dry};

} // namespace benchleaf::proof::checks
