#include "base/text.h"
#include "proof/check.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// Does the reason to stop speak of it?
bool speaks_of(const linked::Step& step, linked::ItemId circuit, std::string_view name) {
    if (std::any_of(step.mentions.begin(), step.mentions.end(),
                    [&](const linked::Mention& mention) { return mention.item == circuit; }))
        return true;
    return base::small_letters(step.source->stop->value).find(base::small_letters(name)) != std::string::npos;
}

// The tag says that it is not to be driven, and not that it is not to be started: whoever moves it in the shop does that.
void find_stopped_drained(Moment& now, const Check& self) {
    const linked::Item& item = now.it().is;
    if (item.sort != linked::Sort::circuit || !item.circuit_of.sort) return;
    const model::CircuitSort sort = item.circuit_of.sort->value;
    if (sort != model::CircuitSort::engine_oil && sort != model::CircuitSort::coolant) return;
    const auto bad = now.some(now.at, [](const Standing& s) { return s.owes(model::Debt::fill); });
    if (!bad || now.row == nullptr || now.row->step == nullptr) return;
    if (speaks_of(*now.row->step, now.item, item.name)) return;
    Finding& finding = now.report(
        self, "work stops here with {item} drained{sides}, and whoever starts the engine does not know", bad);
    if (auto since = now.debt_cause(now.at, bad->standing)) finding.more.push_back(std::move(*since));
    finding.help =
        fmt::format("say so in the reason, which stands on the card in large letters: `The {{{}}} is out. Do not "
                    "start the engine.`",
                    item.id);
}

} // namespace

extern const Check stopped_drained{{"stopped-drained", messages::Level::warning,
                                    "work stops with the engine's oil or water drained, and nothing says so"},
                                   When::stop,
                                   std::nullopt,
                                   find_stopped_drained};

} // namespace benchleaf::proof::checks
