#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_filler_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::filler_unsaid = {
    {"filler-unsaid", messages::Level::warning, "a filler or level plug counts as a drain"}, find_filler_unsaid};

namespace {

void find_filler_unsaid(const Linked& linked, const Check& self, Messages& out) {
    look_over(linked, [&](const Item& item, const ReadItem& read) {
        if (!item.opens.known()) return false;
        const Item& circuit = read(item.opens);
        if (!is_circuit(circuit,
                        {model::CircuitSort::engine_oil, model::CircuitSort::coolant, model::CircuitSort::gear_oil}))
            return false;
        const auto self_named = std::find_if(linked.items.begin(), linked.items.end(),
                                             [&](const Item& each) { return each.declared == item.declared; });
        const ItemId id(static_cast<std::uint32_t>(self_named - linked.items.begin()));
        if (self_named == linked.items.end() || circuit.filled_through(id)) return false;
        const std::vector<std::string> words = what_it_is(item.name);
        const bool level = std::any_of(words.begin(), words.end(), [](const auto& word) {
            return is_among(word, {"level", "dipstick"});
        });
        const bool filler = std::any_of(words.begin(), words.end(), [](const auto& word) {
            return is_among(word, {"filler", "fill"});
        });
        if (!level && !filler) return false;
        messages::Message& message =
            out.add(self.rule, item.fastener.opens ? item.fastener.opens->span : item.declared,
                    "the " + item.name + " counts as what the " + circuit.name + " is drained by");
        message.labels.push_back({circuit.declared, "nothing says that it is filled or looked at there"});
        message.help = "say so of the " + circuit.name + ": `while: { " + (filler ? "fill" : "level") + ": { " +
                       item.id +
                       ": off } }`; then taking it off asks for its level and a look for leaks, and for no fill";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
