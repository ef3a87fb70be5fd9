#include "proof/remedy.h"

#include "linked/deeds.h"

#include "base/text.h"
#include "fitted/fit.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>

namespace benchleaf::proof {

namespace {

using fitted::Row;
using linked::ItemId;
using linked::Place;
using model::Debt;
using model::VerbName;

constexpr int most_covers = 8; // one behind the other

std::string step(VerbName verb, std::string_view what) {
    return fmt::format("- {}: {}", model::verb(verb).word, what);
}

std::string one_or_list(const std::vector<std::string>& ids) {
    if (ids.size() == 1) return ids.front();
    std::string all;
    for (const std::string& id : ids) all += (all.empty() ? "[" : ", ") + id;
    return all + "]";
}

std::string lines(const std::vector<std::string>& steps) {
    std::string all;
    for (const std::string& each : steps) all += (all.empty() ? "" : "\n") + each;
    return all;
}

std::string quoted(const std::vector<std::string>& steps) {
    std::vector<std::string> all;
    all.reserve(steps.size());
    for (const std::string& each : steps) all.push_back(fmt::format("`{}`", each));
    return base::join_and(all);
}

// A verb that brings an item to one of its places.
struct Move {
    VerbName verb{};
    std::string what;
    Place to = 0;
};

// Those that bring it from one to another.
std::vector<Move> moves_between(const linked::Item& item, Place from, Place to) {
    std::vector<Move> all;
    const auto off = static_cast<Place>(item.places.size() - 1);
    const auto to_place = [&](Place place) { return fmt::format("{{ {}: {} }}", item.id, item.places[place].name); };
    switch (item.sort) {
    case linked::Sort::setting:
        for (int at = from; at != to;) {
            at += at < to ? 1 : -1;
            const auto place = static_cast<Place>(at);
            all.push_back({VerbName::set, to_place(place), place});
        }
        break;
    case linked::Sort::clip:
        all.push_back({to == off ? VerbName::remove : VerbName::fit, item.id, to});
        break;
    case linked::Sort::fastener:
        if (to == off) {
            all.push_back({VerbName::remove, item.id, off});
            break;
        }
        if (from == off) all.push_back({VerbName::fit, item.id, 2});
        if (from < 2 && (to == 2 || to > from)) all.push_back({VerbName::slacken, item.id, 2});
        if (to == 1) all.push_back({VerbName::snug, item.id, 1});
        if (to == 0) all.push_back({VerbName::torque, item.id, 0});
        break;
    case linked::Sort::part:
        if (to == off) {
            all.push_back({VerbName::remove, item.id, off});
            break;
        }
        if (from == off) all.push_back({VerbName::fit, item.id, 0});
        if (from != off || to != 0) all.push_back({VerbName::move, to_place(to), to});
        break;
    default:
        break;
    }
    return all;
}

std::optional<Place> brought_to(const Row& row, const linked::Item& item, Place written) {
    const model::Deed* deed = linked::deed_for(model::verb(row.verb), item.sort, written);
    if (deed == nullptr) return std::nullopt;
    switch (deed->to) {
    case model::Leaves::same:
        return std::nullopt;
    case model::Leaves::rest:
        return Place{0};
    case model::Leaves::snug:
        return Place{1};
    case model::Leaves::loose:
        return Place{2};
    case model::Leaves::off_place:
        return static_cast<Place>(item.places.size() - 1);
    case model::Leaves::written:
        return written;
    }
    return std::nullopt;
}

// In the order of the file.
template <class Do>
void each_row(const fitted::Rows& rows, Do look) {
    for (const Row& row : rows) {
        if (row.kind == fitted::RowKind::repeat) each_row(row.body, look);
        look(row);
        each_row(row.if_so, look);
        each_row(row.if_not, look);
        each_row(row.otherwise, look);
    }
}

template <class Do>
void each_row(const fitted::Procedure& procedure, Do look) {
    for (const fitted::Section& section : procedure.sections) each_row(section.rows, look);
}

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

namespace {

// The later of the two: what was last, and the last touch of the item that is so.
template <class Touch, class Index, class Is>
void later(std::optional<Touch>& last, const Index& index, ItemId item, Is is) {
    const auto touches = index.touches.find(item);
    if (touches == index.touches.end()) return;
    for (const Touch& each : touches->second)
        if (is(each) && (!last || each.order > last->order)) last = each;
}

constexpr auto any = [](const auto&) { return true; };

auto bringing(Place place) {
    return [place](const auto& touch) { return touch.brings == place; };
}

} // namespace

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

namespace {

// How the contract says that it stands, or at rest.
Place begins_at(const fitted::Procedure& procedure, ItemId item) {
    for (const linked::Entering& entering : procedure.starts_with)
        if (entering.item == item && entering.has_place) return entering.place;
    return 0;
}

} // namespace

// What `needs` and `while` ask for has to be so: after the row that brings it about, or, where none does, in words.
void Remedies::wait_for_needs(const Moment& now, const Index& index, VerbName verb, const Row* cause, bool came_so,
                              Steps& steps) const {
    std::vector<linked::Need> needs = now.it().is.needs;
    for (const linked::While& condition : now.it().is.whiles)
        if (condition.verb == verb) needs.insert(needs.end(), condition.needs.begin(), condition.needs.end());
    for (const linked::Need& need : needs) {
        if (!need.item.known() || !now.of(need.item).present) continue;
        later(steps.after, index, need.item, bringing(need.place));
        for (const fitted::InstanceId at : now.beside(need.item)) {
            if (!now.some(at, [&](const Standing& s) { return !s.in(need.place); })) continue;
            const bool began_so = now.ended != nullptr && begins_at(*now.ended, need.item) == need.place;
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
        if (!place.once.empty()) {
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
            text += " after " + says(*place.row);
            finding.more.push_back({head_span(*place.row), "add it after this"});
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
        finding.help = fmt::format("let the `only` of {} take in {{values}}, or add the step for it", says(row));
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

// Is it on each vehicle of the shop that the procedure fits? No step may name it without a condition where it is not.
bool Remedies::on_every_vehicle(const fitted::Procedure& procedure, ItemId item) const {
    const auto& fits = procedure.source->source->fits;
    return std::all_of(linked_.vehicles.begin(), linked_.vehicles.end(), [&](const linked::Vehicle& vehicle) {
        return (fits && !fitted::meets(vehicle, fits->value)) ||
               fitted::meets(vehicle, fit_.items[item.index()].is.only_on);
    });
}

namespace {

// What holds a part comes out before it comes off, and is tight once it is on.
std::vector<std::pair<ItemId, Move>> moves_with_holders(const Moment& now, ItemId item, Place from, Place to) {
    const linked::Item& is = now.of(item).is;
    std::vector<std::pair<ItemId, Move>> all;
    for (Move& move : moves_between(is, from, to)) all.emplace_back(item, std::move(move));
    const auto off = static_cast<Place>(is.places.size() - 1);
    const bool comes_away = is.sort == linked::Sort::part && from == 0 && to != 0 && to != off;
    const bool comes_off = (to == off && from != off) || comes_away;
    const bool goes_on = to == 0 && from == off;
    if (is.sort != linked::Sort::part || (!comes_off && !goes_on)) return all;
    std::vector<std::pair<ItemId, Move>> holders;
    for (const ItemId holder : comes_away ? is.places[to].frees : is.held_by) {
        if (!holder.known() || !now.of(holder).present || holder == now.item) continue;
        const linked::Item& held = now.of(holder).is;
        const Place out = held.lets_go_at();
        const auto stands = [&](auto is_so) {
            const std::vector<fitted::InstanceId> every = now.beside(holder);
            return std::any_of(every.begin(), every.end(), [&](fitted::InstanceId at) {
                return now.some(at, [&](const Standing& s) { return s.place_known() && is_so(s.place); }).has_value();
            });
        };
        if (comes_off ? !stands([&](Place place) { return place < out; })
                      : !stands([](Place place) { return place != 0; }))
            continue;
        for (Move& move : comes_off ? moves_between(held, 0, out) : moves_between(held, out, 0))
            holders.emplace_back(holder, std::move(move));
    }
    all.insert(comes_off ? all.begin() : all.end(), holders.begin(), holders.end());
    return all;
}

} // namespace

// A part that is moved back further down, and does not come off before, was meant to be moved away: to that place. A fastener that is only
// tightened further down was meant to be slackened.
std::optional<Place> Remedies::moved_away(const Moment& now, ItemId part) {
    const linked::Item& is = now.of(part).is;
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    const bool screw = is.sort == linked::Sort::fastener;
    if (procedure == nullptr || (!screw && (is.sort != linked::Sort::part || is.places.size() != 3)))
        return std::nullopt;
    const Index& index = index_of(*procedure);
    const auto own = index.touches.find(now.item);
    const auto its = index.touches.find(part);
    if (own == index.touches.end() || its == index.touches.end()) return std::nullopt;
    const auto here = std::find_if(own->second.begin(), own->second.end(),
                                   [&](const Touch& each) { return each.path->back().row == now.row; });
    const auto next = std::find_if(its->second.begin(), its->second.end(), [&](const Touch& each) {
        return here != own->second.end() && each.order > here->order && each.brings;
    });
    if (next == its->second.end()) return std::nullopt;
    if (screw && (next->verb == VerbName::torque || next->verb == VerbName::snug)) return Place{2};
    if (screw || next->verb != VerbName::move || next->brings != Place{0}) return std::nullopt;
    return Place{1};
}

// What goes back behind a question, whatever was answered, came off before it.
const Row* Remedies::before_question(const Index& index, const Row& row, ItemId item, Place from, Place to) const {
    const auto path = index.paths.find(&row);
    const auto its = index.touches.find(item);
    if (path == index.paths.end() || its == index.touches.end() || path->second.back().row != &row) return &row;
    for (const Rung& rung : path->second) {
        if (rung.row->kind != fitted::RowKind::question) continue;
        std::size_t last = 0; // within the question
        for (const auto& [which, touches] : index.touches)
            for (const Touch& each : touches)
                if (holds(rung.row->if_so, *each.path->back().row) || holds(rung.row->if_not, *each.path->back().row))
                    last = std::max(last, each.order);
        const auto next = std::find_if(its->second.begin(), its->second.end(),
                                       [&](const Touch& each) { return each.order > last && each.brings; });
        if (next != its->second.end() && *next->brings == from && from != to) return rung.row;
    }
    return &row;
}

// A part comes off right behind the last of what was in its way, where that is the procedure's own work.
bool Remedies::freed_before(const Moment& now, Finding& finding, const Index& index, const Row& before, ItemId item,
                            Place from, Place to) const {
    const linked::Item& is = now.of(item).is;
    if (is.sort != linked::Sort::part || from != 0 || to + 1U != is.places.size()) return false;
    const auto moves = moves_with_holders(now, item, from, to);
    const auto at = index.paths.find(&before);
    if (moves.size() != 1 || at == index.paths.end() || at->second.size() != 1) return false;
    const Touch* last = nullptr;
    for (const auto* others : {&is.behind, &is.held_by})
        for (const ItemId other : *others)
            if (const auto its = index.touches.find(other); its != index.touches.end())
                for (const Touch& each : its->second) {
                    const bool frees = each.brings && *each.brings != 0 && each.path->size() == 1;
                    const bool earlier = each.order < index.orders.at(&before);
                    if (frees && earlier && (last == nullptr || each.order > last->order)) last = &each;
                }
    if (last == nullptr || last->path->back().row->step == nullptr) return false;
    const Row& row = *last->path->back().row;
    const std::string text = step(moves.front().second.verb, moves.front().second.what);
    finding.help = fmt::format("add `{}` after {}", text, says(row));
    finding.more.push_back({head_span(row), "add it after this"});
    finding.mends.push_back({row.step->source->span, text, messages::Puts::entries_after});
    return true;
}

// A part that came off before the rounds, and that no round brings anywhere, goes back before them: right behind what it stands before.
bool Remedies::before_round(const Moment& now, Finding& finding, const fitted::Procedure& procedure, ItemId item,
                            Place from, Place to) {
    const linked::Item& is = now.of(item).is;
    if (is.sort != linked::Sort::part || to != 0 || from + 1U != is.places.size()) return false;
    const Row* off = nullptr;
    for (const fitted::InstanceId at : now.beside(item))
        if (const auto left = now.some(at, [&](const Standing& s) { return s.place_known() && s.place == from; }); left)
            off = left->standing.placed;
    const Row* round = round_apart(procedure, *now.row, off);
    const Index& index = index_of(procedure);
    const auto its = index.touches.find(item);
    if (round == nullptr || round->body.empty() || its == index.touches.end()) return false;
    const Touch* last = nullptr;
    for (const Touch& each : its->second) {
        const Row* row = each.path->back().row;
        if (each.brings && holds(round->body, *row)) return false;
        // What is done behind it, once it is off.
        if (!each.brings && each.order < index.orders.at(&round->body.front()) && each.path->size() == 1 &&
            (off == nullptr || each.order > index.orders.at(off)))
            last = &each;
    }
    std::vector<std::string> steps;
    for (const auto& [which, move] : moves_with_holders(now, item, from, to))
        steps.push_back(step(move.verb, move.what));
    if (last == nullptr || last->path->back().row->step == nullptr) {
        add_before(now, finding, steps, item, &round->body.front());
        return true;
    }
    const Row& row = *last->path->back().row;
    finding.help = fmt::format("add {} after {}", quoted(steps), says(row));
    finding.more.push_back({head_span(row), "add it after this"});
    if (on_every_vehicle(procedure, item))
        finding.mends.push_back({row.step->source->span, lines(steps), messages::Puts::entries_after});
    return true;
}

// A fastener is tightened with those that hold the same part, where that is done once it is on, and is no part of this step's own work.
bool Remedies::beside_sister(const Moment& now, Finding& finding, const Index& index, ItemId item, Place from,
                             Place to) const {
    const linked::Item& is = now.of(item).is;
    if (is.sort != linked::Sort::fastener || to != 0 || from == 0 || from + 1U == is.places.size()) return false;
    if (item == now.item || now.it().is.sort != linked::Sort::setting) return false;
    const auto here = index.orders.find(now.row);
    const auto path = index.paths.find(now.row);
    if (here == index.orders.end() || path == index.paths.end()) return false;
    std::size_t on = 0; // since when what it holds is on, and it is in
    const Touch* last = nullptr;
    for (const ItemId part : is.holds)
        if (const auto its = index.touches.find(part); its != index.touches.end())
            for (const Touch& each : its->second)
                if (each.order < here->second && each.brings) on = std::max(on, each.order);
    if (const auto own = index.touches.find(item); own != index.touches.end())
        for (const Touch& each : own->second) {
            if (each.order < here->second && each.brings) on = std::max(on, each.order);
            if (each.order > here->second && each.brings == to) return false; // it stands too late
        }
    for (const ItemId part : is.holds)
        for (const ItemId sister : now.of(part).is.held_by)
            if (const auto its = index.touches.find(sister); sister != item && its != index.touches.end())
                for (const Touch& each : its->second) {
                    const bool between = each.order > on && each.order < here->second;
                    if (between && each.brings == to && each.path->size() == 1 && path->second.size() == 1 &&
                        !each.narrowed && (last == nullptr || each.order > last->order))
                        last = &each;
                }
    if (last == nullptr) return false;
    for (const linked::While& condition : is.whiles) // which may not be so there
        if (condition.verb == VerbName::torque) return false;
    const Row& row = *last->path->back().row;
    if (row.step == nullptr) return false;
    const std::string text = step(VerbName::torque, is.id);
    finding.help = fmt::format("add `{}` after {}", text, says(row));
    finding.more.push_back({head_span(row), "add it after this"});
    finding.mends.push_back({row.step->source->span, text, messages::Puts::entries_after});
    return true;
}

namespace {

// The values of its axis for which it stands there: "right".
std::string standing_in(const Moment& now, ItemId item, Place place) {
    const linked::AxisId axis = now.of(item).is.axis;
    std::vector<std::string> values;
    for (const fitted::InstanceId at : now.every(item)) {
        const fitted::AxisValue value = now.fit.instances[at.index()].value;
        if (value == fitted::no_value || !axis.known()) continue;
        if (now.some(at, [&](const Standing& s) { return s.place_known() && s.place == place; }))
            values.push_back(now.fit.axes[axis.index()].values[value]);
    }
    return base::join_and(values);
}

} // namespace

// What has sides goes into the section that is worked side by side, not into the one behind it that is worked once.
bool Remedies::in_sided_section(const Moment& now, Finding& finding, const fitted::Procedure& procedure,
                                const std::vector<std::string>& steps, ItemId item, Place from) {
    if (!procedure.axis.known() || now.of(item).is.axis != procedure.axis || steps.empty()) return false;
    const Index& index = index_of(procedure);
    const auto path = index.paths.find(now.row);
    if (path == index.paths.end() || path->second.back().row != now.row) return false;
    const Row* outer = path->second.front().row;
    const auto has = [](const fitted::Section& section, const Row* wanted) {
        return std::any_of(section.rows.begin(), section.rows.end(), [&](const Row& row) { return &row == wanted; });
    };
    const fitted::Section* sided = nullptr;
    for (const fitted::Section& section : procedure.sections) {
        if (has(section, outer)) {
            if (section.bound) return false;
            break;
        }
        if (section.bound) sided = &section;
    }
    if (sided == nullptr) return false;
    // Behind the step that put it in, where it is tightened; else behind the last that does anything.
    const Row* after = nullptr;
    if (const auto its = index.touches.find(item); its != index.touches.end())
        for (const Touch& each : its->second)
            if (each.brings == from && each.verb == VerbName::fit && has(*sided, each.path->back().row))
                after = each.path->back().row;
    for (const Row& row : sided->rows) {
        const bool words =
            row.kind == fitted::RowKind::plain || (row.kind == fitted::RowKind::verb && row.verb == VerbName::record);
        if (from + 1U == now.of(item).is.places.size() || now.of(item).is.sort == linked::Sort::clip ||
            after == nullptr)
            if (!words && (after == nullptr || after < &row)) after = &row;
    }
    if (after == nullptr || after->step == nullptr) return false;
    finding.help = fmt::format("add {} after {}", quoted(steps), says(*after));
    finding.more.push_back({head_span(*after), "add it after this"});
    if (on_every_vehicle(procedure, item))
        finding.mends.push_back({after->step->source->span, lines(steps), messages::Puts::entries_after});
    return true;
}

void Remedies::before(const Moment& now, Finding& finding, ItemId item, Place from, Place to) {
    const Row* row = now.row;
    const fitted::Procedure* procedure = row != nullptr ? procedure_of(*row) : nullptr;
    // What the procedure that called this one left so is mended there, before the call.
    for (const fitted::InstanceId at : now.beside(item)) {
        const auto left = now.some(at, [&](const Standing& s) { return s.place == from && s.placed != nullptr; });
        const fitted::Procedure* by = left ? procedure_of(*left->standing.placed) : nullptr;
        if (procedure == nullptr || by == nullptr || by == procedure) continue;
        const auto call = index_of(*by).paths.find(row);
        if (call == index_of(*by).paths.end()) continue;
        row = call->second.back().row;
        procedure = by;
        break;
    }
    const Index* index = procedure != nullptr ? &index_of(*procedure) : nullptr;
    if (index != nullptr && row == now.row) row = before_question(*index, *row, item, from, to);
    if (index != nullptr && row == now.row && before_round(now, finding, *procedure, item, from, to)) return;
    if (row != now.row && index != nullptr && freed_before(now, finding, *index, *row, item, from, to)) return;
    // What is done to a thing next, further down, that brings it anywhere; and what after that.
    std::map<ItemId, std::vector<const Touch*>> further;
    const auto next_of = [&](ItemId which) -> std::vector<const Touch*>& {
        const auto [at, fresh] = further.try_emplace(which);
        if (!fresh || index == nullptr) return at->second;
        const auto own = index->touches.find(now.item);
        const auto its = index->touches.find(which);
        if (own == index->touches.end() || its == index->touches.end()) return at->second;
        const auto here = std::find_if(own->second.begin(), own->second.end(),
                                       [&](const Touch& each) { return each.path->back().row == row; });
        if (here == own->second.end()) return at->second;
        for (const Touch& each : its->second)
            if (each.order > here->order && each.brings) at->second.push_back(&each);
        std::reverse(at->second.begin(), at->second.end());
        return at->second;
    };
    std::vector<std::string> late;
    std::vector<std::string> missing;
    const auto moves = moves_with_holders(now, item, from, to);
    // The step is there, and its `only` leaves this side out.
    if (index != nullptr && moves.size() == 1 && moves.front().first == item)
        if (const auto its = index->touches.find(item); its != index->touches.end())
            for (const Touch& each : its->second) {
                const Row& narrow = *each.path->back().row;
                const auto at = index->paths.find(&narrow);
                const bool sided = now.of(item).is.axis == now.it().is.axis;
                if (!each.narrowed || each.verb != moves.front().second.verb || each.brings != to || &narrow == row ||
                    (!sided && now.it().is.axis.known()) || at == index->paths.end())
                    continue;
                const std::string values = sided ? "{values}" : standing_in(now, item, from);
                finding.more.push_back({target_span(narrow, item), "not here for " + values});
                finding.help =
                    fmt::format("let the `only` of {} take in {}, or add the step for it", says(narrow), values);
                return;
            }
    if (index != nullptr && row == now.row && beside_sister(now, finding, *index, item, from, to)) return;
    // A ladder is gone up by steps of its own, and down by others: what goes the right way stands further down as a whole.
    bool ladder_late = true;
    if (now.of(item).is.sort == linked::Sort::setting) {
        std::vector<const Touch*> next = next_of(item);
        for (const auto& [which, move] : moves) {
            ladder_late = ladder_late && !next.empty() && next.back()->brings == move.to;
            // Within a ladder, only what was changed about.
            if (ladder_late && now.item == item && row != nullptr) {
                const auto path = index->paths.find(row);
                const auto other = index->paths.find(next.back()->path->back().row);
                ladder_late = path != index->paths.end() && other != index->paths.end() &&
                              path->second.back().list == other->second.back().list &&
                              next.back()->path->back().row == row + 1;
            }
            if (!next.empty()) next.pop_back();
        }
    }
    const linked::Item& brought = now.of(item).is;
    const bool goes_on = brought.sort == linked::Sort::part && from + 1U == brought.places.size() && to == 0;
    for (const auto& [which, move] : moves) {
        std::string text = step(move.verb, move.what);
        std::vector<const Touch*>& next = next_of(which);
        // What holds it may go in further down, where that can still be reached and nothing asks for it before.
        const std::vector<ItemId>& shut = now.it().is.covers;
        const bool may_follow = goes_on && which != item && now.it().is.sort != linked::Sort::setting &&
                                std::find(shut.begin(), shut.end(), which) == shut.end();
        if (may_follow && !next.empty() && next.back()->verb == move.verb && next.back()->brings == move.to) {
            next.pop_back();
            continue;
        }
        if (ladder_late && !next.empty() && next.back()->verb == move.verb && next.back()->brings == move.to) {
            finding.more.push_back({target_span(*next.back()->path->back().row, which), "stands too late"});
            finding.late.emplace_back(next.back()->path->back().row, which);
            late.push_back(std::move(text));
            next.pop_back();
        } else {
            missing.push_back(std::move(text));
        }
    }
    if (late.empty() && row == now.row && call_before(now, finding, item, from, to)) return;
    if (late.empty() && row == now.row && procedure != nullptr &&
        in_sided_section(now, finding, *procedure, missing, item, from))
        return;
    if (late.empty()) return add_before(now, finding, missing, item, row);
    finding.help = "move " + quoted(late);
    if (!missing.empty()) finding.help += " and add " + quoted(missing);
    finding.help += row == now.row ? " {before}" : " before " + says(*row);
}

namespace {

bool all_stand_so(const Moment& now, const linked::Procedure& procedure) {
    return std::all_of(procedure.starts_with.begin(), procedure.starts_with.end(), [&](const linked::Entering& each) {
        if (!each.item.known() || !now.of(each.item).present || !each.has_place) return true;
        const std::vector<fitted::InstanceId> all = now.every(each.item);
        return std::none_of(all.begin(), all.end(), [&](fitted::InstanceId at) {
            return now.some(at, [&](const Standing& s) { return !s.in(each.place); }).has_value();
        });
    });
}

const linked::Entering* entering_of(const std::vector<linked::Entering>& contract, ItemId item) {
    const auto found =
        std::find_if(contract.begin(), contract.end(), [&](const auto& e) { return e.item == item && e.has_place; });
    return found == contract.end() ? nullptr : &*found;
}

} // namespace

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

// A setting that a procedure of the shop brings there is brought there by it: once, not side by side.
bool Remedies::call_before(const Moment& now, Finding& finding, ItemId item, Place from, Place to) {
    const fitted::Procedure* mine = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (mine == nullptr || now.of(item).is.sort != linked::Sort::setting) return false;
    const linked::Procedure* called = brings(now, item, from, to);
    if (called == nullptr || called == mine->source) return false;
    const std::string text = fmt::format("- do: {}", called->source->id.value);
    const Row* outer = index_of(*mine).paths.at(now.row).front().row;
    const fitted::Section* before = nullptr;
    for (const fitted::Section& section : mine->sections) {
        const bool here =
            std::any_of(section.rows.begin(), section.rows.end(), [&](const Row& r) { return &r == outer; });
        if (!here) {
            before = &section;
            continue;
        }
        if (!section.bound || called->each.known()) break;
        if (before == nullptr || before->bound || before->rows.empty() || before->rows.back().step == nullptr) {
            finding.help = fmt::format("add `{}` before this section, in one with `once: true`", text);
            return true;
        }
        const Row& last = before->rows.back();
        finding.help = fmt::format("add `{}` after {}, in the section before this one", text, says(last));
        finding.more.push_back({head_span(last), "add it after this"});
        finding.mends.push_back({last.step->source->span, text, messages::Puts::entries_after});
        finding.once = true;
        return true;
    }
    add_before(now, finding, {text}, item, now.row);
    return true;
}

bool Remedies::touched_before(const Moment& now, ItemId item) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr) return false;
    const Index& index = index_of(*procedure);
    const auto its = index.touches.find(item);
    return its != index.touches.end() && its->second.front().path->back().row != now.row;
}

void Remedies::bring_before_call(const Moment& now, Finding& finding, const Standing& standing) {
    const std::string said = fmt::format("say how it is in the `starts-with` of `{}`", now.begins);
    finding.help = fmt::format("bring it there before this, or {}", said);
    if (now.call == nullptr) return;
    Moment calling = now;
    calling.row = now.call;
    Finding add;
    before(calling, add, now.item, standing.place, now.wanted_place);
    if (!add.help.empty()) {
        const bool untold = standing.placed == nullptr && (now.entered == nullptr || !now.entered->contains(now.at));
        const bool enters = now.promised.known() && untold && !touched_before(calling, now.item);
        finding.help = add.help;
        finding.mends = std::move(add.mends);
        finding.late = std::move(add.late);
        finding.more.insert(finding.more.end(), add.more.begin(), add.more.end());
        if (!now.promised.known())
            finding.help += ", or " + said;
        else if (enters)
            finding.help += fmt::format(", or say `starts-with: {{ {}: {} }}`", now.it().is.id,
                                        now.place_name(now.item, now.wanted_place));
    }
    const linked::Procedure* meant = begins_so(now, standing.place);
    const fitted::Procedure* mine = procedure_of(*now.call);
    if (meant == nullptr || mine == nullptr || meant == mine->source) return;
    const std::string& name = meant->source->id.value;
    const bool same = finding.help.starts_with(fmt::format("add `- do: {}`", name));
    finding.help = fmt::format("did you mean `do: {}`? it begins with the {} {}{}", name, now.name(now.item),
                               now.place_name(now.item, standing.place), same ? "" : "; else " + finding.help);
    finding.mends.clear();
    finding.of_another = true;
}

void Remedies::add_before(const Moment& now, Finding& finding, const std::vector<std::string>& steps, ItemId item,
                          const Row* row) {
    if (steps.empty()) return;
    finding.help = fmt::format("add {} {}", quoted(steps), row == now.row ? "{before}" : "before " + says(*row));
    if (row != now.row) finding.more.push_back({head_span(*row), "add it before this"});
    const fitted::Procedure* procedure = row != nullptr ? procedure_of(*row) : nullptr;
    if (procedure == nullptr || row->step == nullptr) return;
    // What each round begins with goes into the round.
    const auto path = index_of(*procedure).paths.find(row);
    if (row == now.row && path != index_of(*procedure).paths.end() && row->step->source->id)
        for (const Rung& rung : path->second)
            if (rung.row->kind == fitted::RowKind::repeat && !rung.row->body.empty() &&
                &rung.row->body.front() == row && brought_within(*procedure, *rung.row, item)) {
                finding.help += fmt::format(" and give it the `id: {}` of this one, so that each round begins with it",
                                            row->step->source->id->value);
                return;
            }
    // The step that begins the rounds may be the one that is missing.
    std::vector<std::string> to_add = steps;
    if (const std::string id = lost_round(*procedure); !id.empty() && steps.size() == 1 && row == now.row) {
        to_add.front() += "\n  id: " + id;
        finding.once = true; // behind the rounds that are lost nothing is known, of the other sides neither
        finding.help = fmt::format("add `{}` with `id: {}` {{before}}: there the rounds begin", steps.front(), id);
    }
    if (on_every_vehicle(*procedure, item))
        finding.mends.push_back({row->step->source->span, lines(to_add), messages::Puts::entries_before});
}

namespace {

void gather_rounds(const model::Steps& steps, std::set<std::string>& ids, std::set<std::string>& froms) {
    for (const model::Step& step : steps) {
        if (step.id) ids.insert(step.id->value);
        if (step.again && step.again->value.from) froms.insert(step.again->value.from->value.name);
        for (const model::Given<model::Steps>* below : {&step.if_so, &step.if_not, &step.steps})
            if (*below) gather_rounds((*below)->value, ids, froms);
    }
}

} // namespace

// The one `id` from which an `again` goes round, and which no step has.
std::string Remedies::lost_round(const fitted::Procedure& procedure) {
    std::set<std::string> ids;
    std::set<std::string> froms;
    if (procedure.source->source->steps) gather_rounds(procedure.source->source->steps->value, ids, froms);
    std::erase_if(froms, [&](const std::string& from) { return ids.contains(from); });
    return froms.size() == 1 ? *froms.begin() : std::string();
}

// What stands further down is to be moved; not beyond a step like this one, which it may belong to.
void Remedies::add_before(const Moment& now, Finding& finding, const std::vector<std::string>& steps, ItemId item) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    std::vector<std::string> late;
    std::vector<std::string> missing;
    for (const std::string& each : steps) {
        const Row* found = nullptr;
        bool behind = false;
        bool again = false;
        if (procedure != nullptr)
            each_row(*procedure, [&](const Row& row) {
                again = again || (behind && says(row) == says(*now.row));
                if (behind && !again && found == nullptr && says(row) == fmt::format("`{}`", each)) found = &row;
                behind = behind || &row == now.row;
            });
        (found == nullptr ? missing : late).push_back(each);
        if (found == nullptr) continue;
        finding.more.push_back(
            {found->targets.empty() ? head_span(*found) : found->targets.front().span, "stands too late"});
        finding.late.emplace_back(found, ItemId());
    }
    if (late.empty()) return add_before(now, finding, steps, item, now.row);
    finding.help = "move " + quoted(late) + (missing.empty() ? "" : " and add " + quoted(missing)) + " {before}";
}

void Remedies::lock_before_fit(const Moment& now, Finding& finding) {
    const linked::Item& item = now.it().is;
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    const Row* fits = nullptr;
    const Row* applied = nullptr; // behind
    bool behind = false;
    if (procedure != nullptr)
        each_row(*procedure, [&](const Row& row) {
            behind = behind || &row == now.row;
            if (row.kind != fitted::RowKind::verb || row.step == nullptr) return;
            if (std::none_of(row.targets.begin(), row.targets.end(), [&](const auto& t) { return t.item == now.item; }))
                return;
            if (!behind && row.verb == VerbName::fit) fits = &row;
            if (behind && applied == nullptr && row.verb == VerbName::apply && row.step->consumable == item.threadlock)
                applied = &row;
        });
    if (applied != nullptr && turned_between(*procedure, *now.row, *applied, now.item)) applied = nullptr;
    const std::string where = fits != nullptr ? "before " + says(*fits) : std::string("before the step that fits it");
    if (applied == nullptr) {
        finding.help = fmt::format("add `- apply: {}` with `to: {}` {}",
                                   linked_.consumables[item.threadlock.index()].id, item.id, where);
        if (fits != nullptr) finding.more.push_back({head_span(*fits), "add it before this"});
        return;
    }
    finding.more.push_back({target_span(*applied, now.item), "stands too late"});
    finding.late.emplace_back(applied, now.item);
    finding.help = fmt::format("move {} {}", says(*applied), where);
}

// It is opened as soon as what opens it, and what its `while` asks for, is out of the way.
void Remedies::open_before(const Moment& now, Finding& finding) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr) return;
    const Index& index = index_of(*procedure);
    const auto here = index.orders.find(now.row);
    const linked::Item& is = now.it().is;
    const std::string text = step(VerbName::open, is.id);
    std::optional<Touch> freed;
    const auto frees = [&](ItemId item, Place place) {
        later(freed, index, item, [&](const Touch& touch) {
            return here != index.orders.end() && touch.order < here->second && touch.brings == place;
        });
    };
    for (const ItemId opener : is.openers) frees(opener, static_cast<Place>(now.of(opener).is.places.size() - 1));
    for (const linked::While& condition : is.whiles)
        if (condition.verb == VerbName::open)
            for (const linked::Need& need : condition.needs) frees(need.item, need.place);
    finding.help = fmt::format("where it is drained, add `{}`", text);
    if (const Row* row = freed ? row_for(index, *freed, now.row) : nullptr; row != nullptr && row->step != nullptr) {
        finding.help += " after " + says(*row);
        finding.more.push_back({head_span(*row), "add it after this"});
        finding.mends.push_back({row->step->source->span, text, messages::Puts::entries_after});
    } else {
        finding.help += " before this step";
    }
    finding.help += "; where it is only topped up, write how much in `amount`";
}

// Nothing stirs it in between. A wait that stands there is too short: waits are not added up.
void Remedies::wait_before(const Moment& now, Finding& finding, const std::string& time) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    const fitted::Rows* list = procedure != nullptr ? list_of(*procedure, *now.row) : nullptr;
    if (list != nullptr && now.row != list->data()) {
        const Row& last = *(now.row - 1);
        if (last.kind == fitted::RowKind::verb && last.verb == VerbName::wait) {
            finding.more.push_back({head_span(last), "waits less"});
            finding.help = fmt::format("write `- wait: {}` there; waits are not added up", time);
            return;
        }
    }
    add_before(now, finding, {"- wait: " + time}, now.item, now.row);
    finding.help = fmt::format("add `- wait: {}` right before this step", time);
}

