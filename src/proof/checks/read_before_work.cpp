#include "proof/check.h"
#include "proof/readings.h"
#include "proof/remedy.h"

namespace benchleaf::proof::checks {

namespace {

// What one step decides by is told in one message.
void find_read_before_work(Moment& now, const Check& self) {
    std::vector<std::pair<const Moment::Reading*, Moment::Found>> old;
    std::vector<const fitted::LimitUse*> uses;
    for (const Moment::Reading& reading : now.readings) {
        auto found = now.some(reading.slot, [](const Standing& s) { return (s.on & older_than_work) != 0; });
        if (!found) continue;
        old.emplace_back(&reading, *std::move(found));
        if (uses.empty() || uses.back() != reading.use) uses.push_back(reading.use);
    }
    std::string names;
    for (const fitted::LimitUse* use : uses)
        names += (names.empty() ? "" : ", ") + now.linked.limits[use->figure.limit.index()].id;
    for (const auto& [reading, found] : old) {
        if (reading->limit != uses.front()->figure.limit) continue;
        now.about(*reading);
        Finding& finding = now.report(
            self, "the " + reading->use->figure.name + " decides here{sides}, and was read before the last work on it",
            found);
        finding.limit = reading->limit;
        const Standing& is = found.standing;
        if (is.coated != nullptr) finding.more.push_back({head_span(*is.coated), "read here"});
        if (is.placed != nullptr) finding.more.push_back({head_span(*is.placed), "and worked on since, here"});
        for (const fitted::LimitUse* use : uses)
            if (use != uses.front()) finding.more.push_back({use->span, "and so was this"});
        const std::size_t labels = finding.more.size();
        const std::string measure = uses.size() > 1 ? "- measure: [" + names + "]" : "- measure: " + names;
        now.remedies->add_before(now, finding, {measure}, now.item);
        finding.more.resize(labels);
        finding.late.clear();
        finding.help = (uses.size() > 1 ? "add `- measure: [" + names + "]`"
                                        : now.remedies->read_again(is.coated, *now.row, reading->limit)) +
                       " before this step: work on a thing makes its reading an old one";
        if (!finding.help.starts_with("add")) finding.mends.clear();
    }
}

} // namespace

extern const Check read_before_work{{"read-before-work", messages::Level::error,
                                     "a decision rests on a reading from before the last work on the thing"},
                                    When::machine,
                                    std::nullopt,
                                    find_read_before_work};

} // namespace benchleaf::proof::checks
