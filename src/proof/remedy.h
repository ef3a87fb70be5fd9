// What would mend a thing that is left as it may not be: which step is missing, and where in the procedure it belongs. At the end of a job
// it is a procedure that is missing, where the shop has one that takes the thing as it stands and brings it back.
//
// A step belongs after the last row that has to do with the thing: that works on it, inside or behind it, or needs it as it stands; that
// brings back what it holds; that brings about what its `while` asks for. It stands in a list that every way goes through.
#pragma once

#include "proof/check.h"

#include <fmt/format.h>
#include <map>
#include <optional>

namespace benchleaf::proof {

// Of a circuit that is bled and that nothing vents.
std::string name_a_vent(const linked::Item& circuit);

// However deep inside them.
bool holds(const fitted::Rows& rows, const fitted::Row& inner);

// Where a step leaves out a side for which it is needed.
inline constexpr std::string_view widened_begins = "take the `only` out of";
inline std::string widened(std::string_view step, std::string_view values = "{values}") {
    return fmt::format("{} {}, or let it take in {}; or add the step for it", widened_begins, step, values);
}

class Remedies {
public:
    Remedies(const fitted::Fit& fit, const linked::Linked& linked) : fit_(fit), linked_(linked) {}

    // Help for a step that wants another item elsewhere: "add `- set: { front-end: jacked }` before this step", or "move" it, where it
    // stands further down.
    void before(const Moment& now, Finding& finding, linked::ItemId item, linked::Place from, linked::Place to);
    // Help for a thing that is removed from tight where it may not be slackened: it is slackened where the other thing still stood as the need
    // says, or came loose.
    void slacken_earlier(const Moment& now, Finding& finding, const linked::Need& need, const Standing& other);
    // Help for a step that is done where it may not be, and could be done where the other thing stood, or will stand, as the need says. False:
    // it stands so nowhere near.
    bool work_elsewhere(const Moment& now, Finding& finding, const linked::Need& need);
    // Of a proof of a circuit, where it only stands too late.
    bool prove_earlier(const Moment& now, Finding& finding, const linked::Need& need);
    // Help for a step that could be done until the row just before it ended that: "move `- torque: nut` after this step". False: there is no
    // such row.
    bool swap_with(const Moment& now, Finding& finding, linked::ItemId item, const fitted::Row* ended);
    bool swap_with(const Moment& now, Finding& finding, const linked::Need& need);
    // Help for a step that treats what a part was put back before: "move this step before `- fit: lid`". False: it came so.
    bool treat_before(const Moment& now, Finding& finding, linked::ItemId cover, const Standing& standing);
    // The place that a part was meant to be moved to, out of the way: it is moved back from there further down.
    std::optional<linked::Place> moved_away(const Moment& now, linked::ItemId part);
    // Help for a fastener that is tightened without its thread-locker: it goes on before the step that fits it.
    void lock_before_fit(const Moment& now, Finding& finding);
    // Help for a circuit that is filled while nothing let the old out of it; what opens it may have been slackened.
    void open_before(const Moment& now, Finding& finding, bool slackened);
    // Help for a bare `open`, while what opens the circuit is tight.
    void open_how(const Moment& now, Finding& finding, linked::ItemId shut);
    // Help for a step that comes before something has set or settled.
    void wait_before(const Moment& now, Finding& finding, const std::string& time);
    // Help for a thread that is not clean, before this step.
    void clean_before(const Moment& now, Finding& finding);
    // Help for a procedure that is called and does not find a thing as it asks for it.
    void bring_before_call(const Moment& now, Finding& finding, const Standing& standing);
    // Does a row of the procedure before this one have to do with it, or ask how it stands?
    bool touched_before(const Moment& now, linked::ItemId item);
    // Help for a section that sets what is there once, and is worked on each side: the first side leaves it as the second may not find it.
    bool worked_side_by_side(const Moment& now, Finding& finding, linked::ItemId item, const Standing& standing);
    // Where the step that its help asks for is there, and its `only` leaves the side out: help that says so.
    void widen_instead(Finding& finding) const;
    // Help for a setting that is set to what it is already.
    void set_already(const Moment& now, Finding& finding, const Standing& standing);
    // Help for a part that goes on before what it shuts in is finished, where all of that follows further down.
    bool finish_first(const Moment& now, Finding& finding, const std::vector<linked::ItemId>& items);
    // Help for a proof of a circuit that comes before those that it still owes, where each of them stands further down: "move this step after". False: they
    // do not.
    bool prove_later(const Moment& now, Finding& finding, linked::ItemId circuit, std::span<const model::Debt> owed);
    // Help for a proof that is missing before this step, and owed since that row, where it can be done.
    void prove_before(const Moment& now, Finding& finding, linked::ItemId circuit, model::Debt debt,
                      const fitted::Row* owed);
    // Help for a circuit that a bleed leaves out some vents of. False: none does.
    bool bleed_at_every_vent(const Moment& now, Finding& finding, linked::ItemId circuit);
    // Help for coolant that is not bled: behind where it was filled in, for it is hot when it has gone round. False: it is not filled there.
    bool bleed_behind_fill(const Moment& now, Finding& finding, linked::ItemId circuit,
                           const std::vector<std::string>& steps);
    // A step among those that brings it there, and is for some values of the axis alone.
    const fitted::Row* narrowed_on(const fitted::Rows& rows, linked::ItemId item, linked::Place place) const;
    // Help where the two ways of a question leave a thing in two places.
    void agree(const fitted::Row& question, const Standing& yes, const Standing& no, Finding& finding);
    // Help for a step that wants others before it, in words of the language, of an item.
    void add_before(const Moment& now, Finding& finding, const std::vector<std::string>& steps, linked::ItemId item);
    // Help for a thing that stands in a place that is not `now.wanted_place`.
    void bring_back(const Moment& now, Finding& finding, const Standing& standing);
    // Help for a thing that owes `debts`.
    void pay(const Moment& now, Finding& finding, const Standing& standing, std::uint64_t debts);
    // The same before this step. False: there is none.
    bool pay_before(const Moment& now, Finding& finding, linked::ItemId item, fitted::InstanceId at,
                    const Standing& standing);
    // "move `- measure: slack`", or "add" it where something decided by the reading that was taken at `read`.
    std::string read_again(const fitted::Row* read, const fitted::Row& now, linked::LimitId limit);
    // Help for a repeat that comes round with a thing otherwise than it began: the step that brought it about goes into the round. Empty: there is
    // none.
    std::string begin_round(const fitted::Row& repeat, linked::ItemId item, const Standing& begins,
                            const Standing& ends);
    // Or one that a round does and does not undo.
    std::string end_round(const fitted::Row& repeat, linked::ItemId item, const Standing& begins, const Standing& ends,
                          Finding& finding);
    // Help for a step that is done to what is tight, and has to be slackened first.
    void slacken_first(const Moment& now, Finding& finding);
    // Help for a step under a question that slackens what is loose since before it: there it was to be tightened. False: it stands otherwise.
    bool tighten_before_question(const Moment& now, Finding& finding, const Standing& standing);
    // Help for a step that slackens what is loose, where each round of a repeat begins with it and leaves it tight again. False: none does.
    bool begins_round_loose(const Moment& now, Finding& finding);
    // Where the thing stands just before that row, as far as the steps of its procedure say.
    linked::Place place_before(const fitted::Procedure& procedure, const fitted::Row& row, linked::ItemId item);
    // Help for a vent that is loose since it was bled: it is tightened right behind that, in rounds, too. False: it is tightened further down.
    bool tighten_behind_bleeding(const Moment& now, Finding& finding, linked::ItemId vent, const Standing& standing);
    // The procedure that a job works right before this one, and that leaves the thing so; empty: none does.
    std::string left_so_before(const Moment& now, const linked::Need& need);
    // Help for a step that leaves out a side for which it is needed.
    std::string widened_step(const fitted::Row& narrow, linked::ItemId item,
                             std::string_view values = "{values}") const;
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
        std::map<const fitted::Row*, std::size_t> orders;     // of its own rows
        std::map<linked::ItemId, std::vector<Touch>> touches; // in their order
        std::size_t rows = 0;
    };
    // Steps that go together to one place.
    struct Steps {
        std::vector<std::string> all;        // "- fit: lid"
        std::optional<Touch> after;          // the last row that has to do with them
        const fitted::Row* before = nullptr; // or they belong before this one
        std::vector<std::string> once; // what else has to be so first, and no row makes it so: "the front end is down"
    };

