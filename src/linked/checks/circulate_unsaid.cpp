#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_circulate_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::circulate_unsaid = {{"circulate-unsaid", messages::Level::warning,
                                         "nothing says in which state of the engine its oil or coolant goes round"},
                                        find_circulate_unsaid};

namespace {

struct Running {
    const Item* engine;
    std::string state;
};

// The setting with a state in which it turns, by its English name.
std::optional<Running> what_runs(const Linked& linked) {
    for (const Item& item : linked.items) {
        if (item.sort != Sort::setting) continue;
        for (const PlaceName& place : item.places)
            if (turns(place.name)) return Running{&item, place.name};
    }
    return std::nullopt;
}

void find_circulate_unsaid(const Linked& linked, const Check& self, Messages& out) {
    const auto runs = what_runs(linked);
    if (!runs) return;
    look_over(linked, [&](const Item& item, const ReadItem&) {
        if (item.sort != Sort::circuit ||
            !is_circuit(item, {model::CircuitSort::engine_oil, model::CircuitSort::coolant}))
            return false;
        if (std::any_of(item.whiles.begin(), item.whiles.end(),
                        [](const While& each) { return each.verb == model::VerbName::circulate; }))
            return false;
        messages::Message& message =
            out.add(self.rule, item.declared,
                    "nothing says in which state of the " + runs->engine->name + " the " + item.name + " goes round");
        message.help = "add `while: { circulate: { " + runs->engine->id + ": " + runs->state +
                       " } }`: then no card runs it while the " + item.name + " is out";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
