#include "proof/remedy_steps.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof {

namespace {

using remedy::all_stand_so;
using remedy::begins_at;
using remedy::bringing;
using remedy::brought_to;
using remedy::each_row;
using remedy::entering_of;
using remedy::ItemId;
using remedy::later;
using remedy::lines;
using remedy::most_covers;
using remedy::needs_of;
using remedy::one_or_list;
using remedy::Place;
using remedy::quoted;
using remedy::Row;
using remedy::step;
using remedy::VerbName;

} // namespace

std::string name_a_vent(const linked::Item& circuit) {
    return fmt::format("name in the catalogue what it is bled at, a fastener with `vents: {}`", circuit.id);
}

// -- What a procedure does ---------------------------------------------------------------------------------------------------

const Remedies::Index& Remedies::index_of(const fitted::Procedure& procedure) {
    const auto [at, fresh] = indices_.try_emplace(&procedure);
    if (fresh)
        for (const fitted::Section& section : procedure.sections) add(section.rows, true, {}, at->second);
    return at->second;
}

void Remedies::add(const fitted::Rows& rows, bool top, const Path& above, Index& to) const {
    for (const Row& row : rows) {
        Path& path = to.paths[&row];
        path = above;
        path.push_back({top ? nullptr : &rows, &row});
        to.orders.emplace(&row, ++to.rows);
        add_targets(row, path, to);
        if (row.calls.known()) {
            std::vector<char> seen(fit_.procedures.size(), 0);
            add_called(row.calls, path, seen, to);
        }
        for (const fitted::Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise})
            add(*inner, false, path, to);
    }
}

void Remedies::add_targets(const Row& row, const Path& path, Index& to) const {
    if (row.kind != fitted::RowKind::verb) return;
    const auto touch = [&](ItemId item, bool narrowed, std::optional<Place> brings) {
        if (item.known()) to.touches[item].push_back({&path, to.rows, row.verb, narrowed, brings});
    };
    for (const fitted::Target& target : row.targets) {
        if (!target.item.known()) continue;
        const linked::Item& item = fit_.items[target.item.index()].is;
        const bool narrowed = !target.values.empty() || !row.only.empty();
        touch(target.item, narrowed, brought_to(row, item, target.place));
        for (const ItemId circuit : {item.opens, item.vents, item.circuit}) touch(circuit, narrowed, std::nullopt);
        for (const ItemId adjustment : item.disturbs) touch(adjustment, narrowed, std::nullopt);
        for (const linked::Need& need : item.needs) touch(need.item, narrowed, std::nullopt);
        for (const linked::While& condition : item.whiles)
            if (condition.verb == row.verb)
                for (const linked::Need& need : condition.needs) touch(need.item, narrowed, std::nullopt);
        // What it is inside of or behind has to stay away for it.
        std::vector<ItemId> covers{target.item};
        for (int depth = 0; depth < most_covers && !covers.empty(); ++depth) {
            std::vector<ItemId> further;
            for (const ItemId each : covers) {
                const linked::Item& is = fit_.items[each.index()].is;
                further.insert(further.end(), is.behind.begin(), is.behind.end());
                if (is.inside.known()) further.push_back(is.inside);
            }
            std::sort(further.begin(), further.end());
            further.erase(std::unique(further.begin(), further.end()), further.end());
            std::erase_if(further, [](ItemId id) { return !id.known(); });
            for (const ItemId each : further) touch(each, narrowed, std::nullopt);
            covers = std::move(further);
        }
    }
}

void Remedies::add_called(fitted::ProcedureIndex called, const Path& path, std::vector<char>& seen, Index& to) const {
    if (!called.known() || seen[called.index()] != 0) return;
    seen[called.index()] = 1;
    for (const fitted::Section& section : fit_.procedures[called.index()].sections)
        add_called(section.rows, path, seen, to);
}

void Remedies::add_called(const fitted::Rows& rows, const Path& path, std::vector<char>& seen, Index& to) const {
    for (const Row& row : rows) {
        to.paths[&row] = path;
        add_targets(row, path, to);
        add_called(row.calls, path, seen, to);
        for (const fitted::Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise})
            add_called(*inner, path, seen, to);
    }
}

// -- Where a step belongs ------------------------------------------------------------------------------------------------------

