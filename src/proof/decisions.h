// The decisions that a fit's rows make from readings and inspections, found before the machine walks: which rows make the same one, and
// which readings, inspections and items bear on each. The machine keeps a slot of its state for each decision and each value of an axis
// for which it may be made, and asks `slot` and `touched` which.
#pragma once

#include "fitted/fitted.h"

#include <cstddef>
#include <map>
#include <set>
#include <string>
#include <tuple>
#include <unordered_map>
#include <vector>

namespace benchleaf::proof {

// Made by one row; rows that rest on the same share `group`.
struct Decision {
    const fitted::Row* row = nullptr;
    std::size_t group = 0;
    source::Span at; // what it rests on
    std::string help;
};

class Decisions {
public:
    Decisions(const linked::Linked& linked, const fitted::Fit& fit);

    const Decision* find(const fitted::Row& row) const { return find(decisions_, row); }
    // That of a repeat which goes round until it is decided, from round to round.
    const Decision* find_rounds(const fitted::Row& row) const { return find(rounds_, row); }

    // Groups, by what bears on them.
    const std::vector<std::size_t>& on(linked::LimitId limit) const { return find(by_limit_, limit); }
    const std::vector<std::size_t>& on(const linked::Step* inspection) const { return find(by_step_, inspection); }
    const std::vector<std::size_t>& of(linked::ItemId item) const { return find(by_item_, item); }

    std::size_t slots() const { return groups_ * width_; }
    std::size_t slot(const Decision& decision, linked::AxisId axis, fitted::AxisValue value) const {
        return decision.group * width_ + offset(axis, value);
    }
    // The first of a group's slots, of which there are `width()`.
    std::size_t first_slot(std::size_t group) const { return group * width_; }
    std::size_t width() const { return width_; }
    // The slots of a group that a reading for this value is news to; without a value, all of them.
    std::vector<std::size_t> touched(std::size_t group, linked::AxisId axis, fitted::AxisValue value) const;

private:
    using Basis = std::tuple<std::set<linked::LimitId>, std::set<const linked::Step*>, const fitted::Row*>;
    void add(const linked::Linked& linked, const fitted::Row& row, const fitted::Row* of_rounds,
             std::unordered_map<const fitted::Row*, Decision>& into);
    void walk(const linked::Linked& linked, const fitted::Rows& rows);
    std::size_t offset(linked::AxisId axis, fitted::AxisValue value) const {
        return value == fitted::no_value || !axis.known() ? 0 : first_value_[axis.index()] + value;
    }
    static const Decision* find(const std::unordered_map<const fitted::Row*, Decision>& all, const fitted::Row& row) {
        const auto found = all.find(&row);
        return found == all.end() ? nullptr : &found->second;
    }
    template <class Map, class Key>
    static const std::vector<std::size_t>& find(const Map& map, const Key& key) {
        static const std::vector<std::size_t> none;
        const auto found = map.find(key);
        return found == map.end() ? none : found->second;
    }

    std::size_t groups_ = 0;
    std::size_t width_ = 1;                // slots of a group: one for no value, and one for each value of each axis
    std::vector<std::size_t> first_value_; // by axis
    std::map<Basis, std::size_t> known_;
    std::unordered_map<linked::StepId, const fitted::Row*> steps_; // of the procedure that is walked
    std::unordered_map<const fitted::Row*, Decision> decisions_;
    std::unordered_map<const fitted::Row*, Decision> rounds_;
    std::unordered_map<linked::LimitId, std::vector<std::size_t>> by_limit_;
    std::unordered_map<const linked::Step*, std::vector<std::size_t>> by_step_;
    std::unordered_map<linked::ItemId, std::vector<std::size_t>> by_item_;
};

} // namespace benchleaf::proof
