#include "linked/reports.h"

#include "units/quantity.h"

namespace benchleaf::linked {

namespace {

void find_amounts_do_not_add(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::amounts_do_not_add = {
    {"amounts-do-not-add", messages::Level::error, "an amount in a unit that does not go with the consumable's"},
    find_amounts_do_not_add};

namespace {

void find_amounts_do_not_add(const Linked& linked, const Steps& steps, const Check& self, Messages& out) {
    for (const Step& step : steps) {
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise})
            find_amounts_do_not_add(linked, *below, self, out);
        if (step.source == nullptr || !step.source->amount) continue;
        const units::Quantity amount = step.source->amount->value.quantity;
        if (!step.consumable.known()) continue;
        const Consumable& what = linked.consumables[step.consumable.index()];
        if (!what.figures.unit) continue;
        const auto unit = units::find_unit(what.figures.unit->value);
        if (!unit || units::convertible(amount.unit, *unit)) continue;
        messages::Message& message =
            out.add(self.rule, step.source->amount->span,
                    "the " + what.name + " is counted in " + std::string(units::plural(*unit)) + " and not in " +
                        std::string(units::plural(amount.unit)));
        message.labels.push_back({what.figures.unit->span, "counted so"});
        message.help = "write the amount in " + std::string(units::plural(*unit));
    }
}

void find_amounts_do_not_add(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures)
        for (const Section& section : procedure.sections) find_amounts_do_not_add(linked, section.steps, self, out);
}

} // namespace
} // namespace benchleaf::linked
