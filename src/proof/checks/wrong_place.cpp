#include "proof/check.h"
#include "proof/remedy.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

bool starts(model::Starts from, linked::Place place, linked::Place last) {
    switch (from) {
    case model::Starts::anywhere:
        return true;
    case model::Starts::tight_or_snug:
        return place <= 1;
    case model::Starts::not_off:
        return place != last;
    case model::Starts::loose:
        return place == 2;
    case model::Starts::loose_or_snug:
        return place == 1 || place == 2;
    case model::Starts::tight:
    case model::Starts::resting:
        return place == 0;
    case model::Starts::off_place:
        return place == last;
    case model::Starts::own_or_resting:
        return place != last;
    case model::Starts::own_place:
        return place != 0 && place != last;
    }
    return true;
}

// The step that is missing or one too many.
void help(const Moment& now, Finding& finding, const Standing& standing, linked::Place last) {
    const linked::Place place = standing.place;
    const fitted::Row* placed = standing.placed;
    const linked::Item& item = now.it().is;
    const auto add_before = [&](linked::Place to) { now.remedies->before(now, finding, now.item, place, to); };
    switch (now.deed->from) {
    case model::Starts::tight_or_snug:
        if (now.remedies->tighten_before_question(now, finding, standing)) break;
        if (place == last || !now.remedies->begins_round_loose(now, finding))
            finding.help = finding.answers.size() == 1
                               ? fmt::format("tighten it again {{before}}, or move this step to where the answer is {}",
                                             finding.answers.front().second ? "no" : "yes")
                           : place == last ? "leave this step out"
                                           : "it is loose already: leave this step out";
        break;
    case model::Starts::not_off:
    case model::Starts::own_or_resting:
        if (place == last)
            finding.help =
                finding.answers.size() == 1
                    ? fmt::format("add `- fit: {}` {{before}}, or leave out there what takes it off", item.id)
                    : "leave this step out, or fit it before";
        break;
    case model::Starts::loose:
    case model::Starts::loose_or_snug:
        if (place == 0 && now.row->verb == model::VerbName::torque)
            now.remedies->slacken_first(now, finding);
        else
            add_before(2);
        break;
    case model::Starts::tight:
    case model::Starts::resting:
        add_before(0);
        break;
    case model::Starts::off_place:
        if (placed != nullptr && placed->verb == model::VerbName::fit && now.row->verb != model::VerbName::fit &&
            now.remedies->swap_with(now, finding, now.item, placed))
            break;
        add_before(last);
        // What is fitted twice is more likely one step too many.
        if (now.row->verb != model::VerbName::fit) break;
        finding.mends.clear();
        if (placed != nullptr && placed->verb == now.row->verb)
            finding.help = "leave this step out: it is fitted already; or " + finding.help;
        break;
    case model::Starts::own_place:
    case model::Starts::anywhere:
        break;
    }
}

// Of the circuit that it vents.
bool bleed_is_owed(const Moment& now) {
    const linked::ItemId circuit = now.it().is.vents;
    if (!circuit.known() || !now.of(circuit).present) return false;
    const std::vector<fitted::InstanceId> all = now.on_circuit(circuit, circuit);
    return std::any_of(all.begin(), all.end(), [&](fitted::InstanceId at) {
        return now.some(at, [](const Standing& s) { return s.owes(model::Debt::bleed); }).has_value();
    });
}

void find_wrong_place(Moment& now, const Check& self) {
    const auto last = static_cast<linked::Place>(now.it().is.places.size() - 1);
    const auto bad =
        now.some(now.at, [&](const Standing& s) { return s.place_known() && !starts(now.deed->from, s.place, last); });
    if (!bad) return;
    Finding& finding = now.report(self,
                                  fmt::format("{{item}} cannot be {} here: it is {}{{sides}}", now.done(),
                                              now.place_name(now.item, bad->standing.place)),
                                  bad);
    now.blame(finding, now.at, bad->standing);
    // What one answer alone calls for stands under that.
    if (now.row->verb == model::VerbName::torque && bad->standing.place == 0 && bad->answers.size() == 1) {
        finding.help = fmt::format("move this step to where the answer is {}: only on that way is it to be tightened",
                                   bad->answers.front().second ? "no" : "yes");
        return;
    }
    if (now.row->verb == model::VerbName::torque && bleed_is_owed(now)) {
        // What is tightened there is what a bleeding would have left loose.
        finding.help = fmt::format("add `- bleed: {}` {{before}}", now.it().is.id);
        now.remedies->add_before(now, finding, {fmt::format("- bleed: {}", now.it().is.id)}, now.item);
        return;
    }
    help(now, finding, bad->standing, last);
}

} // namespace

extern const Check wrong_place{
    {"wrong-place", messages::Level::error, "a verb is done to something that is not where the verb starts from"},
    When::demand,
    model::Demand::place,
    find_wrong_place};

} // namespace benchleaf::proof::checks
