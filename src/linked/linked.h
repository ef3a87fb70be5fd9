// The shop with its names turned into ids. Everything that a catalogue, procedure, vehicle or job calls by name is
// looked up once, here; what could not be found was reported and is an id that is not `known()`, which later stages
// step over. Texts, spans and figures are those of the Model, which must outlive this value.
#pragma once

#include "base/few.h"
#include "base/id.h"
#include "model/model.h"

#include <algorithm>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace benchleaf::linked {

using ItemId = base::Id<struct ItemTag>;
using ConsumableId = base::Id<struct ConsumableTag>;
using ToolId = base::Id<struct ToolTag>;
using CautionId = base::Id<struct CautionTag>;
using LimitId = base::Id<struct LimitTag>;
using CatalogueId = base::Id<struct CatalogueTag>;
using ProcedureId = base::Id<struct ProcedureTag>;
using VehicleId = base::Id<struct VehicleTag>;
using JobId = base::Id<struct JobTag>;
using AxisId = base::Id<struct AxisTag>;

using source::Span;

// The sorts whose state a step can change. A clip is a fastener that is `secured-by: fit`.
enum class Sort : std::uint8_t { fastener, clip, part, circuit, setting, adjustment };

// A place of an item, as an index into its `places`; 0 is the resting one.
using Place = std::uint8_t;

// An item that has to be in one of its places for something to be done.
struct Need {
    ItemId item;
    Place place = 0;
    Span span;
};

struct While {
    model::VerbName verb{};
    Span span;
    std::vector<Need> needs;
};

struct PlaceName {
    std::string name;          // tight, snug, loose, off · in, off · on, <own>, off · <states> · ready
    Span span;                 // where an own place or a state is declared
    std::vector<ItemId> frees; // the fasteners that must be off for a part's own place
};

// One item with everything that the sorts can say; what a sort does not have is empty. Figures stay as the Model has
// them.
struct Item {
    Sort sort = Sort::part;
    std::string id; // as declared, without its catalogue
    CatalogueId catalogue;
    Span declared;    // the name's span in its catalogue
    std::string name; // as printed
    AxisId axis;      // each
    model::Conditions only_on;
    std::vector<CautionId> cautions;
    std::vector<PlaceName> places;
    bool rests_anywhere = false; // a setting with `rest: any`

    std::vector<ItemId> held_by;   // of a part
    std::vector<ItemId> holds;     // of a fastener: the parts that name it in held-by
    std::vector<ItemId> behind;    // must be away from rest before this can be reached
    ItemId inside;                 // likewise
    std::vector<ItemId> covers;    // what names this in behind or inside
    ItemId circuit;                // of a part: what moves it
    std::vector<ItemId> moves;     // of a circuit: the parts that it moves
    ItemId opens;                  // of a fastener
    ItemId vents;                  // of a fastener
    std::vector<ItemId> openers;   // of a circuit: the fasteners that open it
    std::vector<ItemId> vented_by; // of a circuit: its vents
    ItemId locks;                  // of a fastener or clip: what it locks
    std::vector<ItemId> locked_by;
    std::vector<ItemId> renew_together;
    std::vector<ItemId> renew_with;
    std::vector<ItemId> disturbs;     // the adjustments that name this in disturbed-by or after
    std::vector<ItemId> disturbed_by; // of an adjustment
    std::vector<ItemId> after;        // of an adjustment
    std::vector<LimitId> proved_by;
    ConsumableId threadlock;
    ConsumableId lubricant;
    ConsumableId fluid; // of a circuit
    std::vector<Need> needs;
    std::vector<While> whiles;
    std::vector<ItemId> needed_by; // the items that name it in `needs`

    // The declaration, with a vehicle's differences laid over it where this is a vehicle's item. One of them is filled,
    // by sort.
    model::Part part;
    model::Fastener fastener;
    model::Circuit circuit_of; // named so as not to be taken for `circuit`
    model::Setting setting;
    model::Adjustment adjustment;

