#include "proof/check.h"
#include "proof/readings.h"

#include <algorithm>

namespace benchleaf::proof::checks {

namespace {

// What one step reads is decided by one step: told in one message.
void find_read_undecided(Moment& now, const Check& self) {
    struct Open {
        const Moment::Reading* reading;
        const fitted::LimitUse* use;
        Moment::Found found;
    };
    std::vector<std::pair<const fitted::Row*, std::vector<Open>>> read_by;
    for (const Moment::Reading& reading : now.readings) {
        auto open = now.some(reading.slot, waits_for_decision);
        if (!open) continue;
        const fitted::Row* read = open->standing.coated;
        const fitted::LimitUse* use = use_in(*read, reading.limit);
        if (use == nullptr) continue;
        auto step = std::find_if(read_by.begin(), read_by.end(), [&](const auto& each) { return each.first == read; });
        if (step == read_by.end()) step = read_by.insert(step, {read, {}});
        step->second.push_back({&reading, use, *std::move(open)});
    }
    for (const auto& [read, all] : read_by) {
        const fitted::LimitUse* first = all.front().use;
        std::vector<messages::Label> others;
        for (const Open& each : all)
            if (each.use != first && (others.empty() || others.back().span != each.use->span))
                others.push_back({each.use->span, "nor by this one"});
        for (const auto& [reading, use, found] : all) {
            if (use != first) continue;
            now.about(*reading);
            now.span = use->span;
            Finding& finding = now.report(
                self,
                "the " + use->figure.name + " is read here{sides} after work on it, and nobody decides by this reading",
                found);
            const Standing& is = found.standing;
            if (is.placed != nullptr) finding.more.push_back({head_span(*is.placed), "worked on here"});
            if (is.indebted != nullptr)
                if (const fitted::LimitUse* by = use_in(*is.indebted, reading->limit))
                    finding.more.push_back({by->span, "decided by a reading from before that"});
            finding.more.insert(finding.more.end(), others.begin(), others.end());
            finding.help = "add `- decide: " + now.linked.limits[reading->limit.index()].id +
                           "` behind it, and say under `if-not` what is done if it is still bad";
        }
    }
}

} // namespace

extern const Check read_undecided{
    {"read-undecided", messages::Level::error, "what is read after the last work is held against its limit by nobody"},
    When::machine,
    std::nullopt,
    find_read_undecided};

} // namespace benchleaf::proof::checks