// The last row of all, or what holds it, in a list that the cause is in, too: there no way passes by.
const Row* Remedies::row_for(const Index& index, const Touch& last, const Row* cause) const {
    const auto found = index.paths.find(cause);
    const Path& to = *last.path;
    if (found == index.paths.end()) return to.front().row;
    const Path& from = found->second;
    std::size_t same = 0;
    while (same < from.size() && same < to.size() && from[same].row == to[same].row) ++same;
    if (same == from.size() || same == to.size()) return to[same - 1].row;
    if (from[same].list == to[same].list) return to[same].row;
    return to[same - 1].row;
}

// Does it stand as the need says right behind that row, as far as the steps of the procedure say?
bool Remedies::stands_so_behind(const Moment& now, const Index& index, const Touch& row, const linked::Need& need) {
    if (now.ended == nullptr || row.path->size() != 1) return false;
    const auto its = index.touches.find(need.item);
    const Touch* last = nullptr;
    if (its != index.touches.end())
        for (const Touch& each : its->second)
            if (each.brings && each.order <= row.order) last = &each;
    if (last == nullptr) return begins_at(*now.ended, need.item) == need.place;
    return last->brings == need.place && last->path->size() == 1 && !last->narrowed;
}

// What `needs` and `while` ask for has to be so: after the row that brings it about, or, where none does, in words.
void Remedies::wait_for_needs(const Moment& now, const Index& index, VerbName verb, const Row* cause, bool came_so,
                              Steps& steps) const {
    for (const linked::Need& need : needs_of(now.it().is, verb)) {
        if (!need.item.known() || !now.of(need.item).present) continue;
        later(steps.after, index, need.item, bringing(need.place));
        for (const fitted::InstanceId at : now.beside(need.item)) {
            if (!now.some(at, [&](const Standing& s) { return !s.in(need.place); })) continue;
            const bool began_so = now.ended != nullptr && begins_at(*now.ended, need.item) == need.place;
            if (now.it().is.sort == linked::Sort::circuit && steps.after &&
                stands_so_behind(now, index, *steps.after, need))
                break;
            // It stood so until that row.
            const Touch* ended = nullptr;
            if (const auto its = index.touches.find(need.item); began_so && its != index.touches.end())
                for (const Touch& each : its->second)
                    if (ended == nullptr && each.brings && *each.brings != need.place && each.path->size() == 1)
                        ended = &each;
            // Which comes before all that has to do with the thing itself, or behind it all.
            if (ended != nullptr && came_so) {
                steps.before = ended->path->back().row;
                break;
            }
            if (ended != nullptr && steps.after && steps.after->order < ended->order &&
                steps.after->path->back().row != cause)
                break;
            steps.once.push_back(fmt::format("the {} is {}{}", now.name(need.item),
                                             now.place_name(need.item, need.place), began_so ? " again" : ""));
            break;
        }
    }
}

std::string Remedies::widened_step(const Row& narrow, ItemId item, std::string_view values) const {
    const linked::AxisId axis = fit_.items[item.index()].is.axis;
    const bool spoken = narrow.step != nullptr && narrow.step->source->say && axis.known();
    const std::string words = spoken ? " " + base::small_letters(narrow.step->source->say->value) + " " : std::string();
    std::vector<fitted::AxisValue> of = narrow.only;
    for (const fitted::Target& target : narrow.targets)
        if (target.item == item) of.insert(of.end(), target.values.begin(), target.values.end());
    for (const fitted::AxisValue only : of) {
        if (!spoken || only == fitted::no_value || only >= fit_.axes[axis.index()].values.size()) continue;
        const std::string& side = fit_.axes[axis.index()].values[only];
        const std::size_t at = words.find(" " + side);
        if (at == std::string::npos || (words[at + side.size() + 1] >= 'a' && words[at + side.size() + 1] <= 'z'))
            continue;
        return fmt::format("add {}{{only}} behind that step, whose words are of {} alone", says(narrow), side);
    }
    return widened(says(narrow), values);
}

