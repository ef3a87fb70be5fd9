#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// A brake that is open is why many a job stops, and the tag says so. Fuel runs out and burns whatever the tag says.
void find_stopped_open(Moment& now, const Check& self) {
    const linked::Item& item = now.it().is;
    if (item.sort != linked::Sort::circuit || !item.circuit_of.sort ||
        item.circuit_of.sort->value != model::CircuitSort::fuel)
        return;
    for (const std::vector<linked::ItemId>* all : {&item.openers, &item.vented_by})
        for (const linked::ItemId opener : *all) {
            if (!opener.known() || !now.of(opener).present) continue;
            if (all == &item.vented_by && now.of(opener).is.opens == now.item) continue;
            for (const fitted::InstanceId at : now.on_circuit(now.item, opener)) {
                const auto bad = now.some(at, [](const Standing& s) { return s.away() && s.place_known(); });
                if (!bad) continue;
                Finding& finding =
                    now.report(self,
                               fmt::format("work stops here while {{item}} is open: the {} is {}", now.name(opener),
                                           now.place_name(opener, bad->standing.place)),
                               bad);
                finding.more.push_back(now.cause(at, bad->standing));
                finding.help = fmt::format(
                    "bring the {} back to {} before the `stop`: fuel must not run out while nobody is there",
                    now.name(opener), now.place_name(opener, 0));
                return;
            }
        }
}

} // namespace

extern const Check stopped_open{{"stopped-open", messages::Level::error, "work stops while a fuel circuit is open"},
                                When::stop,
                                std::nullopt,
                                find_stopped_open};

} // namespace benchleaf::proof::checks
