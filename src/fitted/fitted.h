// A procedure or a job as it stands for one vehicle: what the vehicle does not have is gone, `when` and `only` are
// decided, values are looked up (job, vehicle, procedure, catalogues), and each item is split into its instances along
// its axis. `do` is not copied out: a row calls a fitted procedure, and whoever walks the rows (proof/, card/) goes
// into it, so that a chain of calls costs what it holds and not what it unfolds to.
#pragma once

#include "history/history.h"
#include "linked/linked.h"

#include <cstdint>
#include <deque>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace benchleaf::fitted {

using linked::ItemId;
using linked::Place;
using source::Span;
using InstanceId = base::Id<struct InstanceTag>;
using ProcedureIndex = base::Id<struct FittedProcedureTag>; // into Fit::procedures

// One value of an axis, as an index into the axis's values on this vehicle.
using AxisValue = std::uint8_t;
inline constexpr AxisValue no_value = 255;

struct Axis {
    std::string name;
    std::vector<std::string> values;
};

struct Instance {
    ItemId item;
    AxisValue value = no_value; // of the item's axis
};

struct Item {
    const linked::Item& is; // with the vehicle's differences
    bool present = true;    // `only-on` holds on this vehicle
    std::uint32_t first_instance = 0;
    std::uint32_t instances = 0;
};

// What was looked at of the figures that a vehicle may have of its own, by ItemId and LimitId: all that a verdict on it rests on, besides
// what it has, its axes and how its items hold each other. So a verdict holds for every other vehicle that is alike in those (alike.h).
struct Looks {
    explicit Looks(const linked::Linked& linked)
        : items(linked.items.size()), torques(linked.items.size()), limits(linked.limits.size()) {}
    std::vector<char> items, torques, limits;
};

// The items of a vehicle, by ItemId; copies are the same ones. Whoever takes one by its number is noted as having looked at its figures.
class Items {
public:
    struct All {
        std::vector<Item> items;
        std::deque<linked::Item> changed; // what some of them are, where that is not as the Linked has it
    };
    Items() : all_(std::make_shared<const All>()) {}
    explicit Items(std::shared_ptr<const All> all) : all_(std::move(all)) {}

    std::size_t size() const { return all_->items.size(); }
    const Item& operator[](std::size_t item) const {
        if (looks_ != nullptr) looks_->items[item] = 1;
        return all_->items[item];
    }
    // For who looks at nothing but whether it is there, what sort of thing it is, and how it and others hold each other.
    const Item& unnoted(std::size_t item) const { return all_->items[item]; }
    auto begin() const { return all_->items.begin(); } // likewise
    auto end() const { return all_->items.end(); }

    void note(Looks* looks) { looks_ = looks; }

private:
    std::shared_ptr<const All> all_;
    Looks* looks_ = nullptr;
};

enum class From : std::uint8_t { job, vehicle, procedure, catalogue };

// A tightening value that was found for a fastener, key by key through the levels.
struct TorqueFigure {
    units::Tightening value;
    std::optional<model::ThreadState> threads;
    std::string source; // empty: nobody said
    Span declared;      // of the level that gave the value
    From from = From::catalogue;
};

struct LimitFigure {
    linked::LimitId limit;
    model::Limit figures; // merged
    std::string name;     // as printed: the limit's own, or that of what it is of
    Span declared;
};

struct Target {
    ItemId item;
    std::vector<AxisValue> values; // narrowed by `only`; empty: all the row is bound to
    Place place = 0;               // of move and set
    Span span;
    std::optional<TorqueFigure> torque; // of torque and recheck, where one was found
};

struct LimitUse {
    LimitFigure figure;
    std::vector<ItemId> of; // present on this vehicle
    Span span;
    std::vector<std::vector<AxisValue>> values; // of each, narrowed by `only`; empty: all the row is bound to
};

struct Row;
using Rows = std::vector<Row>;

enum class RowKind : std::uint8_t { hole, verb, plain, question, if_answered, repeat, stop };

// One row of work. `step` keeps the texts. A row is worked once for each value its section is bound to.
struct Row {
    RowKind kind = RowKind::hole;
    linked::StepId id;
    const linked::Step* step = nullptr;
    model::VerbName verb{};
    std::vector<Target>
        targets; // items that the verb is done to; of measure: what is measured; of apply: what it goes on
    std::vector<LimitUse> limits;            // of measure; of a question or repeat: what decides it
    std::vector<linked::StepId> inspections; // of a question or repeat: what decides it
    ProcedureIndex calls;                    // of do
    std::vector<AxisValue> only;             // values of the procedure's axis that this row is for; empty: all
    Rows if_so;                              // of a question; of if_answered: its steps
    Rows if_not;                             // of a question
    Rows body;                               // of a repeat: the rows from `from` up to the `again`
    Rows otherwise;                          // of a repeat: when at-most is used up
    std::int64_t at_most = 0;                // of a repeat
    std::vector<linked::Answer> answers;     // of if_answered
    bool answer_used = false;                // of a question: an if_answered of this vehicle names it
    bool late = false;                       // it was told to stand too late, and what is wrong with it there with that
};

struct Section {
    const linked::Section* source = nullptr;
    bool bound = false; // worked once for each value of the procedure's axis; else once for all
    Rows rows;
};

struct Procedure {
    linked::ProcedureId id;
    const linked::Procedure* source = nullptr;
    linked::AxisId axis; // each
    std::vector<AxisValue> values;
    std::vector<Section> sections;
    std::vector<linked::Entering> starts_with; // items of this vehicle only
    std::vector<linked::Entering> ends_with;
    std::vector<linked::LimitId> unread; // that could not be measured, or decides without having been: told
};

// All that was fitted for one vehicle. Without a vehicle (a shop that has none yet) everything in the catalogues is
// present.
struct Fit {
    linked::VehicleId vehicle;
    linked::JobId job;      // known: figures of this job were laid over
    std::vector<Axis> axes; // by linked::AxisId
    Items items;            // by ItemId
    std::vector<Instance> instances;
    std::vector<Procedure> procedures;
    std::vector<ProcedureIndex> sequence; // of a job: its procedures in order
    std::optional<history::Vehicle> past; // of a job: what the records say of the vehicle
};

struct Fitted {
    const linked::Linked* linked = nullptr;
    std::vector<Fit> fits; // one for each vehicle (all procedures that fit it), or one for a job
};

} // namespace benchleaf::fitted