std::string Remedies::says(const Row& row) const {
    switch (row.kind) {
    case fitted::RowKind::question:
        if (row.step != nullptr && row.step->kind == linked::StepKind::decide && row.step->basis.size() == 1) {
            const linked::Basis& basis = row.step->basis.front();
            if (basis.limit.known()) return fmt::format("`- decide: {}`", linked_.limits[basis.limit.index()].id);
        }
        if (row.step != nullptr && row.step->source->id)
            return fmt::format("the question `{}`", row.step->source->id->value);
        return "the question";
    case fitted::RowKind::plain:
        if (row.step != nullptr && row.step->source->id)
            return fmt::format("the step `{}`", row.step->source->id->value);
        return "the step";
    case fitted::RowKind::if_answered:
        return "the steps of `if-answered`";
    case fitted::RowKind::repeat:
        return "the `again`";
    default:
        break;
    }
    if (row.kind != fitted::RowKind::verb || row.step == nullptr) return "the step";
    std::vector<std::string> ids;
    for (const fitted::Target& target : row.targets)
        if (target.item.known()) ids.push_back(fit_.items[target.item.index()].is.id);
    if (row.calls.known()) ids = {fit_.procedures[row.calls.index()].source->source->id.value};
    if (row.step->consumable.known()) ids = {linked_.consumables[row.step->consumable.index()].id};
    if (row.verb == VerbName::measure) {
        ids.clear();
        for (const fitted::LimitUse& use : row.limits)
            if (use.figure.limit.known()) ids.push_back(linked_.limits[use.figure.limit.index()].id);
    }
    if (ids.empty()) return fmt::format("the `{}`", model::verb(row.verb).word);
    constexpr std::size_t most_named = 3;
    if (ids.size() > most_named) {
        ids.resize(most_named);
        ids.emplace_back("…");
    }
    const auto takes = model::verb(row.verb).takes;
    if (takes == model::Argument::item_to_place || takes == model::Argument::setting_to_state) {
        const fitted::Target& target = row.targets.front();
        if (target.item.known())
            return fmt::format(
                "`{}`", step(row.verb, fmt::format("{{ {}: {} }}", ids.front(),
                                                   fit_.items[target.item.index()].is.places[target.place].name)));
    }
    return fmt::format("`{}`", step(row.verb, one_or_list(ids)));
}

// The last of the steps in words that a procedure ends with right behind the row; null: there are none.
const Row* Remedies::words_behind(const fitted::Procedure& procedure, const Row& row) {
    const Row* words = nullptr;
    for (const fitted::Section& section : procedure.sections)
        for (const Row& each : section.rows) {
            if (&each == &row)
                words = &row;
            else if (words != nullptr && each.kind != fitted::RowKind::plain)
                return nullptr;
            else if (words != nullptr)
                words = &each;
        }
    return words == &row || words == nullptr || !words->step->source->plain ? nullptr : words;
}

// Does the row bring about a state that work on the thing asks for?
bool Remedies::sets_what_it_needs(const linked::Item& item, const Row& row) {
    if (row.kind != fitted::RowKind::verb || row.verb != VerbName::set) return false;
    const auto set_here = [&](const std::vector<linked::Need>& needs) {
        return std::any_of(needs.begin(), needs.end(), [&](const linked::Need& need) {
            return std::any_of(row.targets.begin(), row.targets.end(), [&](const fitted::Target& target) {
                return target.item == need.item && target.place == need.place;
            });
        });
    };
    return set_here(item.needs) || std::any_of(item.whiles.begin(), item.whiles.end(),
                                               [&](const linked::While& each) { return set_here(each.needs); });
}

// The last step in words further down in the same list; null: there is none.
const Row* Remedies::last_words_behind(const fitted::Procedure& procedure, const Row& row) {
    const Row* words = nullptr;
    for (const fitted::Section& section : procedure.sections) {
        bool behind = false;
        for (const Row& each : section.rows) {
            if (behind && each.kind == fitted::RowKind::plain && each.step->source->plain) words = &each;
            behind = behind || &each == &row;
        }
    }
    return words;
}