    std::int64_t count = 1; // of fasteners and parts
    bool critical = false;

    // A fastener that closes a slot round what it holds: that slides out once it is loose, and the fastener stays in.
    bool pinches() const { return fastener.duty && fastener.duty->value == model::Duty::pinch; }
    // Where a fastener has to stand at least, for what it holds to come off or go on.
    Place lets_go_at() const { return pinches() ? Place{2} : static_cast<Place>(places.size() - 1); }
    // Of a circuit: is it open once a part is off that names it? A pump stands in the water; a caliper hangs on its hose, and a fork leg is shut.
    bool is_open_without_its_parts() const {
        const auto& of = circuit_of.sort;
        return of && (of->value == model::CircuitSort::engine_oil || of->value == model::CircuitSort::coolant ||
                      of->value == model::CircuitSort::fuel);
    }
    // Of a circuit: is it filled through that hole, or up to it? Its `while` for `fill` or `level` wants that away. Nothing runs out there.
    bool filled_through(ItemId cap) const {
        return std::any_of(whiles.begin(), whiles.end(), [&](const While& each) {
            return (each.verb == model::VerbName::fill || each.verb == model::VerbName::level) &&
                   std::any_of(each.needs.begin(), each.needs.end(),
                               [&](const Need& need) { return need.item == cap && need.place != 0; });
        });
    }
};

struct Limit {
    std::string id;
    CatalogueId catalogue;
    Span declared;
    model::Limit figures;
    std::vector<ItemId> of;
    AxisId difference_over;
    std::vector<ItemId> proves; // the adjustments that name it in proved-by
    std::vector<CautionId> cautions;
};

struct Consumable {
    std::string id;
    CatalogueId catalogue;
    Span declared;
    std::string name;
    model::Consumable figures;
    std::vector<CautionId> cautions;
    struct Enemy {
        ConsumableId consumable;
        Span span; // its name
    };
    std::vector<Enemy> never_mix_with;
    bool used = false; // by a step, or by an item as its fluid, locker or lubricant
};

struct Tool {
    std::string id;
    CatalogueId catalogue;
    Span declared;
    std::string name;
    model::Tool figures;
    std::vector<CautionId> cautions;
};

struct Caution {
    std::string id;
    CatalogueId catalogue;
    Span declared;
    model::CautionLevel level{};
    std::string hazard;
    std::string avoid;
};

// A torque as given at one of the levels of value look-up, by the fastener it is for.
struct Torque {
    ItemId fastener;
    Span declared;
    model::Torque figures; // perhaps in part
};

// A limit as given by a vehicle, procedure or job: the keys that differ.
struct LimitDifference {
    LimitId limit;
    Span declared;
    model::Limit figures;
};

struct Catalogue {
    std::string id;
    Span declared;
    std::vector<CatalogueId> uses;
    std::vector<Torque> torques;
};

// -- Procedures
// --------------------------------------------------------------------------------------------------------- Where a
// step is, as the number of the step within its procedure in the order of the file, questions' branches included.
using StepId = base::Id<struct StepTag>;

struct Target {
    ItemId item;     // not known for a limit, a consumable, a procedure
    LimitId limit;   // of measure
    Place place = 0; // of move and set
    Span span;       // the name
    Span place_span;
};

struct Basis { // what a decision rests on
    LimitId limit;
    StepId inspection;
    Span span;
};

struct Answer {
    StepId question;
    bool yes = false;
    Span span;
};

struct Only {
    AxisId axis;
    std::vector<std::string> values;
    Span span;                     // the axis
    std::vector<Span> value_spans; // as many as values
};

struct Step;
using Steps = base::Few<Step>;

enum class StepKind : std::uint8_t { hole, verb, plain, ask, decide, if_answered, again, stop };

// An item that a text names as `{lower-guide-bolt}`.
struct Mention {
    std::string written; // between the braces
    ItemId item;
};

