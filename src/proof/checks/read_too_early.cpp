#include "proof/check.h"
#include "proof/remedy.h"

#include <algorithm>

namespace benchleaf::proof::checks {

namespace {

// What is set and tight, and still owes its reading, was read before that: while the nut was loose, or before it was set.
void find_read_too_early(Moment& now, const Check& self) {
    for (const Moment::Reading& reading : now.readings) {
        now.about(reading);
        const linked::Item& item = now.it().is;
        const std::uint64_t read =
            all_proof_bits(now.fit, now.linked, now.item, now.value) &
            proof_bits_of(now.fit, now.linked, item, reading.limit, [](fitted::InstanceId) { return true; });
        const bool loose =
            std::any_of(item.disturbed_by.begin(), item.disturbed_by.end(), [&](linked::ItemId adjuster) {
                if (!adjuster.known() || !now.of(adjuster).present) return false;
                const std::vector<fitted::InstanceId> all = now.beside(adjuster);
                return std::any_of(all.begin(), all.end(), [&](fitted::InstanceId each) {
                    return now.some(each, [](const Standing& s) { return s.away(); }).has_value();
                });
            });
        const auto bad = now.some(now.at, [&](const Standing& s) {
            return s.coated != nullptr && (s.bits & read) != 0 && !s.owes(model::Debt::adjust);
        });
        if (loose || !bad) continue;
        Finding& finding = now.report(self,
                                      "the " + reading.use->figure.name +
                                          " decides here{sides}, and was read before {item} was set and tight",
                                      bad);
        finding.limit = reading.limit;
        finding.more.push_back({head_span(*bad->standing.coated), "read here"});
        now.blame_debt(finding, now.at, bad->standing, proof_bits | model::bit(model::Debt::prove));
        finding.help = now.remedies->read_again(bad->standing.coated, *now.row, reading.limit) +
                       " before this step: what is tightened moves what was read";
    }
}

} // namespace

extern const Check read_too_early{
    {"read-too-early", messages::Level::error, "a decision rests on a reading from before the thing was set and tight"},
    When::machine,
    std::nullopt,
    find_read_too_early};

} // namespace benchleaf::proof::checks
