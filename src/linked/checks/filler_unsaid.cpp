#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_filler_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::filler_unsaid = {
    {"filler-unsaid", messages::Level::warning, "a filler or level plug counts as a drain"}, find_filler_unsaid};

namespace {

bool is_called(const Item& item, std::initializer_list<std::string_view> sorts) {
    const std::vector<std::string> words = what_it_is(item.name);
    return std::any_of(words.begin(), words.end(), [&](const std::string& word) { return is_among(word, sorts); });
}

void find_filler_unsaid(const Linked& linked, const Check& self, Messages& out) {
    look_over(linked, [&](const Item& circuit, const ReadItem& read) {
        if (circuit.sort != Sort::circuit ||
            !is_circuit(circuit,
                        {model::CircuitSort::engine_oil, model::CircuitSort::coolant, model::CircuitSort::gear_oil}))
            return false;
        bool any = false;
        for (const ItemId id : circuit.openers) {
            const Item& item = read(id);
            const bool filler = is_called(item, {"filler", "fill"});
            if (circuit.filled_through(id) || (!filler && !is_called(item, {"level", "dipstick"}))) continue;
            any = true;
            messages::Message& message =
                out.add(self.rule, item.fastener.opens ? item.fastener.opens->span : item.declared,
                        "the " + item.name + " counts as what the " + circuit.name + " is drained by");
            message.labels.push_back({circuit.declared, "nothing says that it is filled or looked at there"});
            message.help = "say so of the " + circuit.name + ": `while: { " + (filler ? "fill" : "level") + ": { " +
                           item.id +
                           ": off } }`; then taking it off asks for its level and a look for leaks, and for no fill";
        }
        return any;
    });
}

} // namespace
} // namespace benchleaf::linked