void Remedies::clean_before(const Moment& now, Finding& finding) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    const std::string clean = step(VerbName::clean, now.it().is.id);
    const auto greasy = [&](linked::ConsumableId id) {
        const auto& sort = linked_.consumables[id.index()].figures.sort;
        return sort && (sort->value == model::ConsumableSort::lubricant || sort->value == model::ConsumableSort::fluid);
    };
    const std::string nothing_greasy = "clean it first, in a `clean` step, with nothing that leaves grease on it";
    finding.help = nothing_greasy;
    if (procedure == nullptr) return;
    // It is cleaned before, with grease: another `clean` would not say what is wrong.
    const Row* cleaned = nullptr;
    bool behind = false;
    bool with_grease = false;
    each_row(*procedure, [&](const Row& row) {
        behind = behind || &row == now.row;
        if (row.kind != fitted::RowKind::verb || row.verb != VerbName::clean) return;
        if (std::none_of(row.targets.begin(), row.targets.end(), [&](const auto& t) { return t.item == now.item; }))
            return;
        const auto& with = row.step->with_consumables;
        const bool is_greasy = std::any_of(with.begin(), with.end(), greasy);
        with_grease = with_grease || (!behind && is_greasy);
        if (behind && !is_greasy && cleaned == nullptr) cleaned = &row;
    });
    if (with_grease) return;
    const Index& index = index_of(*procedure);
    const auto here = index.paths.find(now.row);
    const auto there = index.paths.find(cleaned);
    const bool fits_in_between = cleaned != nullptr && here != index.paths.end() && there != index.paths.end() &&
                                 here->second.back().list == there->second.back().list;
    if (fits_in_between && turned_between(*procedure, *now.row, *cleaned, now.item)) cleaned = nullptr;
    if (fits_in_between && cleaned != nullptr) {
        finding.more.push_back({target_span(*cleaned, now.item), "stands too late"});
        finding.late.emplace_back(cleaned, now.item);
        finding.help = fmt::format("move {} {{before}}", says(*cleaned));
        return;
    }
    // With what the shop has for it, where that is one thing.
    std::vector<std::string> solvents;
    for (const linked::Consumable& each : linked_.consumables) {
        const auto& sees = procedure->source->sees;
        const bool seen = std::find(sees.begin(), sees.end(), each.catalogue) != sees.end();
        if (seen && each.figures.sort && each.figures.sort->value == model::ConsumableSort::solvent)
            solvents.push_back(each.id);
    }
    if (solvents.empty()) return;
    const std::string with = fmt::format("with: {}", solvents.front());
    add_before(now, finding, {clean + "\n  " + with}, now.item, now.row);
    if (solvents.size() > 1) finding.mends.clear();
    std::string any_of_them;
    for (const std::string& each : solvents)
        any_of_them += fmt::format("{}`with: {}`", any_of_them.empty() ? "" : " or ", each);
    finding.help = fmt::format("add `{}` with {} {{before}}", clean, any_of_them);
}

