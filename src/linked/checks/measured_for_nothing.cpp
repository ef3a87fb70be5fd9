#include "linked/reports.h"

#include <algorithm>
#include <set>
#include <unordered_set>

namespace benchleaf::linked {

namespace {

void find_measured_for_nothing(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::measured_for_nothing = {
    {"measured-for-nothing", messages::Level::warning, "a limit is measured, and nothing is decided by it"},
    find_measured_for_nothing};

namespace {

struct Said {
    std::vector<std::pair<LimitId, Span>> measured;
    std::unordered_set<LimitId> decided;
    std::set<std::size_t> calls;
    bool unread = false; // it holds a step that could not be read, and may decide
};

// A round that decides by nothing that it reads is told as that: what it reads was most likely meant.
void judge_round(const Steps& steps, const Step& again, Said& said) {
    std::unordered_set<LimitId> read;
    const auto in_round = [&](StepId id) {
        return id.known() && id.index() >= again.from.index() && id.index() < again.id.index();
    };
    for (const Step& step : steps)
        if (again.from.known() && in_round(step.id))
            for (const Target& target : step.targets)
                if (target.limit.known()) read.insert(target.limit);
    const bool by_read = std::any_of(again.basis.begin(), again.basis.end(), [&](const Basis& basis) {
        return read.contains(basis.limit) || in_round(basis.inspection);
    });
    if (!by_read && !again.basis.empty()) said.decided.insert(read.begin(), read.end());
}

void walk(const Steps& steps, Said& said) {
    for (const Step& step : steps) {
        said.unread = said.unread || step.kind == StepKind::hole;
        for (const Target& target : step.targets)
            if (target.limit.known()) said.measured.emplace_back(target.limit, target.span);
        for (const Basis& basis : step.basis)
            if (basis.limit.known()) said.decided.insert(basis.limit);
        if (step.procedure.known()) said.calls.insert(step.procedure.index());
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise}) walk(*below, said);
        if (step.kind == StepKind::again) judge_round(steps, step, said);
    }
}

// All that `from` leads to, itself among them.
std::set<std::size_t> reached(std::size_t from, const std::vector<std::set<std::size_t>>& edges) {
    std::set<std::size_t> seen{from};
    std::vector<std::size_t> open{from};
    while (!open.empty()) {
        const std::size_t at = open.back();
        open.pop_back();
        for (const std::size_t next : edges[at])
            if (seen.insert(next).second) open.push_back(next);
    }
    return seen;
}

void find_measured_for_nothing(const Linked& linked, const Check& self, Messages& out) {
    std::vector<Said> said(linked.procedures.size());
    std::vector<std::set<std::size_t>> calls(linked.procedures.size());
    std::vector<std::set<std::size_t>> called_by(linked.procedures.size());
    for (std::size_t i = 0; i < said.size(); ++i) {
        for (const Section& section : linked.procedures[i].sections) walk(section.steps, said[i]);
        calls[i] = said[i].calls;
        for (const std::size_t called : said[i].calls) called_by[called].insert(i);
    }
    for (std::size_t i = 0; i < said.size(); ++i) {
        if (said[i].measured.empty()) continue;
        std::set<std::size_t> near = reached(i, calls);
        near.merge(reached(i, called_by));
        for (const auto& [limit, at] : said[i].measured) {
            bool decided = false;
            for (const std::size_t each : near)
                decided = decided || said[each].unread || said[each].decided.contains(limit);
            if (decided) continue;
            const Limit& what = linked.limits[limit.index()];
            const std::string name = what.figures.name ? "the " + what.figures.name->value : "`" + what.id + "`";
            messages::Message& message = out.add(self.rule, at, name + " is measured, and nothing is decided by it");
            message.labels.push_back({what.declared, "has a limit, which nobody holds the reading against"});
            message.help = "add a `decide` that rests on it and says what is done past the limit";
            message.cause = std::to_string(i); // one decision that is missing may have rested on several
        }
    }
}

} // namespace
} // namespace benchleaf::linked