void Remedies::put(const Moment& now, Finding& finding, const Index& index, const std::vector<Steps>& all,
                   const Row* cause, Place stands) const {
    struct Spot {
        const Row* row;
        bool before;
        std::vector<std::string> steps;
        std::vector<std::string> once;
    };
    std::vector<Spot> places; // the steps for one place are told together
    for (const Steps& steps : all) {
        const bool before = steps.before != nullptr;
        const Row* row = before ? steps.before : steps.after ? row_for(index, *steps.after, cause) : nullptr;
        if (places.empty() || places.back().row != row || places.back().before != before ||
            places.back().once != steps.once)
            places.push_back({row, before, {}, steps.once});
        places.back().steps.insert(places.back().steps.end(), steps.all.begin(), steps.all.end());
    }
    std::vector<std::string> parts;
    // Of every place. When the vehicle comes down, or the chocks go away, no rule says: only who works there knows.
    bool sure =
        now.ended != nullptr && on_every_vehicle(*now.ended, now.item) && now.it().is.sort != linked::Sort::setting;
    for (const Spot& place : places) {
        std::string text = quoted(place.steps) + "{only}";
        sure = sure && place.once.empty() && place.row != nullptr && place.row->step != nullptr;
        if (sure)
            finding.mends.push_back({place.row->step->source->span, lines(place.steps),
                                     place.before ? messages::Puts::entries_before : messages::Puts::entries_after});
        if (place.row == nullptr && place.once.empty()) {
            text += " where that is done";
        } else if (!place.once.empty()) {
            text += " once " + base::join_and(place.once);
        } else if (place.before) {
            text += " before " + says(*place.row);
            finding.more.push_back({head_span(*place.row), "add it before this"});
        } else if (place.row != nullptr && place.row == cause) {
            // What was begun is ended when its work is done, and there is no telling which steps in words are that work.
            const model::Deed* deed = cause->kind == fitted::RowKind::verb
                                          ? linked::deed_for(model::verb(cause->verb), now.it().is.sort, stands)
                                          : nullptr;
            const bool begins =
                deed != nullptr && (deed->to == model::Leaves::off_place || deed->to == model::Leaves::written ||
                                    (deed->to == model::Leaves::loose && deed->from == model::Starts::tight_or_snug));
            sure = sure && !begins;
            text += begins ? fmt::format(" when the work that needs it {} is done", now.place_name(now.item, stands))
                           : " after this step";
        } else if (place.row != nullptr) {
            const bool question = place.row->kind == fitted::RowKind::question;
            // Whether the chocks go away before the trestle is drawn out or behind that, no rule says, nor what comes first on the ground.
            const Row* words = now.ended == nullptr                          ? nullptr
                               : now.it().is.sort == linked::Sort::setting   ? words_behind(*now.ended, *place.row)
                               : sets_what_it_needs(now.it().is, *place.row) ? last_words_behind(*now.ended, *place.row)
                                                                             : nullptr;
            const bool behind_words = words != nullptr && now.it().is.sort != linked::Sort::setting;
            const std::string behind = (question ? " after the whole of " : " after ") + says(*place.row);
            finding.more.push_back({head_span(behind_words ? *words : *place.row),
                                    question && !behind_words ? "behind its ways" : "add it after this whole step"});
            if (behind_words) {
                text += fmt::format(" after `- {}`, or right{} if that comes last", words->step->source->plain->value,
                                    behind);
                if (sure) finding.mends.back().span = words->step->source->span;
            } else {
                text += behind;
                if (words != nullptr)
                    text += fmt::format(", or after `- {}` if that is done first", words->step->source->plain->value);
            }
        }
        parts.push_back(std::move(text));
    }
    finding.help = "add " + base::join_and(parts);
    if (!sure) finding.mends.clear();
}

// The step is there, and its `only` leaves this out.
bool Remedies::widen(const Moment& now, Finding& finding, const Index& index, VerbName verb, const Row* cause) const {
    const auto touches = index.touches.find(now.item);
    if (touches == index.touches.end()) return false;
    const auto since = cause == nullptr
                           ? touches->second.begin()
                           : std::find_if(touches->second.begin(), touches->second.end(),
                                          [&](const Touch& each) { return each.path->back().row == cause; });
    for (auto each = since; each != touches->second.end(); ++each) {
        if (!each->brings || each->verb != verb || !each->narrowed || each->path->back().row == cause) continue;
        const Row& row = *each->path->back().row;
        finding.more.push_back({target_span(row, now.item), "not here for {values}"});
        finding.help = widened_step(row, now.item);
        return true;
    }
    return false;
}

// -- What is missing ---------------------------------------------------------------------------------------------------------

const fitted::Procedure* Remedies::procedure_of(const Row& row) {
    for (const fitted::Procedure& procedure : fit_.procedures) {
        const Index& index = index_of(procedure);
        if (const auto found = index.paths.find(&row); found != index.paths.end() && found->second.back().row == &row)
            return &procedure;
    }
    return nullptr;
}

const fitted::Rows* Remedies::list_of(const fitted::Procedure& procedure, const Row& row) {
    const Index& index = index_of(procedure);
    const auto path = index.paths.find(&row);
    if (path == index.paths.end() || path->second.back().row != &row) return nullptr;
    if (path->second.back().list != nullptr) return path->second.back().list;
    for (const fitted::Section& section : procedure.sections)
        if (std::any_of(section.rows.begin(), section.rows.end(), [&](const Row& each) { return &each == &row; }))
            return &section.rows;
    return nullptr;
}

