#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>
#include <functional>
#include <set>

namespace benchleaf::proof::checks {

namespace {

// Read too early because of a bolt that was told to be loose: once that is tightened where it should have been, the reading proves.
bool told_loose(const Moment& now, const Standing& standing) {
    if (now.it().is.sort != linked::Sort::adjustment || standing.coated == nullptr) return false;
    if (standing.owes(model::Debt::adjust)) return false;
    for (const linked::ItemId adjuster : now.it().is.disturbed_by) {
        if (!adjuster.known() || !now.of(adjuster).present) continue;
        for (const fitted::InstanceId at : now.beside(adjuster))
            if (now.some(at, [](const Standing& s) { return !s.place_known(); })) return true;
    }
    return false;
}

// Of a procedure and all that it calls.
void add_unread(const fitted::Fit& fit, const fitted::Procedure& procedure, std::set<linked::LimitId>& to,
                std::set<const fitted::Procedure*>& seen) {
    if (!seen.insert(&procedure).second) return;
    to.insert(procedure.unread.begin(), procedure.unread.end());
    const std::function<void(const fitted::Rows&)> look = [&](const fitted::Rows& rows) {
        for (const fitted::Row& row : rows) {
            if (row.calls.known()) add_unread(fit, fit.procedures[row.calls.index()], to, seen);
            for (const fitted::Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise}) look(*inner);
        }
    };
    for (const fitted::Section& section : procedure.sections) look(section.rows);
}

// It owes readings alone that some step was told to lack.
bool told_unread(const Moment& now, const Standing& standing) {
    if (now.it().is.sort != linked::Sort::adjustment || standing.owes(model::Debt::adjust)) return false;
    std::uint64_t lacking = standing.bits & proof_bits;
    if (lacking == 0) return false;
    std::set<linked::LimitId> unread;
    std::set<const fitted::Procedure*> seen;
    for (const fitted::Procedure& procedure : now.fit.procedures)
        if (now.ended == nullptr || now.ended == &procedure) add_unread(now.fit, procedure, unread, seen);
    for (const linked::LimitId limit : unread)
        lacking &= ~proof_bits_of(now.fit, now.linked, now.it().is, limit, [](fitted::InstanceId) { return true; });
    return lacking == 0;
}

void find_left_owing(Moment& now, const Check& self) {
    if (now.contracted) return;
    // What is left loose or off is told as that; its thread-locker or lubricant is then part of the same work.
    const linked::Sort sort = now.it().is.sort;
    const bool has_places = sort == linked::Sort::fastener || sort == linked::Sort::clip || sort == linked::Sort::part;
    const auto bad = now.some(now.at, [&](const Standing& s) {
        return (s.unfinished() & ~now.may_owe) != 0 && (!has_places || s.place == 0);
    });
    if (!bad || told_loose(now, bad->standing) || told_unread(now, bad->standing)) return;
    Finding& finding = now.report(
        self, fmt::format("{{item}} is left owing {}{{sides}}", debts_of(bad->standing.unfinished() & ~now.may_owe)),
        bad);
    if (auto since = now.debt_cause(now.at, bad->standing)) now.put_at(finding, std::move(*since));
    if (now.it().is.sort == linked::Sort::adjustment && bad->standing.coated != nullptr)
        finding.more.push_back(
            {head_span(*bad->standing.coated), "read here before it was set and tight, which proves nothing"});
    finding.more.push_back(now.declared(now.item, "has to leave the shop ready"));
    now.remedies->pay(now, finding, bad->standing, bad->standing.debts() & ~now.may_owe);
}

} // namespace

extern const Check left_owing{{"left-owing", messages::Level::error,
                               "a circuit or an adjustment still owes a proof at the end, or a part its lubricant"},
                              When::end,
                              std::nullopt,
                              find_left_owing};

} // namespace benchleaf::proof::checks
