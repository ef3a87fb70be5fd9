#include "fitted/reports.h"

#include <cmath>
#include <fmt/format.h>

namespace benchleaf::fitted {

const Check checks::filled_absurd = {{"filled-absurd", messages::Level::error,
                                      "a filling that is a slip of its unit: many times what the circuit holds"}};

namespace {

// The same number in litres or millilitres, whichever it is not in; nothing of any other unit.
std::optional<units::Quantity> in_other_unit(units::Quantity amount) {
    if (amount.unit == units::Unit::litre)
        amount.unit = units::Unit::millilitre;
    else if (amount.unit == units::Unit::millilitre)
        amount.unit = units::Unit::litre;
    else
        return std::nullopt;
    return amount;
}

std::string look_up(const std::optional<units::Quantity>& meant) {
    return meant ? "look it up, with its unit; did you mean `" + units::print(*meant, {.plain_spaces = true}) + "`?"
                 : "look it up, with its unit";
}

} // namespace

void report_filled_absurd(Messages& out, Span at, const linked::Item& circuit, const units::Quantity& amount) {
    const auto& holds = circuit.circuit_of.holds;
    const double litres = units::value_in(holds->value.quantity, units::Unit::litre);
    const double times = units::value_in(amount, units::Unit::litre) / litres;
    std::optional<units::Quantity> meant = in_other_unit(amount);
    // It is meant only where it is then neither too much nor less than half.
    if (meant) {
        const double share = units::value_in(*meant, units::Unit::litre) / litres;
        if (share < 0.5 || share > 1.0 + 1e-9) meant.reset();
    }
    messages::Message& message = out.add(
        checks::filled_absurd.rule, at,
        times > 1 ? fmt::format("{:.0f} times what the {} holds is filled in", std::floor(times + 1e-9), circuit.name)
                  : "next to nothing is filled into the " + circuit.name,
        times > 1 ? "no circuit takes that" : "it runs dry");
    message.labels.push_back({holds->span, "it holds " + units::print(holds->value.quantity)});
    message.help = look_up(meant);
    if (!meant) message.help += "; without an `amount` the card prints what it holds";
}

void report_holds_absurd(Messages& out, Span at, const linked::Item& circuit, const units::Quantity& amount) {
    messages::Message& message =
        out.add(checks::filled_absurd.rule, at,
                "the " + circuit.name + " of a small vehicle does not hold " + units::print(amount),
                units::value_in(amount, units::Unit::litre) < 1 ? "next to nothing" : "100 L and more");
    message.labels.push_back({circuit.declared, "declared here"});
    message.help = look_up(in_other_unit(amount));
}

} // namespace benchleaf::fitted
