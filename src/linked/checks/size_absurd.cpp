#include "linked/look_over.h"
#include "linked/reports.h"
#include "units/quantity.h"

#include <array>
#include <optional>
#include <string_view>
#include <variant>

namespace benchleaf::linked {

namespace {

void find_size_absurd(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::size_absurd = {
    {"size-absurd", messages::Level::error, "a size, an amount or a time that is a slip of its unit"},
    find_size_absurd};

namespace {

// What such a thing measures at least and at most in a workshop for small vehicles.
struct Bounds {
    units::Unit unit;
    double least;
    double most;
    bool holds(const units::Quantity& quantity) const {
        if (!units::convertible(quantity.unit, unit)) return true; // told as that
        const double value = units::value_in(quantity, unit);
        return value >= least && value <= most;
    }
};

constexpr Bounds wrench_lengths{units::Unit::millimetre, 60, 2500};
constexpr Bounds heads{units::Unit::millimetre, 0.7, 110};
constexpr Bounds amounts_of_mass{units::Unit::gram, 0.001, 1000};
constexpr Bounds amounts_of_volume{units::Unit::millilitre, 0.001, 1000};
constexpr Bounds setting_times{units::Unit::minute, 0.1, 60.0 * 24 * 7};

// The same number in another unit of that sort in which it makes sense.
std::optional<units::Quantity> meant(const units::Quantity& quantity, const Bounds& bounds) {
    using units::Unit;
    static constexpr std::array<Unit, 8> usual{Unit::millimetre, Unit::inch, Unit::gram,  Unit::millilitre,
                                               Unit::minute,     Unit::hour, Unit::litre, Unit::centimetre};
    for (const Unit unit : usual) {
        units::Quantity same = quantity;
        same.unit = unit;
        if (units::convertible(unit, quantity.unit) && bounds.holds(same)) return same;
    }
    return std::nullopt;
}

void tell(Messages& out, const Check& self, Span at, std::string text, const units::Quantity& quantity,
          const Bounds& bounds) {
    messages::Message& message = out.add(self.rule, at, std::move(text));
    message.help = "look it up, with its unit";
    if (const auto same = meant(quantity, bounds))
        message.help += "; did you mean `" + units::print(*same, {.plain_spaces = true}) + "`?";
}

// "10 mm hex": the quantity that it begins with.
std::optional<units::Quantity> size_of(std::string_view head) {
    const std::size_t number = head.find(' ');
    if (number == std::string_view::npos) return std::nullopt;
    const std::size_t unit = std::min(head.find(' ', number + 1), head.size());
    const auto read = units::parse_quantity(head.substr(0, unit));
    const auto* quantity = std::get_if<units::Quantity>(&read);
    return quantity != nullptr ? std::optional(*quantity) : std::nullopt;
}

void judge_amounts(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures)
        each_step(procedure, [&](const Step& step) {
            if (step.kind != StepKind::verb || step.verb != model::VerbName::apply || !step.source->amount ||
                !step.consumable.known())
                return;
            const units::Quantity& amount = step.source->amount->value.quantity;
            const std::string name = linked.consumables[step.consumable.index()].name;
            for (const Bounds& bounds : {amounts_of_mass, amounts_of_volume})
                if (!bounds.holds(amount))
                    tell(out, self, step.source->amount->span,
                         "no step puts on " + units::print(amount) + " of " + name, amount, bounds);
        });
}

void find_size_absurd(const Linked& linked, const Check& self, Messages& out) {
    if (linked.shop != nullptr && linked.shop->wrenches)
        for (const auto& wrench : linked.shop->wrenches->value)
            if (const auto& length = wrench.value.length; length && !wrench_lengths.holds(length->value.quantity))
                tell(out, self, length->span, "no torque wrench is " + units::print(length->value.quantity) + " long",
                     length->value.quantity, wrench_lengths);
    look_over(linked, [&](const Item& item, const ReadItem&) {
        const auto& head = item.fastener.head;
        const auto size = head ? size_of(head->value) : std::nullopt;
        if (!size || heads.holds(*size)) return false;
        tell(out, self, head->span, "no head of " + item.name + " measures " + units::print(*size), *size, heads);
        return true;
    });
    for (const Consumable& consumable : linked.consumables)
        for (const auto* time :
             {&consumable.figures.sets_in, &consumable.figures.full_in, &consumable.figures.clears_in})
            if (*time && !setting_times.holds((*time)->value.quantity))
                tell(out, self, (*time)->span,
                     "nobody waits " + units::print((*time)->value.quantity) + " for " + consumable.name,
                     (*time)->value.quantity, setting_times);
    judge_amounts(linked, self, out);
}

} // namespace
} // namespace benchleaf::linked
