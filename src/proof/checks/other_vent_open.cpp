#include "proof/check.h"

#include <algorithm>

namespace benchleaf::proof::checks {

namespace {

// What is pumped in at one vent runs out at the other, or draws air in there. Those that are bled by one step are opened and closed one by
// one, unless another step had slackened them all.
bool was_slackened(const Standing& s) {
    return s.place_known() && s.away() && s.placed != nullptr && s.placed->verb != model::VerbName::bleed;
}

bool is_worked(const Moment& now, fitted::InstanceId at) {
    return std::find(now.worked_at.begin(), now.worked_at.end(), at) != now.worked_at.end();
}

void find_slackened_together(Moment& now, linked::ItemId circuit, const Check& self) {
    if (now.row->verb != model::VerbName::bleed) return;
    for (const fitted::InstanceId at : now.on_circuit(circuit, now.item)) {
        if (at == now.at || !is_worked(now, at)) continue;
        const auto bad = now.some(at, was_slackened);
        if (!bad) continue;
        Finding& finding =
            now.report(self, "{item} is bled{sides}, and a step before it had opened them all at once", bad);
        finding.more.push_back(now.cause(at, bad->standing));
        finding.help =
            "leave `- slacken: " + now.it().is.id + "` out: whoever bleeds opens one, and closes it before the next";
        return;
    }
}

void find_other_vent_open(Moment& now, const Check& self) {
    const linked::ItemId circuit = now.it().is.sort == linked::Sort::circuit ? now.item : now.it().is.vents;
    if (!circuit.known() || !now.of(circuit).present) return;
    const linked::Item& is = now.of(circuit).is;
    // Water and oil are filled in at an open vent, so that the air goes out.
    if (!is.circuit_of.sort || is.circuit_of.sort->value != model::CircuitSort::hydraulic) return;
    find_slackened_together(now, circuit, self);
    for (const linked::ItemId vent : is.vented_by) {
        if (!vent.known() || !now.of(vent).present) continue;
        if (vent != now.item && now.of(vent).is.opens == circuit) continue; // told as one that opens it
        const auto asked = [&](const linked::Item& item) {
            return std::any_of(item.whiles.begin(), item.whiles.end(), [&](const linked::While& each) {
                return each.verb == now.row->verb &&
                       std::any_of(each.needs.begin(), each.needs.end(),
                                   [&](const linked::Need& need) { return need.item == vent && need.place != 0; });
            });
        };
        if (asked(now.it().is) || asked(is)) continue;
        for (const fitted::InstanceId at : now.on_circuit(circuit, vent)) {
            if (is_worked(now, at)) continue;
            const auto bad = now.some(at, [](const Standing& s) { return s.away() && s.place_known(); });
            if (!bad) continue;
            const fitted::AxisValue value = now.fit.instances[at.index()].value;
            std::string other(now.name(vent));
            if (value != fitted::no_value)
                other = now.fit.axes[now.of(vent).is.axis.index()].values[value] + " " + other;
            Finding& finding = now.report(self,
                                          "{item} is " + std::string(now.done()) + "{sides} while the " + other +
                                              " is " + now.place_name(vent, bad->standing.place),
                                          bad);
            finding.more.push_back(now.cause(at, bad->standing));
            finding.help = bad->answers.empty()
                               ? "tighten the " + other + " before this step"
                               : "add `- torque: " + now.of(vent).is.id + "` {before}: only on that way is it " +
                                     now.place_name(vent, bad->standing.place);
            break;
        }
    }
}

} // namespace

extern const Check other_vent_open{{"other-vent-open", messages::Level::error,
                                    "a circuit is filled, or bled at one vent, while another of its vents stands open"},
                                   When::demand,
                                   model::Demand::one_vent_open,
                                   find_other_vent_open};

} // namespace benchleaf::proof::checks