// What a number on a picture points at: an item, or words where `item` is not known.
struct PictureMark {
    ItemId item;
    std::string words;
    const std::vector<source::Spanned<model::Spot>>* spots = nullptr;
};

// A large shop has hundreds of thousands of them: what a step seldom has is kept small where it has none.
struct Step {
    StepKind kind = StepKind::hole;
    model::VerbName verb{}; // kind verb
    StepId id;
    const model::Step* source = nullptr;
    std::vector<Target> targets;              // kind verb
    base::Few<ItemId> to;                     // of apply
    base::Few<ToolId> with_tools;             // of clean
    base::Few<ConsumableId> with_consumables; // of clean
    ConsumableId consumable;                  // of apply
    ConsumableId wait_for;
    ProcedureId procedure;     // of do
    StepId from;               // of again: an earlier step of the same list
    base::Few<Basis> basis;    // of decide, and of again
    base::Few<Answer> answers; // of if-answered
    base::Few<ToolId> tools;
    base::Few<CautionId> cautions; // named on the step
    base::Few<Only> only;
    base::Few<Mention> mentions;  // in any of its texts
    base::Few<PictureMark> marks; // on its picture
    Steps if_so;
    Steps if_not;
    Steps steps;     // of if-answered
    Steps otherwise; // of again
};

struct Section {
    const model::Step* source = nullptr; // null for the unnamed first section
    bool once = false;
    Steps steps;
};

struct Entering {
    ItemId item;
    bool has_place = false;
    Place place = 0;
    std::uint64_t owes = 0; // bits of model/verbs.h's Debt
    Span span;              // the item's name
    Span value;
};

struct Procedure {
    ProcedureId id;
    const model::Procedure* source = nullptr;
    AxisId each;
    std::vector<CatalogueId> uses;
    std::vector<CatalogueId> sees; // those, and what they use in turn, by id
    std::vector<Section> sections;
    std::vector<Entering> starts_with;
    std::vector<Entering> ends_with;
    std::vector<CautionId> cautions;
    std::vector<Torque> torques;
    std::vector<LimitDifference> limits;
    std::size_t step_count = 0;
};

struct Axis {
    std::string name;
    std::vector<std::string> values; // as most vehicles have them; side: left, right
};

struct Vehicle {
    VehicleId id;
    const model::Vehicle* source = nullptr;
    std::vector<std::pair<AxisId, std::vector<std::string>>> axes; // where they differ
    struct Narrowed {
        ItemId item;
        AxisId axis;
        std::vector<std::string> values;
        Span span; // the axis
        std::vector<Span> value_spans;
    };
    std::vector<Narrowed> only;
    std::vector<std::pair<ItemId, Item>> items; // whole, with the differences laid over
    std::vector<Torque> torques;
    std::vector<LimitDifference> limits;
    std::vector<CautionId> cautions;
};

struct Job {
    JobId id;
    const model::Job* source = nullptr;
    VehicleId vehicle;
    std::vector<std::pair<ProcedureId, Span>> procedures;
    std::vector<Torque> torques;
    std::vector<LimitDifference> limits;
};

// A name where it is used, and where what it stands for is declared.
struct Use {
    Span at;
    Span declared;
};

struct Linked {
    const model::Model* model = nullptr;
    const model::Shop* shop = nullptr;
    std::vector<Catalogue> catalogues;
    std::vector<Item> items;
    std::vector<Limit> limits;
    std::vector<Consumable> consumables;
    std::vector<Tool> tools;
    std::vector<Caution> cautions;
    std::vector<Axis> axes;
    std::vector<Procedure> procedures;
    std::vector<Vehicle> vehicles;
    std::vector<Job> jobs;
    std::vector<Use> uses; // every name that was found, in the order of asking
};

// As a record is to call it among all that the shop has or may have one day: its id, with its catalogue before it.
std::string name_among_all(const Linked& linked, ItemId id);
std::string name_among_all(const Linked& linked, LimitId id);

} // namespace benchleaf::linked
