#include "mechanics/pattern.h"

#include <cstddef>
#include <span>

namespace benchleaf::mechanics {
namespace {

// In which order the places of the first quarter begin a cross of four. PCC-1 gives them by table; 4 to 16 as
// reproduced, 20 and 24 from memory.
std::span<const int> quarter_order(int count) {
    static constexpr int four[] = {1};
    static constexpr int eight[] = {1, 2};
    static constexpr int twelve[] = {1, 2, 3};
    static constexpr int sixteen[] = {1, 3, 2, 4};
    static constexpr int twenty[] = {1, 3, 5, 2, 4};
    static constexpr int twenty_four[] = {1, 4, 2, 5, 3, 6};
    switch (count) {
    case 4:
        return four;
    case 8:
        return eight;
    case 12:
        return twelve;
    case 16:
        return sixteen;
    case 20:
        return twenty;
    default:
        return twenty_four;
    }
}

// Steps of just under half the ring: half of an odd number's predecessor has no factor in common with it, so each place
// comes once.
std::vector<int> star_of_odd(int count) {
    std::vector<int> order;
    int place = 0;
    for (int i = 0; i < count; ++i) {
        order.push_back(place + 1);
        place = (place + count / 2) % count;
    }
    return order;
}

} // namespace

std::vector<int> tightening_order(int count) {
    if (count < 1 || count > most_in_a_ring) return {};
    if (count % 2 == 1) return star_of_odd(count);
    std::vector<int> order;
    const int half = count / 2;
    if (count % 4 != 0) {
        for (const int place : star_of_odd(half)) {
            order.push_back(place);
            order.push_back(place + half);
        }
        return order;
    }
    const int quarter = count / 4;
    for (const int place : quarter_order(count)) {
        for (const int turn : {0, half, quarter, half + quarter}) order.push_back(place + turn);
    }
    return order;
}

std::vector<units::Quantity> round_torques(const units::Quantity& torque, int rounds) {
    std::vector<units::Quantity> all;
    for (int round = 1; round < rounds; ++round) {
        const int percent = rounds == 3 ? (round == 1 ? 30 : 70) : 100 * round / rounds;
        units::Quantity part = torque;
        part.digits = torque.digits * percent;
        part.decimals = static_cast<std::uint8_t>(torque.decimals + 2);
        if (const auto rounded = units::convert(part, torque.unit, units::Significant{2})) all.push_back(*rounded);
    }
    all.push_back(torque);
    return all;
}

} // namespace benchleaf::mechanics
