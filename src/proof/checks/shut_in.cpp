#include "base/text.h"
#include "proof/check.h"
#include "proof/remedy.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

constexpr std::size_t most_ways = 8; // on which a debt came about by different steps

struct Unfinished {
    linked::ItemId item;
    fitted::InstanceId at;
    Moment::Found found;
};

// What is behind or inside and not finished: the first, and those that stand like it, so that one message tells them all.
std::vector<std::vector<Unfinished>> unfinished(const Moment& now) {
    std::vector<std::vector<Unfinished>> groups;
    const auto alike = [&](const Unfinished& a, const Unfinished& b) {
        const Standing& x = a.found.standing;
        const Standing& y = b.found.standing;
        if ((x.place != 0) != (y.place != 0)) return false;
        if ((now.of(a.item).is.inside == now.item) != (now.of(b.item).is.inside == now.item)) return false;
        return x.place != 0 ? now.place_name(a.item, x.place) == now.place_name(b.item, y.place)
                            : x.unfinished() == y.unfinished();
    };
    for (const linked::ItemId behind : now.it().is.covers) {
        if (!behind.known() || !now.of(behind).present || now.of(behind).is.rests_anywhere) continue;
        for (const fitted::InstanceId at : now.beside(behind)) {
            const auto bad = now.some(
                at, [](const Standing& s) { return s.place_known() && (s.place != 0 || s.unfinished() != 0); });
            if (!bad) continue;
            const Unfinished one{behind, at, *bad};
            const auto group =
                std::find_if(groups.begin(), groups.end(), [&](const auto& g) { return alike(g.front(), one); });
            if (group == groups.end())
                groups.push_back({one});
            else
                group->push_back(one);
            break;
        }
    }
    return groups;
}

// Does anybody in the shop say how tight it is?
bool has_torque(const Moment& now, linked::ItemId fastener) {
    const auto says = [&](const auto& all) {
        return std::any_of(all.begin(), all.end(),
                           [&](const linked::Torque& each) { return each.fastener == fastener; });
    };
    const auto said_in = [&](const auto& all) {
        return std::any_of(all.begin(), all.end(), [&](const auto& each) { return says(each.torques); });
    };
    return said_in(now.linked.catalogues) || said_in(now.linked.vehicles) || said_in(now.linked.procedures) ||
           said_in(now.linked.jobs);
}

void find_shut_in(Moment& now, const Check& self) {
    for (const std::vector<Unfinished>& group : unfinished(now)) {
        const Unfinished& first = group.front();
        const Standing& standing = first.found.standing;
        std::vector<std::string> all;
        for (const Unfinished& each : group) all.emplace_back(now.name(each.item));
        const std::string names = base::join_and(all);
        const std::string_view where = now.of(first.item).is.inside == now.item ? "inside" : "behind";
        const bool one = group.size() == 1;
        const std::string what =
            standing.place != 0 ? fmt::format("{} {}", one ? "is" : "are", now.place_name(first.item, standing.place))
                                : fmt::format("still {} {}", one ? "owes" : "owe", debts_of(standing.unfinished()));
        Finding& finding = now.report(
            self, fmt::format("{{item}} goes on{{sides}} while the {} {} it {}", names, where, what), first.found);
        for (const Unfinished& each : group) {
            if (standing.place != 0)
                now.blame(finding, each.at, each.found.standing);
            else
                now.blame_debt(finding, each.at, each.found.standing, standing.unfinished());
            // On other ways it owes the same since another step.
            std::vector<Standing> told{each.found.standing};
            const auto owes_more = [&](const Standing& s) {
                return s.place == 0 && s.unfinished() != 0 && std::find(told.begin(), told.end(), s) == told.end();
            };
            while (standing.place == 0 && told.size() < most_ways) {
                const auto also = now.some(each.at, owes_more);
                if (!also) break;
                told.push_back(also->standing);
                finding.blamed.emplace_back(each.at, also->standing);
            }
        }
        std::vector<linked::ItemId> items;
        for (const Unfinished& each : group) items.push_back(each.item);
        const linked::Item& is = now.of(first.item).is;
        if (one && is.sort == linked::Sort::fastener && standing.place == 2 && !is.fastener.thread &&
            !has_torque(now, first.item)) {
            finding.more.push_back(now.declared(first.item, "without a thread and without a torque"));
            finding.help =
                fmt::format("if it is no bolt and no nut but a clip, say `secured-by: fit` in its "
                            "declaration; else say its thread and its torque, and add `- torque: {}` {{before}}",
                            is.id);
            continue;
        }
        if (!one && standing.place != 0 && now.remedies->finish_first(now, finding, items)) continue;
        if (one && standing.place != 0)
            now.remedies->before(now, finding, first.item, standing.place, 0);
        else if (!one || standing.place != 0 || !now.remedies->pay_before(now, finding, first.item, first.at, standing))
            finding.help = fmt::format("finish the {} first", names);
        finding.help +=
            fmt::format(": once the {} is on, {} cannot be reached", now.name(now.item), one ? "it" : "they");
        if (one && is.sort == linked::Sort::circuit)
            finding.help +=
                fmt::format("; or, where only some work on it needs that away, say so in its `while`, such as "
                            "`while: {{ fill: {{ {}: off }} }}`, in place of `behind`",
                            now.it().is.id);
    }
}

} // namespace

extern const Check shut_in{
    {"shut-in", messages::Level::error, "a part goes on while something behind or inside it is not finished"},
    When::demand,
    model::Demand::nothing_shut_in,
    find_shut_in};

} // namespace benchleaf::proof::checks
