// What would mend a thing that is left as it may not be: which step is missing, and where in the procedure it belongs. At the end of a job
// it is a procedure that is missing, where the shop has one that takes the thing as it stands and brings it back.
//
// A step belongs after the last row that has to do with the thing: that works on it, inside or behind it, or needs it as it stands; that
// brings back what it holds; that brings about what its `while` asks for. It stands in a list that every way goes through.
#pragma once

#include "proof/check.h"

#include <map>
#include <optional>

namespace benchleaf::proof {

// Of a circuit that is bled and that nothing vents.
std::string name_a_vent(const linked::Item& circuit);

class Remedies {
public:
    Remedies(const fitted::Fit& fit, const linked::Linked& linked) : fit_(fit), linked_(linked) {}

    // Help for a step that wants another item elsewhere: "add `- set: { front-end: jacked }` before this step", or "move" it, where it
    // stands further down.
    void before(const Moment& now, Finding& finding, linked::ItemId item, linked::Place from, linked::Place to);
    // Help for a step that wants others before it, in words of the language, of an item.
    void add_before(const Moment& now, Finding& finding, const std::vector<std::string>& steps, linked::ItemId item);
    // Help for a thing that stands in a place that is not `now.wanted_place`.
    void bring_back(const Moment& now, Finding& finding, const Standing& standing);
    // Help for a thing that owes `debts`.
    void pay(const Moment& now, Finding& finding, const Standing& standing, std::uint64_t debts);
    // A row in words: "`- torque: nut`", "the question".
    std::string says(const fitted::Row& row) const;

private:
    // Where a row stands: the rows that hold it and itself, outermost first, each with its list (null for that of any section).
    struct Rung {
        const fitted::Rows* list;
        const fitted::Row* row;
    };
    using Path = std::vector<Rung>;
    struct Touch {
        const Path* path = nullptr;
        std::size_t order = 0;
        model::VerbName verb{};
        bool narrowed = false;               // only on some values of the axis
        std::optional<linked::Place> brings; // the thing itself, to that place
    };
    // All that a procedure does, by item. What a called one does, the call does.
    struct Index {
        std::map<const fitted::Row*, Path> paths;
        std::map<linked::ItemId, std::vector<Touch>> touches; // in their order
        std::size_t rows = 0;
    };
    // Steps that go together to one place.
    struct Steps {
        std::vector<std::string> all;  // "- fit: lid"
        std::optional<Touch> after;    // the last row that has to do with them
        std::vector<std::string> once; // what else has to be so first, and no row makes it so: "the front end is down"
    };

    const Index& index_of(const fitted::Procedure& procedure);
    const fitted::Procedure* procedure_of(const fitted::Row& row);
    bool on_every_vehicle(const fitted::Procedure& procedure, linked::ItemId item) const;
    void add(const fitted::Rows& rows, bool top, const Path& above, Index& to) const;
    void add_targets(const fitted::Row& row, const Path& path, Index& to) const;
    void add_called(fitted::ProcedureIndex called, const Path& path, std::vector<char>& seen, Index& to) const;
    void add_called(const fitted::Rows& rows, const Path& path, std::vector<char>& seen, Index& to) const;

    const fitted::Row* row_for(const Index& index, const Touch& last, const fitted::Row* cause) const;
    void wait_for_needs(const Moment& now, const Index& index, model::VerbName verb, Steps& steps) const;
    void put(const Moment& now, Finding& finding, const Index& index, const std::vector<Steps>& steps,
             const fitted::Row* cause, linked::Place stands) const;
    bool measured_after(const fitted::Procedure& procedure, const fitted::Row* row, std::string_view limit) const;
    bool widen(const Moment& now, Finding& finding, const Index& index, model::VerbName verb,
               const fitted::Row* cause) const;
    void ask_for_procedure(const Moment& now, Finding& finding, const Standing& standing, std::uint64_t debts,
                           const std::vector<Steps>& steps) const;

    const fitted::Fit& fit_;
    const linked::Linked& linked_;
    std::map<const fitted::Procedure*, Index> indices_;
};

} // namespace benchleaf::proof
