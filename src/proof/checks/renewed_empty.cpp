#include "base/text.h"
#include "proof/check.h"

#include <algorithm>
#include <fmt/format.h>
#include <initializer_list>
#include <string_view>

namespace benchleaf::proof::checks {

namespace {

bool is_called(const linked::Item& part, std::initializer_list<std::string_view> words) {
    const std::string name = base::small_letters(part.name);
    return std::any_of(words.begin(), words.end(),
                       [&](std::string_view word) { return name.find(word) != std::string::npos; });
}

// A pad or a shoe is moved by the circuit, and none of the fluid is in it.
bool is_solid(const linked::Item& part) {
    const auto& surfaces = part.part.surfaces;
    if (surfaces && std::any_of(surfaces->value.begin(), surfaces->value.end(),
                                [](const auto& each) { return each.value.value == model::Surface::friction; }))
        return true;
    return is_called(part, {"pad", "shoe", "lining", "piston", "pin", "spring"});
}
// Whoever takes it off has opened the circuit.
bool is_line(const linked::Item& part) {
    return is_called(part, {"hose", "pipe", "reservoir"});
}

void find_renewed_empty(Moment& now, const Check& self) {
    const linked::Item& part = now.it().is;
    if (part.sort != linked::Sort::part || !part.circuit.known() || !now.of(part.circuit).present || is_solid(part))
        return;
    const bool never_reused = part.part.reuse && part.part.reuse->value == model::Reuse::never;
    const bool another =
        now.row->verb == model::VerbName::renew || (now.row->verb == model::VerbName::fit && never_reused);
    const bool line_off = now.row->verb == model::VerbName::remove && is_line(part);
    if (!another && !line_off) return;
    const linked::Item& circuit = now.of(part.circuit).is;
    for (const fitted::InstanceId at : now.beside(part.circuit)) {
        const auto bad =
            now.some(at, [](const Standing& s) { return (s.on & still_in) != 0 && !s.owes(model::Debt::fill); });
        if (!bad) continue;
        Finding& finding = now.report(
            self,
            fmt::format(fmt::runtime(line_off
                                         ? "{{item}} is taken off{{sides}}, and nothing opened the {}"
                                         : "{{item}} is another one{{sides}}, and empty, and nothing opened the {}"),
                        circuit.name),
            bad);
        finding.more.push_back({part.part.circuit->span, "the fluid is in it"});
        finding.help =
            circuit.openers.empty()
                ? fmt::format("add a fastener to the catalogue that `opens: {0}` where it comes off the {0}, or a step "
                              "`- open: {0}` with `say` how; then the close-out asks for all that follows",
                              circuit.id)
                : fmt::format("take off what opens it there, such as the {}: `- remove: {}`; then the close-out asks "
                              "for all that follows",
                              now.name(circuit.openers.front()), now.of(circuit.openers.front()).is.id);
        return;
    }
}

} // namespace

extern const Check renewed_empty{
    {"renewed-empty", messages::Level::error,
     "a part with fluid in it is renewed, or a hose taken off, and its circuit was not opened"},
    When::demand,
    model::Demand::place,
    find_renewed_empty};

} // namespace benchleaf::proof::checks