// Is the fastener fitted or taken out again between the two rows?
bool Remedies::turned_between(const fitted::Procedure& procedure, const Row& first, const Row& second,
                              ItemId item) const {
    bool between = false;
    bool turned = false;
    each_row(procedure, [&](const Row& row) {
        if (&row == &second) between = false;
        if (between && row.kind == fitted::RowKind::verb)
            for (const fitted::Target& target : row.targets)
                if (target.item == item && brought_to(row, fit_.items[item.index()].is, target.place) &&
                    row.verb != VerbName::fit)
                    turned = true;
        between = between || &row == &first;
    });
    return turned;
}

bool Remedies::worked_side_by_side(const Moment& now, Finding& finding, ItemId item, const Standing& standing) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr || standing.placed == nullptr || now.of(item).is.sort != linked::Sort::setting)
        return false;
    if (!procedure->axis.known() || now.of(item).is.axis.known()) return false;
    const Index& index = index_of(*procedure);
    const auto here = index.paths.find(now.row);
    const auto there = index.paths.find(standing.placed);
    const auto its = index.touches.find(item);
    if (here == index.paths.end() || there == index.paths.end() || its == index.touches.end()) return false;
    // The step that set it is this one, or one further down of the same section: it was set on the side before.
    const Row* outer = here->second.front().row;
    const Row* later = there->second.front().row;
    if (outer->kind == fitted::RowKind::repeat) return false;
    for (const fitted::Section& section : procedure->sections) {
        const auto holds_it = [&](const Row* r) {
            return std::any_of(section.rows.begin(), section.rows.end(), [&](const Row& each) { return &each == r; });
        };
        if (!section.bound || !holds_it(outer) || !holds_it(later) || later < outer) continue;
        if (later == outer && standing.placed != now.row) return false;
        const bool named = section.source != nullptr && section.source->source != nullptr;
        finding.help =
            named ? "this section is worked side by side, and sets what is there once: add `once: true` to it, "
                    "or set it back before the other side begins"
                  : "these steps are worked side by side, and set what is there once: begin them with "
                    "`- section: …` and `once: true`, or set it back before the other side begins";
        finding.mends.clear();
        if (named) finding.more.push_back({section.source->source->section->span, "worked side by side"});
        // Whatever else it sets is not where it would be.
        for (const auto& [which, touches] : index.touches) {
            if (now.of(which).is.sort != linked::Sort::setting || now.of(which).is.axis.known()) continue;
            if (std::none_of(touches.begin(), touches.end(),
                             [&](const Touch& each) { return each.brings && holds_it(each.path->front().row); }))
                continue;
            for (const fitted::InstanceId at : now.every(which))
                if (const auto stands = now.some(at, [](const Standing& s) { return s.place_known(); }); stands)
                    finding.blamed.emplace_back(at, stands->standing);
        }
        return true;
    }
    return false;
}

