#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_opened_hot(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::opened_hot = {
    {"opened-hot", messages::Level::warning, "a fuel or coolant circuit can be opened with the engine running or hot"},
    find_opened_hot};

namespace {

void find_opened_hot(const Linked& linked, const Check& self, Messages& out) {
    look_over(linked, [&](const Item& item, const ReadItem& read) {
        if (item.sort == Sort::circuit && item.openers.empty() && item.circuit_of.sort &&
            item.circuit_of.sort->value == model::CircuitSort::coolant) {
            out.add(self.rule, item.declared,
                    "nothing is said to open the " + item.name + ", so nothing keeps it shut while it is hot")
                .help = "write `opens: " + item.id +
                        "` at its cap, drain plug and hose clips, with what each `needs`: `engine: stopped`, a setting "
                        "`cold`";
            return true;
        }
        if (!item.opens.known() || item.fastener.needs || item.fastener.whiles) return false;
        const Item& circuit = read(item.opens);
        if (!circuit.circuit_of.sort) return false;
        const model::CircuitSort sort = circuit.circuit_of.sort->value;
        const bool fuel = sort == model::CircuitSort::fuel;
        if (!fuel && sort != model::CircuitSort::coolant) return false;
        messages::Message& message =
            out.add(self.rule, item.declared,
                    fuel ? "nothing keeps the " + item.name + " shut while the engine runs or is hot"
                         : "nothing keeps the " + item.name + " shut while the coolant is hot");
        message.labels.push_back(
            {circuit.declared, fuel ? "it lets fuel out" : "it lets coolant out, scalding and under pressure"});
        message.help = fuel ? "add `needs:` with what makes it safe, such as `needs: { engine: stopped }`"
                            : "add `needs:` with what makes it safe: a setting `cold` of the engine, `engine: stopped`";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
