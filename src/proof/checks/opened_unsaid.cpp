#include "proof/check.h"
#include "proof/remedy.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// The step's own words, or what the catalogue asks for with it, say where it is opened.
bool says_where(const Moment& now, const linked::Item& circuit, const linked::Step& step) {
    return step.source->say.has_value() ||
           std::any_of(circuit.whiles.begin(), circuit.whiles.end(), [&](const linked::While& each) {
               return each.verb == model::VerbName::open &&
                      std::any_of(each.needs.begin(), each.needs.end(), [&](const linked::Need& need) {
                          return need.item.known() && need.place != 0 &&
                                 now.of(need.item).is.sort != linked::Sort::setting;
                      });
           });
}

void find_opened_unsaid(Moment& now, const Check& self) {
    const linked::Item& circuit = now.it().is;
    if (now.row->step == nullptr || says_where(now, circuit, *now.row->step)) return;
    linked::ItemId shut;
    for (const linked::ItemId opener : circuit.openers) {
        if (!now.of(opener).present || circuit.filled_through(opener)) continue;
        for (const fitted::InstanceId at : now.on_circuit(now.item, opener))
            if (now.some(at, [](const Standing& s) { return s.away(); })) return;
        if (!shut.known()) shut = opener;
    }
    if (!shut.known()) return;
    Finding& finding =
        now.report(self, fmt::format("{{item}} is opened{{sides}}, and the {} stays tight", now.name(shut)));
    finding.more.push_back(now.declared(shut, "it is opened by this"));
    now.remedies->open_how(now, finding, shut);
}

} // namespace

extern const Check opened_unsaid{
    {"opened-unsaid", messages::Level::error, "a circuit is opened, all that opens it is tight, and nothing says how"},
    When::demand,
    model::Demand::way_out,
    find_opened_unsaid};

} // namespace benchleaf::proof::checks