void Remedies::widen_instead(Finding& finding) const {
    constexpr std::string_view add = "add `";
    if (finding.value == fitted::no_value || !finding.help.starts_with(add)) return;
    const std::size_t end = finding.help.find('`', add.size());
    if (end == std::string::npos) return;
    const std::string wanted = finding.help.substr(add.size() - 1, end + 2 - add.size());
    const Row* narrow = nullptr;
    for (const fitted::Procedure& procedure : fit_.procedures) {
        if (procedure.source->source->id.span.file != finding.at.file) continue;
        each_row(procedure, [&](const Row& row) {
            if (narrow != nullptr || row.kind != fitted::RowKind::verb || row.only.empty() || says(row) != wanted)
                return;
            const bool other = row.verb == VerbName::apply &&
                               std::none_of(row.targets.begin(), row.targets.end(),
                                            [&](const fitted::Target& target) { return target.item == finding.item; });
            if (!other && std::find(row.only.begin(), row.only.end(), finding.value) == row.only.end()) narrow = &row;
        });
    }
    if (narrow == nullptr) return;
    finding.mends.clear();
    finding.more.push_back({head_span(*narrow), "not here for {values}"});
    finding.help = fmt::format("let the `only` of {} take in {{values}}, or add the step for it", wanted);
}