    // The rows between which another thing stands as a need says: those that a row of the same procedure comes after and before.
    struct Spell {
        const fitted::Row* ended = nullptr;  // before the row: by this one
        const fitted::Row* begins = nullptr; // after the row: with this one
    };
    Spell spell_of(const Moment& now, const linked::Need& need);
    void add_before(const Moment& now, Finding& finding, const std::vector<std::string>& steps, linked::ItemId item,
                    const fitted::Row* row);
    bool brought_within(const fitted::Procedure& procedure, const fitted::Row& repeat, linked::ItemId item);
    const fitted::Row* set_before_reading(const Moment& now, const Index& index, const std::optional<Touch>& freed,
                                          const fitted::Row* cause) const;
    const fitted::Row* reading_of(const fitted::Procedure& procedure, const fitted::Row& before,
                                  linked::ItemId circuit) const;
    const fitted::Row* round_apart(const fitted::Procedure& procedure, const fitted::Row& row,
                                   const fitted::Row* other);
    const linked::Procedure* begins_so(const Moment& now, linked::Place place) const;
    bool turned_between(const fitted::Procedure& procedure, const fitted::Row& first, const fitted::Row& second,
                        linked::ItemId item) const;
    bool does_fit(const linked::Procedure& procedure) const;
    const linked::Procedure* brings(const Moment& now, linked::ItemId item, linked::Place from, linked::Place to) const;
    bool call_before(const Moment& now, Finding& finding, linked::ItemId item, linked::Place from, linked::Place to);
    bool decides_by(const fitted::Procedure& procedure, const fitted::Row* after, const fitted::Row* before,
                    linked::LimitId limit) const;

