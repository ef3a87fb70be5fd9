#include "linked/look_over.h"
#include "proof/check.h"

#include <algorithm>
#include <fmt/format.h>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::proof::checks {

namespace {

// What it is, by its name in English.
bool is_called(const linked::Item& part, std::initializer_list<std::string_view> nouns) {
    const std::vector<std::string> words = linked::what_it_is(part.name);
    return !words.empty() && linked::is_among(words.back(), nouns);
}

// A pad or a shoe is moved by the circuit, and none of the fluid is in it.
bool is_solid(const linked::Item& part) {
    if (linked::rubs(part)) return true;
    return is_called(part, {"pad", "pads", "shoe", "shoes", "lining", "linings", "piston", "pistons", "pin", "pins",
                            "spring", "springs"});
}
// Whoever takes it off has opened the circuit.
bool is_line(const linked::Item& part) {
    return is_called(part, {"hose", "hoses", "pipe", "pipes", "line", "lines", "reservoir"});
}

// What opens the circuit at this part: on its side, where there is one on each; not the hole that it is filled by.
std::vector<linked::ItemId> openers_at(const Moment& now, const linked::Item& circuit) {
    std::vector<linked::ItemId> all;
    for (const linked::ItemId opener : circuit.openers)
        if (now.of(opener).present && !circuit.filled_through(opener)) all.push_back(opener);
    const auto own = [&](linked::ItemId opener) {
        return now.it().is.axis.known() && now.of(opener).is.axis == now.it().is.axis;
    };
    if (std::any_of(all.begin(), all.end(), own)) std::erase_if(all, [&](linked::ItemId each) { return !own(each); });
    return all;
}

bool all_away(const Moment& now, fitted::InstanceId at) {
    return !now.some(at, [](const Standing& s) { return !s.away(); });
}

// One of those is loose or off; where there is none, the fluid was let out, or is owed.
bool is_open_there(const Moment& now, linked::ItemId circuit, const std::vector<linked::ItemId>& openers) {
    const auto any_away = [&](linked::ItemId opener) {
        const std::vector<fitted::InstanceId> all = now.beside(opener);
        return std::any_of(all.begin(), all.end(), [&](fitted::InstanceId at) { return all_away(now, at); });
    };
    if (!openers.empty()) return std::any_of(openers.begin(), openers.end(), any_away);
    const std::vector<fitted::InstanceId> all = now.beside(circuit);
    return std::none_of(all.begin(), all.end(), [&](fitted::InstanceId at) {
        return now.some(at, [](const Standing& s) { return (s.on & still_in) != 0 && !s.owes(model::Debt::fill); })
            .has_value();
    });
}

void find_renewed_empty(Moment& now, const Check& self) {
    const linked::Item& part = now.it().is;
    if (part.sort != linked::Sort::part || !part.circuit.known() || !now.of(part.circuit).present || is_solid(part))
        return;
    const linked::Item& circuit = now.of(part.circuit).is;
    if (circuit.is_open_without_its_parts()) return; // and owes all that follows
    const bool never_reused = part.part.reuse && part.part.reuse->value == model::Reuse::never;
    const bool another =
        now.row->verb == model::VerbName::renew || (now.row->verb == model::VerbName::fit && never_reused);
    const bool line_off = now.row->verb == model::VerbName::remove && is_line(part);
    if (!another && !line_off) return;
    const std::vector<linked::ItemId> openers = openers_at(now, circuit);
    if (is_open_there(now, part.circuit, openers)) return;
    Finding& finding = now.report(
        self, (line_off ? "{item} is taken off{sides}, and " : "{item} is another one{sides}, and empty, and ") +
                  (openers.empty() ? "nothing opened the " + circuit.name
                                   : "nothing that opens the " + circuit.name + " is off there"));
    finding.more.push_back({part.part.circuit->span, "the fluid is in it"});
    finding.help =
        openers.empty()
            ? fmt::format("add a fastener to the catalogue that `opens: {0}` where it comes off the {0}, or a step "
                          "`- open: {0}` with `say` how; then the close-out asks for all that follows",
                          circuit.id)
            : fmt::format("take off what opens it there, such as the {}: `- remove: {}`; then the close-out asks "
                          "for all that follows",
                          now.name(openers.front()), now.of(openers.front()).is.id);
}

} // namespace

extern const Check renewed_empty{
    {"renewed-empty", messages::Level::error,
     "a part with fluid in it is renewed, or a hose taken off, and its circuit was not opened"},
    When::demand,
    model::Demand::place,
    find_renewed_empty};

} // namespace benchleaf::proof::checks