void Remedies::set_already(const Moment& now, Finding& finding, const Standing& standing) {
    if (worked_side_by_side(now, finding, now.item, standing)) return;
    const linked::Item& is = now.it().is;
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    finding.help = "leave this step out: it is so already";
    if (standing.placed != nullptr || procedure == nullptr) return;
    if (now.entered != nullptr && now.entered->contains(now.at)) {
        finding.help = "leave this step out, or correct `starts-with`";
        return;
    }
    // The rung beside it; towards rest, where there are two.
    const Place other = now.place > 0 ? static_cast<Place>(now.place - 1) : Place{1};
    if (other >= is.places.size()) return;
    const std::string entry = fmt::format("{}: {}", is.id, is.places[other].name);
    const std::string so = procedure->source->source->starts_with
                               ? fmt::format("add `{}` to `starts-with`", entry)
                               : fmt::format("say so: `starts-with: {{ {} }}`", entry);
    const bool left_so =
        std::any_of(linked_.procedures.begin(), linked_.procedures.end(), [&](const linked::Procedure& each) {
            const linked::Entering* ends = entering_of(each.ends_with, now.item);
            return ends != nullptr && ends->place == other;
        });
    finding.help =
        left_so ? fmt::format("where it begins otherwise, {}; else leave this step out", so)
                : fmt::format("add `{}` before this step; or, where it begins otherwise, {}; or leave this step out",
                              step(VerbName::set, fmt::format("{{ {} }}", entry)), so);
}

// Does a step of the round, other than its first, bring it anywhere?
bool Remedies::brought_within(const fitted::Procedure& procedure, const Row& repeat, ItemId item) {
    const Index& index = index_of(procedure);
    const auto touches = index.touches.find(item);
    return touches != index.touches.end() &&
           std::any_of(touches->second.begin(), touches->second.end(), [&](const Touch& each) {
               const Row* row = each.path->back().row;
               return each.brings && row != &repeat.body.front() && holds(repeat.body, *row);
           });
}

bool Remedies::finish_first(const Moment& now, Finding& finding, const std::vector<ItemId>& items) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr) return false;
    const Index& index = index_of(*procedure);
    const auto path = index.paths.find(now.row);
    const auto own = index.touches.find(now.item);
    if (path == index.paths.end() || own == index.touches.end()) return false;
    const auto here = std::find_if(own->second.begin(), own->second.end(),
                                   [&](const Touch& each) { return each.path->back().row == now.row; });
    if (here == own->second.end()) return false;
    // It goes on once more, with nothing that takes it off in between: this one is too much.
    const auto next = std::find_if(here + 1, own->second.end(), [](const Touch& each) { return each.brings; });
    if (next != own->second.end() && next->verb == here->verb && next->brings == here->brings) {
        finding.more.push_back({target_span(*next->path->back().row, now.item), "goes on here"});
        finding.late.emplace_back(next->path->back().row, now.item);
        finding.help = fmt::format("take this step out: {} stands again further down", says(*next->path->back().row));
        return true;
    }
    const Touch* last = nullptr;
    for (const ItemId item : items) {
        const auto its = index.touches.find(item);
        if (its == index.touches.end()) return false;
        const Touch* finished = nullptr;
        for (const Touch& each : its->second) {
            if (each.order <= here->order || !each.brings || finished != nullptr) continue;
            finding.late.emplace_back(each.path->back().row, item);
            if (each.brings == Place{0}) finished = &each;
        }
        if (finished == nullptr || finished->path->back().list != path->second.back().list) {
            finding.late.clear();
            return false;
        }
        if (last == nullptr || finished->order > last->order) last = finished;
    }
    if (last == nullptr) return false;
    for (const auto& [row, item] : finding.late)
        finding.more.push_back(
            {target_span(*row, item), row == last->path->back().row ? "move it behind this" : "belongs before it"});
    finding.help = fmt::format("move this step after {}", says(*last->path->back().row));
    return true;
}

// -- Where a step could be done --------------------------------------------------------------------------------------------------

Remedies::Spell Remedies::spell_of(const Moment& now, const linked::Need& need) {
    Spell spell;
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr) return spell;
    const Index& index = index_of(*procedure);
    const auto own = index.touches.find(now.item);
    const auto its = index.touches.find(need.item);
    const auto path = index.paths.find(now.row);
    if (own == index.touches.end() || its == index.touches.end() || path == index.paths.end()) return spell;
    const auto here = std::find_if(own->second.begin(), own->second.end(),
                                   [&](const Touch& each) { return each.path->back().row == now.row; });
    if (here == own->second.end()) return spell;
    // Whoever comes here has come by that row, too.
    const auto surely = [&](const Touch& each) {
        return std::any_of(path->second.begin(), path->second.end(),
                           [&](const Rung& rung) { return rung.list == each.path->back().list; });
    };
    Place stands = begins_at(*procedure, need.item);
    for (const Touch& each : its->second) {
        if (!each.brings || each.path->back().row == now.row) continue;
        const Row* row = each.path->back().row;
        if (each.order > here->order) {
            if (*each.brings == need.place && surely(each)) spell.begins = row;
            if (spell.begins != nullptr) break;
            continue;
        }
        if (stands == need.place && *each.brings != need.place) spell.ended = surely(each) ? row : nullptr;
        stands = *each.brings;
    }
    return spell;
}

void Remedies::slacken_earlier(const Moment& now, Finding& finding, const linked::Need& need, const Standing& other) {
    const linked::Item& item = now.it().is;
    const std::vector<std::string> steps{step(VerbName::slacken, item.id)};
    if (const Row* ended = spell_of(now, need).ended; ended != nullptr) {
        add_before(now, finding, steps, now.item, ended);
        finding.help +=
            fmt::format(": there the {} is still {}", now.name(need.item), now.place_name(need.item, need.place));
        return;
    }
    finding.help = fmt::format("slacken it first, in a step of its own, with the {} {}", now.name(need.item),
                               now.place_name(need.item, need.place));
    const auto came = now.some(now.at, [](const Standing& s) { return s.place <= 1 && s.placed == nullptr; });
    if (other.placed != nullptr || !came) return;
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    const bool said = now.entered != nullptr && now.entered->contains(now.at);
    const bool contract = procedure != nullptr && procedure->source->source->starts_with.has_value();
    const std::string entry = item.id + ": loose";
    finding.help = "where it comes loose, " +
                   (said       ? fmt::format("say `{}` in `starts-with`", entry)
                    : contract ? fmt::format("add `{}` to `starts-with`", entry)
                               : fmt::format("say `starts-with: {{ {} }}`", entry)) +
                   "; else " + finding.help;
}

// Help for a step that could be done until the row just before it: that row goes behind this one. False: other work stands between them.
bool Remedies::swap_with(const Moment& now, Finding& finding, ItemId item, const Row* ended) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr || ended == nullptr || ended == now.row) return false;
    const Index& index = index_of(*procedure);
    const auto path = index.paths.find(now.row);
    const auto other = index.paths.find(ended);
    if (path == index.paths.end() || other == index.paths.end() || other->second.back().row != ended) return false;
    if (path->second.back().list != other->second.back().list) return false;
    const fitted::Rows* list = list_of(*procedure, *now.row);
    if (list == nullptr || ended < list->data() || ended >= now.row) return false;
    const auto touches = [&](const Row& row) {
        return row.kind != fitted::RowKind::plain &&
               (row.kind != fitted::RowKind::verb || row.calls.known() ||
                std::any_of(row.targets.begin(), row.targets.end(),
                            [&](const fitted::Target& t) { return t.item == item || t.item == now.item; }));
    };
    if (std::any_of(ended + 1, now.row, touches)) return false;
    finding.help = fmt::format("move {} after this step", says(*ended));
    finding.mends.clear();
    return true;
}

// Is there work in between that it was brought so for?
bool Remedies::used_between(const Moment& now, ItemId item, const Row* ended) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr || ended == nullptr) return false;
    const Index& index = index_of(*procedure);
    const auto from = index.orders.find(ended);
    const auto to = index.orders.find(now.row);
    const auto its = index.touches.find(item);
    if (from == index.orders.end() || to == index.orders.end() || its == index.touches.end()) return false;
    return std::any_of(its->second.begin(), its->second.end(),
                       [&](const Touch& each) { return each.order > from->second && each.order < to->second; });
}

