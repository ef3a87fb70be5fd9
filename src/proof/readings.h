// The readings that a fit's limits take, and what makes one old: work that sets what is read. The machine keeps a slot of its state for each limit on each
// thing that it is of, with what was done since it was read and since somebody decided by it, and asks here which slots a piece of work bears on.
#pragma once

#include "fitted/fitted.h"
#include "proof/standing.h"

#include <cstdint>
#include <unordered_map>
#include <vector>

namespace benchleaf::proof {

// Of a reading, in the word that of an item says what lies on it. Each is so on some way.
inline constexpr std::uint64_t was_read = 1;
inline constexpr std::uint64_t older_than_work = 2; // what it is of was set, tightened or renewed since
inline constexpr std::uint64_t not_judged = 4;      // read behind the last work, and nobody decided since
inline constexpr std::uint64_t judged_before = 8;   // worked on behind the decision, and not read since
inline constexpr std::uint64_t was_worked = 16;     // since the last decision
inline constexpr std::uint64_t was_judged = 32;
inline constexpr std::uint64_t told_old = 64;

// It was taken after the last work on the thing, and nobody decides by it, though somebody did before.
inline bool waits_for_decision(const Standing& s) {
    return (s.on & not_judged) != 0 && (s.on & was_judged) != 0 && (s.on & told_old) == 0 && s.coated != nullptr;
}

// Where a row names the limit; null where it does not.
const fitted::LimitUse* use_in(const fitted::Row& row, linked::LimitId limit);

class Readings {
public:
    Readings(const linked::Linked& linked, const fitted::Fit& fit);

    struct Slot {
        linked::LimitId limit;
        fitted::InstanceId of; // not known: the limit says nothing of what it is of
    };
    const std::vector<Slot>& slots() const { return slots_; }
    const std::vector<std::size_t>& of(linked::LimitId limit) const {
        const auto found = by_limit_.find(limit);
        return found == by_limit_.end() ? none_ : found->second;
    }
    // The limits that are read of the item.
    const std::vector<linked::LimitId>& read_of(linked::ItemId item) const {
        static const std::vector<linked::LimitId> none;
        const auto found = read_of_.find(item);
        return found == read_of_.end() ? none : found->second;
    }
    // The parts whose readings the fastener sets by how far it is tightened: a hub whose play is read with its nut tight. A drum on the same nut is as wide
    // as before.
    std::vector<linked::ItemId> set_by(linked::ItemId fastener) const;

private:
    const fitted::Fit& fit_;
    std::vector<Slot> slots_;
    std::vector<std::size_t> none_;
    std::unordered_map<linked::LimitId, std::vector<std::size_t>> by_limit_;
    std::unordered_map<linked::ItemId, std::vector<linked::LimitId>> read_of_;
};

} // namespace benchleaf::proof