    const Index& index_of(const fitted::Procedure& procedure);
    const fitted::Procedure* procedure_of(const fitted::Row& row);
    // The list that a row stands in, itself; null: it is of a procedure that this one calls.
    const fitted::Rows* list_of(const fitted::Procedure& procedure, const fitted::Row& row);
    bool on_every_vehicle(const fitted::Procedure& procedure, linked::ItemId item) const;
    void add(const fitted::Rows& rows, bool top, const Path& above, Index& to) const;
    void add_targets(const fitted::Row& row, const Path& path, Index& to) const;
    void add_called(fitted::ProcedureIndex called, const Path& path, std::vector<char>& seen, Index& to) const;
    void add_called(const fitted::Rows& rows, const Path& path, std::vector<char>& seen, Index& to) const;

    bool beside_sister(const Moment& now, Finding& finding, const fitted::Procedure& procedure, const Index& index,
                       linked::ItemId item, linked::Place from, linked::Place to) const;
    static bool stands_so_behind(const Moment& now, const Index& index, const Touch& row, const linked::Need& need);
    static bool looks_at(const fitted::Row& row, linked::ItemId item); // measures or inspects it
    static const fitted::Row* looked_at_dirty(const Index& index, linked::ItemId item, std::size_t before);
    static const Touch* filled_at(const Index& index, linked::ItemId circuit, const std::vector<linked::ItemId>& vents);
    static const Touch* place_grease(const Index& index, linked::ItemId item, linked::ConsumableId with, Steps& steps);
    const fitted::Row* emptied_at(const Index& index, const linked::Item& circuit, const fitted::Row* row) const;
    static bool begins_rounds(const Touch& touch);
    const fitted::Row* first_work_beside(const Moment& now, const Index& index) const;
    void try_in_way(const fitted::Procedure& procedure, const fitted::Rows& way, const std::string& behind,
                    const std::vector<std::string>& steps, Finding& finding) const;
    bool needed_in(const fitted::Rows& rows, const fitted::Row& behind, linked::ItemId item, linked::Place place) const;
    bool needed_further_on(const fitted::Procedure& procedure, const fitted::Row& question, linked::ItemId item,
                           const Touch* next, linked::Place place);
    bool bring_as_wanted(const fitted::Row& question, const Standing& done, const Standing& left, bool by_yes,
                         Finding& finding);
    static const fitted::Row* behind_its_nut(const Moment& now, const Index& index, linked::ItemId pin);
    const fitted::Row* behind_its_fit(const Moment& now, const Index& index, linked::ItemId item, linked::Place from,
                                      linked::Place to) const;
    struct LostRound {
        std::string id;
        source::Span span; // where `again` names it
    };
    static std::optional<LostRound> lost_round(const fitted::Procedure& procedure);
    bool follows_here(const Index& index, const fitted::Row& row, const Touch& later) const;
    // "add `- fit: lid` after `- clean: box`", with the place shown and the steps to try there, where every vehicle has the item.
    void add_after(Finding& finding, const fitted::Procedure& procedure, const std::vector<std::string>& steps,
                   linked::ItemId item, const fitted::Row& row) const;
    bool used_between(const Moment& now, linked::ItemId item, const fitted::Row* ended);
    bool in_sided_section(const Moment& now, Finding& finding, const fitted::Procedure& procedure,
                          const std::vector<std::string>& steps, linked::ItemId item, linked::Place from);
    bool in_once_section(const Moment& now, Finding& finding, const fitted::Procedure& procedure,
                         const std::vector<std::string>& steps, linked::ItemId item, linked::Place from);
    bool before_round(const Moment& now, Finding& finding, const fitted::Procedure& procedure, linked::ItemId item,
                      linked::Place from, linked::Place to);
    bool freed_before(const Moment& now, Finding& finding, const fitted::Procedure& procedure, const Index& index,
                      const fitted::Row& before, linked::ItemId item, linked::Place from, linked::Place to) const;
    const fitted::Row* before_question(const Index& index, const fitted::Row& row, linked::ItemId item,
                                       linked::Place from, linked::Place to) const;
    std::optional<Touch> last_work(const fitted::Procedure& procedure, const Index& index) const;
    bool always_last(const fitted::Procedure& procedure) const;
    bool begins_next(const fitted::Procedure& procedure, linked::ItemId item, linked::Place place) const;
    const fitted::Row* row_for(const Index& index, const Touch& last, const fitted::Row* cause) const;
    const fitted::Row* put_behind(const Index& index, const Steps& steps, const Standing& standing) const;
    void wait_for_needs(const Moment& now, const Index& index, model::VerbName verb, const fitted::Row* cause,
                        bool came_so, Steps& steps) const;
    static const fitted::Row* words_behind(const fitted::Procedure& procedure, const fitted::Row& row);
    static bool sets_what_it_needs(const linked::Item& item, const fitted::Row& row);
    static const fitted::Row* last_words_behind(const fitted::Procedure& procedure, const fitted::Row& row);
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
