#include "linked/look_over.h"
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
        if (step.kind == StepKind::verb && step.verb == model::VerbName::fill &&
            !units::convertible(amount.unit, units::Unit::litre)) {
            messages::Message& message =
                out.add(self.rule, step.source->amount->span,
                        "a circuit is filled by volume, and not in " + std::string(units::plural(amount.unit)));
            message.help = "write it in mL or L";
        }
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

// What a circuit takes is added up with what else is needed of its fluid.
void judge_fluids(const Linked& linked, const Check& self, Messages& out) {
    look_over(linked, [&](const Item& item, const ReadItem&) {
        if (item.sort != Sort::circuit || !item.fluid.known() || !item.circuit_of.fluid) return false;
        const Consumable& what = linked.consumables[item.fluid.index()];
        const auto unit = what.figures.unit ? units::find_unit(what.figures.unit->value) : std::nullopt;
        if (!unit || units::convertible(*unit, units::Unit::litre)) return false;
        messages::Message& message =
            out.add(self.rule, item.circuit_of.fluid->span,
                    "the " + what.name + " is counted in " + std::string(units::plural(*unit)) +
                        ", and a circuit is filled with it by volume");
        message.labels.push_back({what.figures.unit->span, "counted so"});
        message.help = "write `unit: mL` or `unit: L`";
        return true;
    });
}

void find_amounts_do_not_add(const Linked& linked, const Check& self, Messages& out) {
    judge_fluids(linked, self, out);
    for (const Procedure& procedure : linked.procedures)
        for (const Section& section : procedure.sections) find_amounts_do_not_add(linked, section.steps, self, out);
}

} // namespace
} // namespace benchleaf::linked
