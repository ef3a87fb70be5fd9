#include "proof/check.h"
#include "proof/remedy.h"

#include "base/text.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// The circuit, or the vent, may ask for one of its openers out of its place: it is filled through its cap, or up to its level plug.
bool asked_open(const Moment& now, linked::ItemId circuit, linked::ItemId opener) {
    const auto asks = [&](const linked::Item& item) {
        for (const linked::While& each : item.whiles)
            if (now.row != nullptr && each.verb == now.row->verb)
                for (const linked::Need& need : each.needs)
                    if (need.item == opener && need.place != 0) return true;
        return false;
    };
    return asks(now.it().is) || asks(now.of(circuit).is);
}

// Oil and water are filled in at a cap, and many a gearbox up to its level plug; what is bled is shut.
bool flows_over(const Moment& now, linked::ItemId circuit) {
    const auto& sort = now.of(circuit).is.circuit_of.sort;
    const bool filled = now.row->verb == model::VerbName::fill || now.row->verb == model::VerbName::level;
    return filled && sort && sort->value != model::CircuitSort::hydraulic;
}

// Nothing is filled through what its name says drains it.
bool drains(const Moment& now, linked::ItemId opener) {
    const linked::Item& is = now.of(opener).is;
    return is.id.find("drain") != std::string::npos || base::small_letters(is.name).find("drain") != std::string::npos;
}

void find_openers_loose(Moment& now, const Check& self) {
    const linked::ItemId circuit = now.it().is.sort == linked::Sort::circuit ? now.item : now.it().is.vents;
    if (!circuit.known()) return;
    for (const linked::ItemId opener : now.of(circuit).is.openers) {
        if (!opener.known() || !now.of(opener).present || opener == now.item) continue;
        if (asked_open(now, circuit, opener) || (flows_over(now, circuit) && now.of(circuit).is.filled_through(opener)))
            continue;
        for (const fitted::InstanceId at : now.on_circuit(circuit, opener)) {
            const auto bad = now.some(at, [](const Standing& s) { return s.away() && s.place_known(); });
            if (!bad) continue;
            Finding& finding = now.report(self,
                                          fmt::format("the {} is {} while the {} is {}", now.name(circuit), now.done(),
                                                      now.name(opener), now.place_name(opener, bad->standing.place)),
                                          bad);
            now.blame(finding, at, bad->standing);
            now.remedies->before(now, finding, opener, bad->standing.place, 0);
            if (flows_over(now, circuit) && !drains(now, opener) &&
                std::size_t{bad->standing.place} + 1 == now.of(opener).is.places.size())
                finding.help += fmt::format(
                    ", or, where it is {} through that hole or up to it, say `while: {{ {}: {{ {}: {} }} }}` of `{}`",
                    now.done(), model::verb(now.row->verb).word, now.of(opener).is.id,
                    now.place_name(opener, bad->standing.place), now.of(circuit).is.id);
            break;
        }
    }
}

} // namespace

extern const Check openers_loose{{"openers-loose", messages::Level::error,
                                  "a circuit is filled or proved while a fastener that opens it is not tight"},
                                 When::demand,
                                 model::Demand::openers_tight,
                                 find_openers_loose};

} // namespace benchleaf::proof::checks
