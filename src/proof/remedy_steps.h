// What the parts of the remedies share: the steps that bring a thing from one place to another, and how they are written.
#pragma once

#include "proof/remedy.h"

#include "linked/deeds.h"

#include "base/text.h"
#include "fitted/fit.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::remedy {

using fitted::Row;
using linked::ItemId;
using linked::Place;
using model::Debt;
using model::VerbName;

inline constexpr int most_covers = 8; // one behind the other

inline std::string step(VerbName verb, std::string_view what) {
    return fmt::format("- {}: {}", model::verb(verb).word, what);
}

inline std::string one_or_list(const std::vector<std::string>& ids) {
    if (ids.size() == 1) return ids.front();
    std::string all;
    for (const std::string& id : ids) all += (all.empty() ? "[" : ", ") + id;
    return all + "]";
}

inline std::string lines(const std::vector<std::string>& steps) {
    std::string all;
    for (const std::string& each : steps) all += (all.empty() ? "" : "\n") + each;
    return all;
}

inline std::string quoted(const std::vector<std::string>& steps) {
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
inline std::vector<Move> moves_between(const linked::Item& item, Place from, Place to) {
    std::vector<Move> all;
    if (from >= item.places.size() || to >= item.places.size()) return all; // nobody knows how it stands
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

inline std::optional<Place> brought_to(const Row& row, const linked::Item& item, Place written) {
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

// What an item asks for while that is done to it.
inline std::vector<linked::Need> needs_of(const linked::Item& item, VerbName verb) {
    std::vector<linked::Need> all = item.needs;
    for (const linked::While& condition : item.whiles)
        if (condition.verb == verb) all.insert(all.end(), condition.needs.begin(), condition.needs.end());
    return all;
}

// Whoever comes along the path has come, or will come, by a row of that list.
template <class Path, class Touch>
bool comes_by(const Path& path, const Touch& row) {
    return std::any_of(path.begin(), path.end(), [&](const auto& rung) { return rung.list == row.path->back().list; });
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

// The later of the two: what was last, and the last touch of the item that is so.
template <class Touch, class Index, class Is>
void later(std::optional<Touch>& last, const Index& index, ItemId item, Is is) {
    const auto touches = index.touches.find(item);
    if (touches == index.touches.end()) return;
    for (const Touch& each : touches->second)
        if (is(each) && (!last || each.order > last->order)) last = each;
}

inline constexpr auto any = [](const auto&) { return true; };

inline auto bringing(Place place) {
    return [place](const auto& touch) { return touch.brings == place; };
}

// How the contract says that it stands, or at rest.
inline Place begins_at(const fitted::Procedure& procedure, ItemId item) {
    for (const linked::Entering& entering : procedure.starts_with)
        if (entering.item == item && entering.has_place) return entering.place;
    return 0;
}

// On every way, wherever it stands beside this.
inline bool is_met(const Moment& now, const linked::Need& need) {
    const std::vector<fitted::InstanceId> all = now.beside(need.item);
    return std::none_of(all.begin(), all.end(), [&](fitted::InstanceId at) {
        return now.some(at, [&](const Standing& s) { return !s.in(need.place); }).has_value();
    });
}

// What holds a part comes out before it comes off, and is tight once it is on.
inline std::vector<std::pair<ItemId, Move>> moves_with_holders(const Moment& now, ItemId item, Place from, Place to) {
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
        // What may not be tightened here yet is run down until it seats.
        const bool waits = std::any_of(held.whiles.begin(), held.whiles.end(), [&](const linked::While& each) {
            return each.verb == VerbName::torque &&
                   std::any_of(each.needs.begin(), each.needs.end(), [&](const linked::Need& need) {
                       return need.item.known() && now.of(need.item).present && !is_met(now, need);
                   });
        });
        for (Move& move : comes_off ? moves_between(held, 0, out) : moves_between(held, out, waits ? 1 : 0))
            holders.emplace_back(holder, std::move(move));
    }
    all.insert(comes_off ? all.begin() : all.end(), holders.begin(), holders.end());
    return all;
}

inline bool all_stand_so(const Moment& now, const linked::Procedure& procedure) {
    return std::all_of(procedure.starts_with.begin(), procedure.starts_with.end(), [&](const linked::Entering& each) {
        if (!each.item.known() || !now.of(each.item).present || !each.has_place) return true;
        const std::vector<fitted::InstanceId> all = now.every(each.item);
        return std::none_of(all.begin(), all.end(), [&](fitted::InstanceId at) {
            return now.some(at, [&](const Standing& s) { return !s.in(each.place); }).has_value();
        });
    });
}

inline const linked::Entering* entering_of(const std::vector<linked::Entering>& contract, ItemId item) {
    const auto found =
        std::find_if(contract.begin(), contract.end(), [&](const auto& e) { return e.item == item && e.has_place; });
    return found == contract.end() ? nullptr : &*found;
}

} // namespace benchleaf::proof::remedy
