#include "proof/check.h"
#include "proof/remedy.h"
#include "proof/turns.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

bool asks(const std::vector<linked::Need>& needs, linked::ItemId setting) {
    return std::any_of(needs.begin(), needs.end(),
                       [&](const linked::Need& need) { return need.item.known() && need.item == setting; });
}

// Its own `needs` or `while` say how that has to stand, and are judged by themselves.
bool says_itself(const Moment& now, linked::ItemId setting) {
    const linked::Item& is = now.it().is;
    return asks(is.needs, setting) || std::any_of(is.whiles.begin(), is.whiles.end(), [&](const linked::While& each) {
               return each.verb == now.row->verb && asks(each.needs, setting);
           });
}

// What is open once it is off: the circuit itself, what a fastener opens, what a part stands in.
linked::ItemId opened_by(const Moment& now) {
    const linked::Item& is = now.it().is;
    if (is.sort == linked::Sort::circuit) return now.item;
    if (is.sort != linked::Sort::part) return is.opens;
    return is.circuit.known() && now.of(is.circuit).is.is_open_without_its_parts() ? is.circuit : linked::ItemId();
}

void find_opened_running(Moment& now, const Check& self) {
    const linked::ItemId id = opened_by(now);
    if (!id.known() || !now.of(id).present) return;
    const linked::Item& circuit = now.of(id).is;
    if (!circuit.circuit_of.sort || circuit.circuit_of.sort->value == model::CircuitSort::fuel ||
        circuit.filled_through(now.item)) // the level of some is read with the engine running
        return;
    for (const linked::While& each : circuit.whiles) {
        if (each.verb != model::VerbName::circulate) continue;
        for (const linked::Need& need : each.needs) {
            if (!need.item.known() || !now.of(need.item).present || need.place == 0 || says_itself(now, need.item) ||
                now.of(need.item).is.sort != linked::Sort::setting)
                continue;
            const linked::Item& setting = now.of(need.item).is;
            for (const fitted::InstanceId at : now.beside(need.item)) {
                const auto bad = now.some(at, [&](const Standing& s) {
                    return s.place_known() && goes_round_in(circuit, need.item, setting, s.place);
                });
                if (!bad) continue;
                Finding& finding = now.report(self,
                                              fmt::format("{{item}} is {}{{sides}} while the {} is {}", now.done(),
                                                          setting.name, now.place_name(need.item, bad->standing.place)),
                                              bad);
                finding.more.push_back(now.cause(at, bad->standing));
                finding.more.push_back({circuit.declared, "it goes round then"});
                now.remedies->before(now, finding, need.item, bad->standing.place, 0);
                return;
            }
        }
    }
}

} // namespace

extern const Check opened_running{
    {"opened-running", messages::Level::error, "a circuit is opened while the engine sends it round"},
    When::demand,
    model::Demand::not_running,
    find_opened_running};

} // namespace benchleaf::proof::checks