bool Remedies::swap_with(const Moment& now, Finding& finding, const linked::Need& need) {
    if (now.of(need.item).is.sort == linked::Sort::setting || now.deed == nullptr) return false;
    const Row* ended = spell_of(now, need).ended;
    return !used_between(now, need.item, ended) && swap_with(now, finding, need.item, ended);
}

bool Remedies::work_elsewhere(const Moment& now, Finding& finding, const linked::Need& need) {
    if (now.deed == nullptr || now.of(need.item).is.sort != linked::Sort::setting) return false;
    if (now.it().is.sort != linked::Sort::fastener) return false;
    const Spell spell = spell_of(now, need);
    const bool loosens = now.deed->to == model::Leaves::loose && now.deed->from == model::Starts::tight_or_snug;
    const bool tightens = now.deed->to == model::Leaves::rest || now.deed->from == model::Starts::tight;
    const Row* row = loosens ? spell.ended : tightens ? spell.begins : nullptr;
    if (row == nullptr) return false;
    finding.more.push_back({head_span(*row), loosens ? "move it before this" : "move it behind this"});
    finding.help = fmt::format("move this step {} {}: there the {} is {}{}", loosens ? "before" : "after", says(*row),
                               now.name(need.item), loosens ? "still " : "", now.place_name(need.item, need.place));
    return true;
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

// The level that is read at an open plug is read before that goes in. What is filled in once is filled in before the rounds.
void Remedies::prove_before(const Moment& now, Finding& finding, ItemId circuit, Debt debt, const Row* owed) {
    const linked::Item& is = now.of(circuit).is;
    const std::vector<std::string> steps{fmt::format("- {}: {}", model::word(debt), is.id)};
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure != nullptr && debt == Debt::fill) {
        const Row* round = round_apart(*procedure, *now.row, owed);
        if (round != nullptr && !round->body.empty())
            return add_before(now, finding, steps, circuit, &round->body.front());
    }
    if (procedure != nullptr && debt == Debt::level)
        if (const Row* reading = reading_of(*procedure, *now.row, circuit); reading != nullptr)
            return add_before(now, finding, steps, circuit, reading);
    for (const linked::While& condition : is.whiles) {
        if (model::verb(condition.verb).word != model::word(debt)) continue;
        for (const linked::Need& need : condition.needs) {
            if (!need.item.known() || !now.of(need.item).present) continue;
            const std::vector<fitted::InstanceId> all = now.beside(need.item);
            const bool met = std::none_of(all.begin(), all.end(), [&](fitted::InstanceId at) {
                return now.some(at, [&](const Standing& s) { return !s.in(need.place); }).has_value();
            });
            const Row* ended = met ? nullptr : spell_of(now, need).ended;
            if (ended == nullptr) continue;
            add_before(now, finding, steps, circuit, ended);
            finding.help +=
                fmt::format(": there the {} is still {}", now.name(need.item), now.place_name(need.item, need.place));
            return;
        }
    }
    add_before(now, finding, steps, circuit);
}

const Row* Remedies::narrowed_on(const fitted::Rows& rows, ItemId item, Place place) const {
    const Row* found = nullptr;
    each_row(rows, [&](const Row& row) {
        if (row.kind != fitted::RowKind::verb) return;
        for (const fitted::Target& target : row.targets)
            if (target.item == item && (!target.values.empty() || !row.only.empty()) &&
                brought_to(row, fit_.items[item.index()].is, target.place) == place)
                found = &row;
    });
    return found;
}

std::string Remedies::begin_round(const Row& repeat, const Standing& begins) {
    const Row* row = begins.placed;
    if (row == nullptr || repeat.body.empty() || row->verb != VerbName::slacken || holds(repeat.body, *row)) return {};
    const fitted::Procedure* procedure = procedure_of(repeat);
    const Row& first = repeat.body.front();
    if (procedure == nullptr || list_of(*procedure, *row) != list_of(*procedure, repeat)) return {};
    if (first.step == nullptr || !first.step->source->id || row->step == nullptr || row->step->source->id) return {};
    const std::string& id = first.step->source->id->value;
    return fmt::format("let each round begin with {}: give that the `id: {}`, which {} has now", says(*row), id,
                       says(first));
}

std::string Remedies::end_round(const Row& repeat, ItemId item, const Standing& begins, const Standing& ends,
                                Finding& finding) {
    const fitted::Procedure* procedure = procedure_of(repeat);
    if (procedure == nullptr || ends.placed == nullptr || !holds(repeat.body, *ends.placed)) return {};
    const linked::Item& is = fit_.items[item.index()].is;
    std::vector<std::string> steps;
    // What was snug before the rounds is tight behind each.
    const Place back = is.sort == linked::Sort::fastener && begins.place == 1 ? Place{0} : begins.place;
    for (const Move& move : moves_between(is, ends.place, back)) steps.push_back(step(move.verb, move.what));
    const Index& index = index_of(*procedure);
    const Touch* last = nullptr;
    if (const auto its = index.touches.find(item); its != index.touches.end())
        for (const Touch& each : its->second)
            for (const Row& row : repeat.body)
                if (&row == each.path->back().row && &row != ends.placed &&
                    (last == nullptr || each.order > last->order))
                    last = &each;
    if (steps.empty() || last == nullptr || last->path->back().row->step == nullptr) return {};
    const Row& row = *last->path->back().row;
    if (index.orders.at(&row) < index.orders.at(ends.placed)) return {};
    finding.more.push_back({head_span(row), "add it after this"});
    if (on_every_vehicle(*procedure, item))
        finding.mends.push_back({row.step->source->span, lines(steps), messages::Puts::entries_after});
    return fmt::format("add {} after {}: each round leaves it as it found it", quoted(steps), says(row));
}

std::string Remedies::agree(const Row& question, ItemId item, const Standing& yes, const Standing& no) {
    const linked::Item& is = fit_.items[item.index()].is;
    const auto on = [](const fitted::Rows& way, const Standing& s) {
        return s.placed != nullptr && holds(way, *s.placed);
    };
    const bool by_yes = on(question.if_so, yes);
    if (question.kind != fitted::RowKind::question || by_yes == on(question.if_not, no))
        return fmt::format("let both ways leave it {}, or both {}{}", is.places[yes.place].name,
                           is.places[no.place].name,
                           question.kind == fitted::RowKind::repeat
                               ? ""
                               : "; work for one answer alone can follow later, under `if-answered`");
    const Standing& done = by_yes ? yes : no;
    const Standing& left = by_yes ? no : yes;
    // What the next step behind the question does anyhow.
    if (const fitted::Procedure* procedure = procedure_of(question); procedure != nullptr) {
        const Index& index = index_of(*procedure);
        const auto own = index.touches.find(item);
        const auto at = index.orders.find(&question);
        if (own != index.touches.end() && at != index.orders.end()) {
            const Touch* next = nullptr;
            for (const Touch& each : own->second) {
                const Row* row = each.path->back().row;
                if (next == nullptr && each.order > at->second && each.brings && !holds(question.if_so, *row) &&
                    !holds(question.if_not, *row))
                    next = &each;
            }
            if (next != nullptr && next->brings == done.place && !next->narrowed &&
                says(*next->path->back().row) == says(*done.placed))
                return fmt::format("take {0} out of the question: {0} stands again further down, whatever was answered",
                                   says(*done.placed));
        }
    }
    // What would bring it back on this way leaves this side out.
    if (const Row* narrow = narrowed_on(by_yes ? question.if_so : question.if_not, item, left.place); narrow != nullptr)
        return fmt::format("let the `only` of {} take in {{values}}, or take it out", says(*narrow));
    const std::string_view here = by_yes ? "if-so" : "if-not";
    const std::string there =
        fmt::format("where the answer is {}, {} `{}`", by_yes ? "no" : "yes",
                    (by_yes ? question.if_not : question.if_so).empty() ? "below the question in an" : "under its",
                    by_yes ? "if-not" : "if-so");
    // What is put back on one way alone, and came from before the question, is hardly ever meant to wait on the answer.
    // What is done to it just before, on the same way, goes with it.
    if (done.place == 0) {
        std::vector<std::string> together{says(*done.placed)};
        if (const fitted::Procedure* procedure = procedure_of(question); procedure != nullptr) {
            const Index& index = index_of(*procedure);
            const auto path = index.paths.find(done.placed);
            const fitted::Rows* list = path != index.paths.end() && path->second.back().row == done.placed
                                           ? path->second.back().list
                                           : nullptr;
            // Whether it is made new is what was asked.
            const bool judged = question.step != nullptr && question.step->kind == linked::StepKind::decide;
            for (const Row* row = done.placed; list != nullptr && !judged && row != list->data(); --row) {
                const Row& earlier = *(row - 1);
                const bool its = earlier.kind == fitted::RowKind::verb && earlier.targets.size() == 1 &&
                                 earlier.targets.front().item == item &&
                                 (earlier.verb == VerbName::renew || earlier.verb == VerbName::clean ||
                                  earlier.verb == VerbName::apply);
                if (!its) break;
                together.insert(together.begin(), says(earlier));
            }
        }
        const bool one = together.size() == 1;
        return fmt::format("take {0} out of the question and put {2} after it, or add {2} {1}, too",
                           base::join_and(together), there, one ? "it" : "them");
    }
    const auto steps = [&](Place from, Place to) {
        std::vector<std::string> all;
        for (const Move& move : moves_between(is, from, to)) all.push_back(step(move.verb, move.what));
        return quoted(all);
    };
    const std::string too = fmt::format("{} {}, too", steps(left.place, done.place), there);
    std::string behind; // the last step of that way that has to do with it
    if (const fitted::Procedure* procedure = procedure_of(question); procedure != nullptr) {
        const Index& index = index_of(*procedure);
        if (const auto touches = index.touches.find(item); touches != index.touches.end())
            for (const Touch& each : touches->second)
                for (const Row& row : by_yes ? question.if_so : question.if_not)
                    if (each.path->back().row == &row) behind = fmt::format(" after {}", says(row));
    }
    const std::string back = fmt::format("{}{}{} its `{}`, where the answer is {}", steps(done.place, left.place),
                                         behind, behind.empty() ? " under" : ", under", here, by_yes ? "yes" : "no");
    // What something further down brings back is away on both ways; else nothing does.
    bool brought_back = false;
    if (const fitted::Procedure* procedure = procedure_of(question); procedure != nullptr) {
        const Index& index = index_of(*procedure);
        std::size_t last = 0; // of the question's own
        if (const auto touches = index.touches.find(item); touches != index.touches.end())
            for (const Touch& each : touches->second) {
                const Row* row = each.path->back().row;
                if (holds(question.if_so, *row) || holds(question.if_not, *row))
                    last = each.order;
                else if (last != 0 && each.brings && *each.brings != done.place)
                    brought_back = true;
            }
    }
    return fmt::format("add {}, or {}; work for one answer alone can follow later, under `if-answered`",
                       brought_back ? too : back, brought_back ? back : too);
}

