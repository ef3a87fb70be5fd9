// A number that names one entry of one table, and cannot be mistaken for the number of another table:
// `using ItemId = base::Id<struct ItemTag>`. A default-made Id names nothing; that is how a name which could not be
// resolved (and was reported) is kept: a hole that later stages step over.
#pragma once

#include <compare>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <limits>

namespace benchleaf::base {

template <class Tag>
struct Id {
    static constexpr std::uint32_t nothing = std::numeric_limits<std::uint32_t>::max();
    std::uint32_t value = nothing;

    constexpr Id() = default;
    constexpr explicit Id(std::size_t v) : value(static_cast<std::uint32_t>(v)) {}
    constexpr bool known() const { return value != nothing; }
    constexpr std::size_t index() const { return value; }
    constexpr auto operator<=>(const Id&) const = default;
};

} // namespace benchleaf::base

template <class Tag>
struct std::hash<benchleaf::base::Id<Tag>> {
    std::size_t operator()(benchleaf::base::Id<Tag> id) const noexcept { return id.value; }
};
