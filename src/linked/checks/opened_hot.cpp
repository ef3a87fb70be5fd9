#include "linked/look_over.h"
#include "linked/reports.h"

#include <algorithm>
#include <initializer_list>
#include <set>

namespace benchleaf::linked {

namespace {

void find_opened_hot(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::opened_hot = {
    {"opened-hot", messages::Level::warning, "a fuel or coolant circuit can be opened with the engine running or hot"},
    find_opened_hot};

namespace {

// Something that is set, such as the engine, has to stand right for it.
bool waits_for_setting(const Item& item, std::initializer_list<model::VerbName> verbs, const ReadItem& read) {
    const auto sets = [&](const std::vector<Need>& needs) {
        return std::any_of(needs.begin(), needs.end(), [&](const Need& need) {
            return need.item.known() && read(need.item).sort == Sort::setting;
        });
    };
    return sets(item.needs) || std::any_of(item.whiles.begin(), item.whiles.end(), [&](const While& each) {
               return std::find(verbs.begin(), verbs.end(), each.verb) != verbs.end() && sets(each.needs);
           });
}

// It is filled, or its level is read, with something away that waits itself.
bool lid_waits(const Item& circuit, const ReadItem& read) {
    using V = model::VerbName;
    return std::any_of(circuit.whiles.begin(), circuit.whiles.end(), [&](const While& each) {
        return (each.verb == V::fill || each.verb == V::level) &&
               std::any_of(each.needs.begin(), each.needs.end(), [&](const Need& need) {
                   return need.item.known() && waits_for_setting(read(need.item), {V::slacken, V::remove}, read);
               });
    });
}

// Those that some step opens by itself.
std::set<ItemId> opened_by_steps(const Linked& linked) {
    std::set<ItemId> opened;
    for (const Procedure& procedure : linked.procedures)
        each_step(procedure, [&](const Step& step) {
            if (step.kind != StepKind::verb || step.verb != model::VerbName::open) return;
            for (const Target& target : step.targets) opened.insert(target.item);
        });
    return opened;
}

// The lid of a coolant circuit, where it does not itself open the circuit: it is told by itself there.
const Item* bare_lid(const Item& circuit, const ReadItem& read) {
    using V = model::VerbName;
    for (const While& each : circuit.whiles) {
        if (each.verb != V::fill && each.verb != V::level) continue;
        for (const Need& need : each.needs) {
            if (!need.item.known() || need.place == 0) continue;
            const Item& lid = read(need.item);
            if ((lid.sort == Sort::fastener || lid.sort == Sort::clip) && !lid.opens.known() &&
                !waits_for_setting(lid, {V::slacken, V::remove}, read))
                return &lid;
        }
    }
    return nullptr;
}

void report_unguarded(const Item& circuit, bool fuel, const Check& self, Messages& out) {
    out.add(self.rule, circuit.declared,
            fuel ? "nothing keeps the " + circuit.name + " shut while the engine runs or is hot"
                 : "nothing is said to open the " + circuit.name + ", so nothing keeps it shut while it is hot")
        .help = fuel ? "add `while: { open: … }` with what makes it safe, such as `engine: stopped`"
                     : "add `while: { open: … }` with what makes it safe, such as `engine: stopped` or a setting "
                       "`cold`, and `needs:` with the same to its cap; a drain plug says `opens: " +
                           circuit.id + "`, too";
}

void find_opened_hot(const Linked& linked, const Check& self, Messages& out) {
    const std::set<ItemId> opened = opened_by_steps(linked);
    look_over(linked, [&](const Item& item, const ReadItem& read) {
        if (item.sort == Sort::circuit && is_circuit(item, {model::CircuitSort::coolant}) && !item.openers.empty()) {
            const Item* lid = bare_lid(item, read);
            if (lid == nullptr) return false;
            messages::Message& message =
                out.add(self.rule, lid->declared, "nothing keeps the " + lid->name + " shut while the coolant is hot");
            message.labels.push_back({item.declared, "it is filled there"});
            message.help = "add `needs:` with what makes it safe: a setting `cold` of the engine, `engine: stopped`";
            return true;
        }
        if (item.sort == Sort::circuit && hurts_when_hot(item) && item.openers.empty()) {
            const bool fuel = item.circuit_of.sort->value == model::CircuitSort::fuel;
            const bool by_step = std::any_of(opened.begin(), opened.end(), [&](ItemId id) {
                return linked.items[id.index()].declared == item.declared;
            });
            if ((fuel && !by_step) || waits_for_setting(item, {model::VerbName::open}, read) || lid_waits(item, read))
                return false;
            report_unguarded(item, fuel, self, out);
            return true;
        }
        if (!item.opens.known() || !hurts_when_hot(read(item.opens))) return false;
        const Item& circuit = read(item.opens);
        if (waits_for_setting(item, {model::VerbName::slacken, model::VerbName::remove}, read) ||
            waits_for_setting(circuit, {model::VerbName::open}, read))
            return false;
        const bool fuel = circuit.circuit_of.sort->value == model::CircuitSort::fuel;
        messages::Message& message =
            out.add(self.rule, item.declared,
                    fuel ? "nothing keeps the " + item.name + " shut while the engine runs or is hot"
                         : "nothing keeps the " + item.name + " shut while the coolant is hot");
        message.labels.push_back(
            {circuit.declared, fuel ? "it lets fuel out" : "it lets coolant out, scalding and under pressure"});
        message.help = fuel ? "add `needs:` with what makes it safe, such as `needs: { engine: stopped }`"
                            : "add `needs:` with what makes it safe: a setting `cold` of the engine, `engine: stopped`";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