bool holds(const fitted::Rows& rows, const Row& inner) {
    return std::any_of(rows.begin(), rows.end(), [&](const Row& each) {
        return &each == &inner || holds(each.if_so, inner) || holds(each.if_not, inner) || holds(each.body, inner) ||
               holds(each.otherwise, inner);
    });
}

namespace {

// How `ends-with` says it.
std::string ends_so(const Moment& now, const std::string& entry) {
    if (now.contracted) return fmt::format("say `{}` in `ends-with`", entry);
    const bool contract = now.ended != nullptr && now.ended->source->source->ends_with.has_value();
    return contract ? fmt::format("add `{}` to `ends-with`", entry) : fmt::format("say `ends-with: {{ {} }}`", entry);
}

} // namespace

// The last row of a procedure that is more than words, where what is not of a side can be done behind it.
std::optional<Remedies::Touch> Remedies::last_work(const fitted::Procedure& procedure, const Index& index) const {
    const Row* last = nullptr;
    bool bound = false;
    for (const fitted::Section& section : procedure.sections)
        for (const Row& row : section.rows) {
            const bool words =
                row.kind == fitted::RowKind::plain ||
                (row.kind == fitted::RowKind::verb &&
                 (row.verb == VerbName::record || row.verb == VerbName::wait || row.verb == VerbName::mark));
            if (words) continue;
            last = &row;
            bound = section.bound;
        }
    const auto path = index.paths.find(last);
    if (last == nullptr || bound || path == index.paths.end()) return std::nullopt;
    Touch touch;
    touch.path = &path->second;
    touch.order = index.rows + 1;
    return touch;
}

// In a job, the procedure behind it begins with the thing there.
bool Remedies::begins_next(const fitted::Procedure& procedure, ItemId item, Place place) const {
    for (const linked::Job& job : linked_.jobs)
        for (std::size_t i = 0; i + 1 < job.procedures.size(); ++i) {
            if (job.procedures[i].first != procedure.id || !job.procedures[i + 1].first.known()) continue;
            const linked::Entering* begins =
                entering_of(linked_.procedures[job.procedures[i + 1].first.index()].starts_with, item);
            if (begins != nullptr && begins->place == place) return true;
        }
    return false;
}

// Each job of the shop that has it ends with it.
bool Remedies::always_last(const fitted::Procedure& procedure) const {
    bool found = false;
    for (const linked::Job& job : linked_.jobs)
        for (std::size_t i = 0; i < job.procedures.size(); ++i) {
            if (job.procedures[i].first != procedure.id) continue;
            if (i + 1 != job.procedures.size()) return false;
            found = true;
        }
    return found;
}

void Remedies::bring_back(const Moment& now, Finding& finding, const Standing& standing) {
    static const Index nothing;
    const Index& index = now.ended != nullptr ? index_of(*now.ended) : nothing;
    const linked::Item& item = now.it().is;
    const Place from = standing.place;
    const bool bolted = item.sort == linked::Sort::fastener || item.sort == linked::Sort::clip;
    Steps first;
    later(first.after, index, now.item, any);
    if (bolted && now.wanted_place + 1U != item.places.size())
        for (const ItemId part : item.holds) {
            later(first.after, index, part, bringing(0));
            for (const ItemId sister : now.of(part).is.held_by) // all are in before one is tightened
                if (sister != now.item)
                    later(first.after, index, sister, [](const Touch& touch) {
                        return touch.brings && *touch.brings <= 2 && touch.verb != VerbName::slacken;
                    });
        }
    // A part comes off once what stands before it and what holds it are out of the way.
    if (item.sort == linked::Sort::part && now.wanted_place != 0)
        for (const auto* others : {&item.behind, &item.held_by})
            for (const ItemId other : *others)
                later(first.after, index, other, [](const Touch& touch) { return touch.brings && *touch.brings != 0; });
    // What the vehicle stands on goes last.
    if (item.sort == linked::Sort::setting && now.wanted_place == 0 && now.ended != nullptr)
        if (const auto last = last_work(*now.ended, index); last) first.after = last;
    const bool steps_follow = index.touches.contains(now.item);
    std::vector<Steps> steps;
    VerbName last{};
    for (const auto& [verb, what, to] : moves_between(item, from, now.wanted_place)) {
        Steps more = first;
        more.all.push_back(step(verb, what));
        wait_for_needs(now, index, verb, standing.placed, standing.placed == nullptr && !steps_follow, more);
        steps.push_back(std::move(more));
        last = verb;
    }
    if (now.of_job) return ask_for_procedure(now, finding, standing, 0, steps);
    // What the procedure begins with and leaves alone, most likely stays so.
    const bool goes_on = now.ended != nullptr && begins_next(*now.ended, now.item, from);
    const bool left_alone =
        !now.contracted &&
        (goes_on || (standing.placed == nullptr && (now.ended == nullptr || !always_last(*now.ended))));
    if (widen(now, finding, index, last, standing.placed)) return;
    put(now, finding, index, steps, standing.placed, from);
    finding.leaves = fmt::format("{}: {}", item.id, now.place_name(now.item, from));
    const std::string stays = ends_so(now, finding.leaves);
    const bool waits = std::any_of(steps.begin(), steps.end(), [](const Steps& each) { return !each.once.empty(); });
    if (left_alone || waits) {
        finding.help = stays + ", or " + finding.help;
        finding.mends.clear();
    } else if (item.sort != linked::Sort::fastener || from + 1U == item.places.size() || now.contracted) {
        finding.help += ", or " + stays;
    } else {
        finding.help += ", or, where another procedure tightens it, " + stays; // seldom meant so
    }
}

namespace {

bool uses(const Row& row, linked::LimitId limit) {
    return std::any_of(row.limits.begin(), row.limits.end(),
                       [&](const fitted::LimitUse& use) { return use.figure.limit == limit; });
}

} // namespace

// Does anything rest on the limit behind the one row and before the other?
bool Remedies::decides_by(const fitted::Procedure& procedure, const Row* after, const Row* before,
                          linked::LimitId limit) const {
    bool behind = after == nullptr;
    bool found = false;
    each_row(procedure, [&](const Row& row) {
        if (&row == before) behind = false;
        if (behind && row.kind != fitted::RowKind::verb && uses(row, limit)) found = true;
        if (&row == after) behind = true;
    });
    return found;
}

std::string Remedies::read_again(const Row* read, const Row& now, linked::LimitId limit) {
    const std::string text = step(VerbName::measure, linked_.limits[limit.index()].id);
    const fitted::Procedure* procedure = procedure_of(now);
    const bool waits = read != nullptr && read->limits.size() == 1 && procedure != nullptr &&
                       procedure_of(*read) == procedure && !decides_by(*procedure, read, &now, limit);
    return fmt::format("{} `{}`", waits ? "move" : "add", text);
}

// What is set is set before it is read.
const Row* Remedies::set_before_reading(const Moment& now, const Index& index, const std::optional<Touch>& freed,
                                        const Row* cause) const {
    const linked::Item& item = now.it().is;
    const bool waits = std::any_of(item.whiles.begin(), item.whiles.end(),
                                   [](const linked::While& each) { return each.verb == VerbName::adjust; });
    if (now.ended == nullptr || (waits && !freed)) return nullptr;
    const Row* from = freed ? freed->path->back().row : cause;
    bool behind = from == nullptr; // it came so
    const Row* reading = nullptr;
    each_row(*now.ended, [&](const Row& row) {
        const bool reads = row.kind == fitted::RowKind::verb && row.verb == VerbName::measure &&
                           std::any_of(item.proved_by.begin(), item.proved_by.end(),
                                       [&](linked::LimitId limit) { return limit.known() && uses(row, limit); });
        if (behind && reads && reading == nullptr) reading = &row;
        behind = behind || &row == from;
    });
    const auto path = index.paths.find(reading);
    if (reading == nullptr || path == index.paths.end() || path->second.back().row != reading) return nullptr;
    // Where it is fastened again before it is read, before that.
    const Row* before = reading;
    behind = false;
    each_row(*now.ended, [&](const Row& row) {
        behind = behind && &row != reading;
        if (behind && before == reading)
            for (const linked::While& condition : item.whiles)
                for (const linked::Need& need : condition.needs)
                    for (const fitted::Target& target : row.targets)
                        if (condition.verb == VerbName::adjust && target.item == need.item &&
                            brought_to(row, fit_.items[need.item.index()].is, target.place).value_or(need.place) !=
                                need.place)
                            before = &row;
        behind = behind || &row == from;
    });
    const auto way = index.paths.find(before);
    const bool beside = way != index.paths.end() && way->second.back().list == path->second.back().list;
    return beside ? before : nullptr;
}

// Is the limit measured in the procedure behind that row?
bool Remedies::measured_after(const fitted::Procedure& procedure, const Row* row, std::string_view limit) const {
    bool behind = row == nullptr;
    const std::function<bool(const fitted::Rows&)> look = [&](const fitted::Rows& rows) {
        return std::any_of(rows.begin(), rows.end(), [&](const Row& each) {
            if (behind && each.kind == fitted::RowKind::verb && each.verb == VerbName::measure)
                for (const fitted::LimitUse& use : each.limits)
                    if (use.figure.limit.known() && linked_.limits[use.figure.limit.index()].id == limit) return true;
            behind = behind || &each == row;
            return look(each.if_so) || look(each.if_not) || look(each.body) || look(each.otherwise);
        });
    };
    return std::any_of(procedure.sections.begin(), procedure.sections.end(),
                       [&](const fitted::Section& section) { return look(section.rows); });
}

