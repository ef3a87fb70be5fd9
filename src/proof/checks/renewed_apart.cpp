#include "base/text.h"
#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

bool owes_renewal(const Standing& s) {
    return s.owes(model::Debt::renew);
}

// Where it is still the old one: "the outer pad" or "the outer pad (right)".
std::string old_ones(const Moment& now, linked::ItemId item, const std::vector<fitted::InstanceId>& old) {
    std::string text = fmt::format("the {}", now.name(item));
    const fitted::Item& is = now.of(item);
    if (!is.is.axis.known() || old.size() == is.instances) return text;
    std::vector<std::string> where;
    for (const fitted::InstanceId at : old)
        where.push_back(now.fit.axes[is.is.axis.index()].values[now.fit.instances[at.index()].value]);
    return fmt::format("{} ({})", text, base::join_and(where));
}

void find_renewed_apart(Moment& now, const Check& self) {
    // Where it is worked for one side, who calls for it answers for the set.
    if (!now.begins.empty() || !now.whole) return;
    if ((now.may_owe & model::bit(model::Debt::renew)) != 0) return;
    const auto bad = now.some(now.at, owes_renewal);
    if (!bad) return;
    std::vector<std::string> all;
    std::vector<std::pair<fitted::InstanceId, Standing>> told; // with the first of the set
    for (const linked::ItemId item : renewed_as_one(now.fit, now.item)) {
        std::vector<fitted::InstanceId> old;
        for (const fitted::InstanceId at : now.every(item))
            if (const auto found = now.some(at, owes_renewal)) {
                old.push_back(at);
                told.emplace_back(at, found->standing);
            }
        if (!old.empty()) all.push_back(old_ones(now, item, old));
    }
    Finding& finding =
        now.report(self, fmt::format("not renewed with the rest of the set: {}", base::join_and(all)), bad);
    finding.blamed = std::move(told);
    finding.told_debts = model::bit(model::Debt::renew);
    if (auto since = now.debt_cause(now.at, bad->standing)) {
        since->text = "renewed here";
        now.put_at(finding, std::move(*since));
    }
    finding.more.push_back(now.declared(now.item, "one of a set that is renewed as one, on every side"));
    finding.help = "renew the whole set, one after the other or at once; or none of it";
}

} // namespace

extern const Check renewed_apart{
    {"renewed-apart", messages::Level::error, "one of a set is renewed, and others of it are left as they were"},
    When::end,
    std::nullopt,
    find_renewed_apart};

} // namespace benchleaf::proof::checks