Place Remedies::place_before(const fitted::Procedure& procedure, const Row& row, ItemId item) {
    const Index& index = index_of(procedure);
    Place place = remedy::begins_at(procedure, item);
    const auto here = index.orders.find(&row);
    const auto its = index.touches.find(item);
    if (here == index.orders.end() || its == index.touches.end()) return place;
    std::size_t last = 0;
    for (const Touch& each : its->second)
        if (each.brings && each.order < here->second && each.order >= last) {
            last = each.order;
            place = *each.brings;
        }
    return place;
}

// Is it on each vehicle of the shop that the procedure fits? No step may name it without a condition where it is not.
bool Remedies::on_every_vehicle(const fitted::Procedure& procedure, ItemId item) const {
    const auto& fits = procedure.source->source->fits;
    return std::all_of(linked_.vehicles.begin(), linked_.vehicles.end(), [&](const linked::Vehicle& vehicle) {
        return (fits && !fitted::meets(vehicle, fits->value)) ||
               fitted::meets(vehicle, fit_.items[item.index()].is.only_on);
    });
}

bool Remedies::does_fit(const linked::Procedure& procedure) const {
    const auto& fits = procedure.source->fits;
    return !fits || !fit_.vehicle.known() || fitted::meets(linked_.vehicles[fit_.vehicle.index()], fits->value);
}

// The one procedure of the shop that can begin here and brings the thing from the one place to the other.
const linked::Procedure* Remedies::brings(const Moment& now, ItemId item, Place from, Place to) const {
    const linked::Procedure* found = nullptr;
    for (const linked::Procedure& procedure : linked_.procedures) {
        const linked::Entering* begins = entering_of(procedure.starts_with, item);
        const linked::Entering* ends = entering_of(procedure.ends_with, item);
        if ((begins != nullptr ? begins->place : 0) != from || (ends != nullptr ? ends->place : 0) != to) continue;
        if ((begins == nullptr && ends == nullptr) || !does_fit(procedure) || !all_stand_so(now, procedure)) continue;
        if (found != nullptr) return nullptr;
        found = &procedure;
    }
    return found;
}

const linked::Procedure* Remedies::begins_so(const Moment& now, Place place) const {
    const linked::Procedure* found = nullptr;
    for (const linked::Procedure& procedure : linked_.procedures) {
        const linked::Entering* begins = entering_of(procedure.starts_with, now.item);
        if (begins == nullptr || begins->place != place || procedure.source->id.value == now.begins) continue;
        if (!does_fit(procedure) || !all_stand_so(now, procedure)) continue;
        if (found != nullptr) return nullptr;
        found = &procedure;
    }
    return found;
}

// The reading of the fluid that stands first behind where it was filled in last, before the row: that is of no use before the level is right.
const Row* Remedies::reading_of(const fitted::Procedure& procedure, const Row& before, ItemId circuit) const {
    const Row* reading = nullptr;
    bool behind = false;
    each_row(procedure, [&](const Row& row) {
        behind = behind || &row == &before;
        if (behind || row.kind != fitted::RowKind::verb) return;
        const bool fills = row.verb == VerbName::fill || row.verb == VerbName::open;
        if (fills &&
            std::any_of(row.targets.begin(), row.targets.end(), [&](const auto& t) { return t.item == circuit; }))
            reading = nullptr;
        if (row.verb != VerbName::measure || reading != nullptr) return;
        for (const fitted::LimitUse& use : row.limits)
            if (use.figure.limit.known()) {
                const std::vector<ItemId>& of = linked_.limits[use.figure.limit.index()].of;
                if (std::find(of.begin(), of.end(), circuit) != of.end()) reading = &row;
            }
    });
    return reading;
}

// The outermost repeat that holds the row and not the other.
const Row* Remedies::round_apart(const fitted::Procedure& procedure, const Row& row, const Row* other) {
    const auto path = index_of(procedure).paths.find(&row);
    if (path == index_of(procedure).paths.end()) return nullptr;
    for (const Rung& rung : path->second)
        if (rung.row->kind == fitted::RowKind::repeat && holds(rung.row->body, row) &&
            (other == nullptr || !holds(rung.row->body, *other)))
            return rung.row;
    return nullptr;
}

bool holds(const fitted::Rows& rows, const Row& inner) {
    return std::any_of(rows.begin(), rows.end(), [&](const Row& each) {
        return &each == &inner || holds(each.if_so, inner) || holds(each.if_not, inner) || holds(each.body, inner) ||
               holds(each.otherwise, inner);
    });
}

} // namespace benchleaf::proof
