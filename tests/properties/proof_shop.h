// A shop made by hand for tests of the proof alone: parts that each hang on one bolt, and one hydraulic circuit that moves them all.
#pragma once

#include "proof/proved.h"

#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace benchleaf::proof_tests {

using fitted::Row;
using fitted::RowKind;
using fitted::Rows;
using linked::ItemId;
using model::VerbName;

class Shop {
public:
    explicit Shop(std::size_t parts) : parts_(parts) {
        for (std::size_t i = 0; i < parts; ++i) {
            linked::Item part;
            part.sort = linked::Sort::part;
            part.id = part.name = "part-" + std::to_string(i);
            part.places = {place("on"), place("off")};
            part.circuit = brake();
            add(part);
        }
        for (std::size_t i = 0; i < parts; ++i) {
            linked::Item bolt;
            bolt.sort = linked::Sort::fastener;
            bolt.id = bolt.name = "bolt-" + std::to_string(i);
            bolt.places = {place("tight"), place("snug"), place("loose"), place("off")};
            add(bolt);
        }
        linked::Item circuit;
        circuit.sort = linked::Sort::circuit;
        circuit.id = circuit.name = "brake";
        circuit.circuit_of.sort = source::Spanned<model::CircuitSort>{model::CircuitSort::hydraulic, {}};
        circuit.places = {place("ready")};
        for (std::size_t i = 0; i < parts; ++i) circuit.moves.emplace_back(i);
        add(circuit);
        shop_.linked = &linked_;
    }

    ItemId part(std::size_t i) const { return ItemId(i); }
    ItemId bolt(std::size_t i) const { return ItemId(parts_ + i); }
    ItemId brake() const { return ItemId(2 * parts_); }

    // The bolts hold their parts.
    void held() {
        for (std::size_t i = 0; i < parts_; ++i) {
            all_->changed[part(i).index()].held_by = {bolt(i)};
            all_->changed[bolt(i).index()].holds = {part(i)};
        }
    }

    void procedure(Rows rows) {
        named_.push_back(std::make_unique<std::pair<model::Procedure, linked::Procedure>>());
        auto& [says, links] = *named_.back();
        says.id.value = "procedure-" + std::to_string(named_.size());
        links.source = &says;
        fitted::Procedure procedure;
        procedure.source = &links;
        procedure.sections.push_back({nullptr, false, std::move(rows)});
        fit_.procedures.push_back(std::move(procedure));
    }
    void no_procedures() { fit_.procedures.clear(); }

    messages::Messages proved() {
        messages::Messages messages;
        shop_.fits.clear();
        shop_.fits.push_back(std::move(fit_));
        proof::prove_procedures(shop_, 0, messages);
        fit_ = std::move(shop_.fits[0]);
        return messages;
    }

private:
    static linked::PlaceName place(std::string name) {
        linked::PlaceName made;
        made.name = std::move(name);
        return made;
    }
    void add(linked::Item item) {
        const auto number = static_cast<std::uint32_t>(all_->items.size()); // of the item, and of its one instance
        all_->items.push_back({all_->changed.emplace_back(std::move(item)), true, number, 1});
        fit_.instances.push_back({ItemId(number), fitted::no_value});
        fit_.items = fitted::Items(all_);
    }

    std::size_t parts_;
    linked::Linked linked_;
    std::shared_ptr<fitted::Items::All> all_ = std::make_shared<fitted::Items::All>();
    fitted::Fit fit_;
    fitted::Fitted shop_;
    std::vector<std::unique_ptr<std::pair<model::Procedure, linked::Procedure>>> named_;
};

inline Row verb(VerbName name, ItemId item) {
    Row row;
    row.kind = RowKind::verb;
    row.verb = name;
    fitted::Target target;
    target.item = item;
    row.targets.push_back(target);
    return row;
}

inline Row question(std::size_t id, Rows yes, Rows no, bool used = false) {
    Row row;
    row.kind = RowKind::question;
    row.id = linked::StepId(id);
    row.if_so = std::move(yes);
    row.if_not = std::move(no);
    row.answer_used = used;
    return row;
}

inline Row if_answered(std::size_t id, bool yes, Rows rows) {
    Row row;
    row.kind = RowKind::if_answered;
    row.answers.push_back({linked::StepId(id), yes, {}});
    row.if_so = std::move(rows);
    return row;
}

inline Row repeat(Rows body, Rows otherwise = {}) {
    Row row;
    row.kind = RowKind::repeat;
    row.body = std::move(body);
    row.otherwise = std::move(otherwise);
    return row;
}

inline Row stop() {
    Row row;
    row.kind = RowKind::stop;
    return row;
}

inline Row call(std::size_t procedure) {
    Row row;
    row.kind = RowKind::verb;
    row.verb = VerbName::do_procedure;
    row.calls = fitted::ProcedureIndex(procedure);
    return row;
}

} // namespace benchleaf::proof_tests