// The row of the same list as the reading which the step would stand behind; null: there is none, or it is more than a step.
const Row* Remedies::put_behind(const Index& index, const Steps& steps, const Standing& standing) const {
    if (!steps.after || steps.before != nullptr) return nullptr;
    const Row* row = row_for(index, *steps.after, standing.indebted);
    const auto here = index.paths.find(row);
    const auto read = index.paths.find(standing.coated);
    const bool beside = row != nullptr && row->kind == fitted::RowKind::verb && here != index.paths.end() &&
                        read != index.paths.end() && here->second.back().list == read->second.back().list;
    return beside ? row : nullptr;
}

void Remedies::pay(const Moment& now, Finding& finding, const Standing& standing, std::uint64_t debts) {
    static const Index nothing;
    const Index& index = now.ended != nullptr ? index_of(*now.ended) : nothing;
    const linked::Item& item = now.it().is;
    const auto owes = [&](Debt debt) { return Standing{0, debts, 0}.owes(debt); };
    Steps first;
    later(first.after, index, now.item, any);
    std::vector<Steps> steps;
    std::vector<linked::LimitId> limits_left; // that an adjustment still has to be proved by
    std::string first_of_all;
    const auto add_step = [&](VerbName verb, const std::string& what) {
        Steps more = first;
        more.all.push_back(step(verb, what));
        wait_for_needs(now, index, verb, standing.indebted, false, more);
        steps.push_back(std::move(more));
    };
    if (item.sort == linked::Sort::circuit && item.circuit_of.sort) {
        for (const ItemId part : item.moves) {
            later(first.after, index, part, any);
            for (const ItemId holder : now.of(part).is.held_by) later(first.after, index, holder, any);
        }
        const auto narrowed_bleed = [](const Index& in, const std::vector<ItemId>& vents) {
            const Touch* found = nullptr;
            for (const ItemId vent : vents)
                if (const auto touches = in.touches.find(vent); touches != in.touches.end())
                    for (const Touch& each : touches->second)
                        if (each.verb == VerbName::bleed && each.narrowed) found = &each;
            return found;
        };
        std::vector<std::string> vents;
        for (const ItemId vent : item.vented_by) vents.push_back(now.of(vent).is.id);
        for (const model::Proof& proof : model::proofs(item.circuit_of.sort->value)) {
            if (!owes(proof.debt)) continue;
            if (proof.debt != Debt::bleed) {
                for (const model::Verb& verb : model::all_verbs())
                    if (verb.word == model::word(proof.debt)) add_step(verb.name, item.id);
            } else if (const Touch* some = narrowed_bleed(index, item.vented_by); some != nullptr) {
                const Row& row = *some->path->back().row;
                finding.more.push_back({head_span(row), "not at every vent"});
                first_of_all = fmt::format("let the `only` of {} take in every vent, and ", says(row));
            } else if (vents.empty()) {
                first_of_all = name_a_vent(item) + ", and ";
            } else {
                add_step(VerbName::bleed, one_or_list(vents));
                add_step(VerbName::torque, one_or_list(vents));
            }
        }
    } else if (item.sort == linked::Sort::adjustment) {
        if (owes(Debt::adjust)) {
            Steps adjust = first;
            std::optional<Touch> freed;
            for (const linked::While& condition : item.whiles)
                if (condition.verb == VerbName::adjust)
                    for (const linked::Need& need : condition.needs)
                        later(freed, index, need.item, bringing(need.place));
            if (freed) adjust.after = freed;
            adjust.before = set_before_reading(now, index, freed, standing.indebted);
            adjust.all.push_back(step(VerbName::adjust, item.id));
            steps.push_back(std::move(adjust));
        }
        std::vector<std::string> limits;
        for (const linked::LimitId limit : item.proved_by)
            if (limit.known() &&
                (debts & proof_bits_of(fit_, linked_, item, limit, [](fitted::InstanceId) { return true; })) != 0) {
                limits.push_back(linked_.limits[limit.index()].id);
                limits_left.push_back(limit);
            }
        // Once it is adjusted, what is read further down counts.
        if (owes(Debt::adjust))
            std::erase_if(limits, [&](const std::string& limit) {
                return now.ended != nullptr && measured_after(*now.ended, standing.indebted, limit);
            });
        if (owes(Debt::prove) && !limits.empty()) add_step(VerbName::measure, one_or_list(limits));
    } else {
        if (owes(Debt::degrease)) add_step(VerbName::clean, item.id);
        if (owes(Debt::locker) && item.threadlock.known())
            add_step(VerbName::apply, linked_.consumables[item.threadlock.index()].id);
    }
    std::string owed = debts_of(debts);
    std::erase(owed, '`');
    const std::string stays = now.contracted ? fmt::format("say in `ends-with` that it `owes: [{}]`, too", owed)
                                             : ends_so(now, fmt::format("{}: {{ owes: [{}] }}", item.id, owed));
    finding.leaves = fmt::format("{}: {{ owes: [{}] }}", item.id, owed);
    if (steps.empty() && !first_of_all.empty()) {
        finding.help = first_of_all + "bleed it there";
        return;
    }
    if (steps.empty()) {
        finding.help = stays;
        return;
    }
    if (now.of_job) return ask_for_procedure(now, finding, standing, debts, steps);
    put(now, finding, index, steps, standing.indebted, standing.place);
    // What was read too early, and nothing decided by, is read later.
    const bool moves =
        item.sort == linked::Sort::adjustment && limits_left.size() == 1 && steps.size() == 1 && !owes(Debt::adjust) &&
        standing.coated != nullptr && standing.coated->limits.size() == 1 && now.ended != nullptr &&
        procedure_of(*standing.coated) == now.ended &&
        !decides_by(*now.ended, standing.coated, put_behind(index, steps.front(), standing), limits_left.front());
    if (moves && finding.help.starts_with("add ")) {
        finding.help.replace(0, 3, "move");
        finding.mends.clear();
    }
    finding.help = first_of_all + finding.help + ", or " + stays;
}

bool Remedies::pay_before(const Moment& now, Finding& finding, ItemId item, fitted::InstanceId at,
                          const Standing& standing) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr || now.of(item).is.sort != linked::Sort::adjustment) return false;
    Moment end = now;
    end.item = item;
    end.at = at;
    end.value = now.fit.instances[at.index()].value;
    end.ended = procedure;
    end.contracted = false;
    Finding paid;
    pay(end, paid, standing, standing.unfinished());
    // That it might stay so is nothing for the midst of the work.
    const std::size_t stays = std::min({paid.help.find(", or say `ends-with"), paid.help.find(", or add `")});
    if (!paid.help.starts_with("add ") || stays == std::string::npos) return false;
    finding.help = paid.help.substr(0, stays);
    finding.mends = std::move(paid.mends);
    finding.more.insert(finding.more.end(), paid.more.begin(), paid.more.end());
    return true;
}

// At the end of a job: a procedure that begins with the thing as it stands and ends with it at rest.
void Remedies::ask_for_procedure(const Moment& now, Finding& finding, const Standing& standing, std::uint64_t debts,
                                 const std::vector<Steps>& steps) const {
    std::uint64_t owed = debts & ~(vent_bits | proof_bits);
    if ((debts & vent_bits) != 0) owed |= model::bit(Debt::bleed);
    const auto is_it = [&](const linked::Entering& each) { return each.item == now.item; };
    const auto stands = [&](const linked::Entering& each) {
        if (!each.item.known() || !now.of(each.item).present || !each.has_place) return true;
        const std::vector<fitted::InstanceId> all = now.every(each.item);
        return std::none_of(all.begin(), all.end(), [&](fitted::InstanceId at) {
            return now.some(at, [&](const Standing& s) { return !s.in(each.place); }).has_value();
        });
    };
    // Of those that can begin where the job ends, the ones that take over most of what it leaves; else those that could begin earlier.
    const auto takes_over = [&](const linked::Procedure& procedure) {
        if (!std::all_of(procedure.starts_with.begin(), procedure.starts_with.end(), stands)) return std::ptrdiff_t{0};
        return std::count_if(procedure.starts_with.begin(), procedure.starts_with.end(),
                             [](const linked::Entering& each) { return each.place != 0 || each.owes != 0; });
    };
    std::vector<std::string> choice;
    std::ptrdiff_t most = 0;
    for (const linked::Procedure& procedure : linked_.procedures) {
        const auto begins = std::find_if(procedure.starts_with.begin(), procedure.starts_with.end(), is_it);
        if (begins == procedure.starts_with.end()) continue;
        const auto ends = std::find_if(procedure.ends_with.begin(), procedure.ends_with.end(), is_it);
        const bool named = ends != procedure.ends_with.end();
        const bool mends = debts != 0 ? (owed & ~begins->owes) == 0 && (!named || (owed & ends->owes) == 0)
                                      : begins->has_place && begins->place == standing.place &&
                                            (!named || (ends->has_place && ends->place == now.wanted_place));
        if (!mends) continue;
        if (!does_fit(procedure)) continue;
        const std::ptrdiff_t takes = takes_over(procedure);
        if (takes < most) continue;
        if (takes > most) choice.clear();
        most = takes;
        choice.push_back(fmt::format("`{}`", procedure.source->id.value));
    }
    constexpr std::size_t most_named = 3;
    if (choice.size() > most_named) choice.resize(most_named);
    if (!choice.empty()) {
        std::string names;
        for (const std::string& each : choice) names += (names.empty() ? "" : " or ") + each;
        finding.help = fmt::format("add {} to the job's `do`{}", names, most == 0 ? "" : ", at its end");
        return;
    }
    std::vector<std::string> all;
    for (const Steps& each : steps) all.insert(all.end(), each.all.begin(), each.all.end());
    finding.help = fmt::format(
        "no procedure of this shop takes it over like this: write one with {}, and add it to the job's `do`",
        quoted(all));
}

} // namespace benchleaf::proof
