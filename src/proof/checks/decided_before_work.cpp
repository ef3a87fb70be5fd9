#include "proof/check.h"
#include "proof/readings.h"

namespace benchleaf::proof::checks {

namespace {

void find_decided_before_work(Moment& now, const Check& self) {
    for (const Moment::Reading& reading : now.readings) {
        if (now.some(reading.slot, waits_for_decision)) continue;
        const auto late = now.some(reading.slot, [](const Standing& s) {
            return (s.on & judged_before) != 0 && (s.on & told_old) == 0 && s.indebted != nullptr &&
                   s.placed != nullptr;
        });
        if (!late) continue;
        const fitted::LimitUse* use = use_in(*late->standing.indebted, reading.limit);
        if (use == nullptr) continue;
        now.about(reading);
        now.span = use->span;
        Finding& finding = now.report(
            self, "the " + use->figure.name + " is decided here{sides}, set anew afterwards, and not read again", late);
        finding.more.push_back({head_span(*late->standing.placed), "set anew here"});
        const std::string& id = now.linked.limits[reading.limit.index()].id;
        finding.help = "add `- measure: " + id + "` and `- decide: " + id + "` behind that step";
    }
}

} // namespace

extern const Check decided_before_work{
    {"decided-before-work", messages::Level::warning, "what was decided is set anew afterwards, and not read again"},
    When::machine,
    std::nullopt,
    find_decided_before_work};

} // namespace benchleaf::proof::checks
