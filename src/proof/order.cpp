#include "proof/order.h"

#include <algorithm>
#include <functional>
#include <set>

namespace benchleaf::proof {

std::optional<std::vector<std::size_t>> order_of(const std::vector<Boundaries>& all) {
    constexpr std::size_t most_tried = 20;
    constexpr std::size_t most_states = 10000;
    if (all.size() > most_tried) return std::nullopt;
    using State = std::map<fitted::InstanceId, Stands>; // what is not at rest
    std::set<std::pair<std::uint32_t, State>> dead;     // from there on no order leads to the end
    std::vector<std::size_t> order;

    const auto begins = [](const State& state, const Boundaries& next) {
        if (next.all_in_place && std::any_of(state.begin(), state.end(), [&](const auto& away) {
                return away.second.place != 0 && !next.begins.contains(away.first);
            }))
            return false;
        return std::all_of(next.begins.begin(), next.begins.end(), [&](const auto& wanted) {
            const auto found = state.find(wanted.first);
            const Stands is = found == state.end() ? Stands{} : found->second;
            return (is.any_place || wanted.second.any_place || is.place == wanted.second.place) &&
                   (is.owes & ~wanted.second.owes) == 0;
        });
    };
    const std::function<bool(std::uint32_t, const State&)> go = [&](std::uint32_t done, const State& state) {
        if (order.size() == all.size()) return state.empty();
        if (dead.size() > most_states || dead.contains({done, state})) return false;
        for (std::size_t i = 0; i < all.size(); ++i) {
            if (((done >> i) & 1U) != 0 || !begins(state, all[i])) continue;
            State after = state;
            for (const auto& [at, is] : all[i].ends)
                if (is == Stands{})
                    after.erase(at);
                else
                    after[at] = is;
            order.push_back(i);
            if (go(done | (std::uint32_t{1} << i), after)) return true;
            order.pop_back();
        }
        dead.emplace(done, state);
        return false;
    };
    if (!go(0, {})) return std::nullopt;
    return order;
}

} // namespace benchleaf::proof
