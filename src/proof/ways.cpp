#include "proof/ways.h"

#include <algorithm>
#include <unordered_set>

namespace benchleaf::proof {

namespace {

std::uint64_t pair_of(Way a, Way b) {
    return std::uint64_t{a} << 32U | b;
}

} // namespace

std::size_t Ways::StandingHash::operator()(const Standing& s) const noexcept {
    const auto mix = [](std::size_t h, std::size_t with) {
        h = (h ^ with) * 0x9E3779B97F4A7C15ULL;
        return h ^ h >> 29U;
    };
    std::size_t h = mix(s.bits ^ std::size_t{s.place} << 56U, s.on);
    h = mix(h, std::hash<const void*>()(s.placed));
    h = mix(h, std::hash<const void*>()(s.indebted));
    return mix(h, std::hash<const void*>()(s.coated));
}

Ways::Ways() {
    nodes_.push_back({leaf_question, 0, 0}); // ended
    nodes_.push_back({leaf_question, 0, 0}); // going
    leaves_.push_back({});
}

Way Ways::of(const Standing& standing) {
    const auto [at, fresh] = known_leaves_.try_emplace(standing, static_cast<Way>(nodes_.size()));
    if (fresh) {
        nodes_.push_back({leaf_question, static_cast<Way>(leaves_.size()), 0});
        leaves_.push_back(standing);
    }
    return at->second;
}

Way Ways::node(Asked q, Way yes, Way no) {
    if (yes == no) return yes;
    const auto [at, fresh] = known_.try_emplace({q, pair_of(yes, no)}, static_cast<Way>(nodes_.size()));
    if (fresh) nodes_.push_back({q, yes, no});
    return at->second;
}

Way Ways::either(Asked q, Way yes, Way no) {
    if (yes == no) return yes;
    std::unordered_map<std::uint64_t, Way> done;
    const std::function<Way(Way, Way)> go = [&](Way a, Way b) -> Way {
        if (a == b) return a;
        const Asked top = std::min(question(a), question(b));
        if (top > q) return node(q, a, b);
        if (top == q) return node(q, side(a, q, true), side(b, q, false));
        const auto found = done.find(pair_of(a, b));
        if (found != done.end()) return found->second;
        const Way made =
            node(top, go(side(a, top, true), side(b, top, true)), go(side(a, top, false), side(b, top, false)));
        done.emplace(pair_of(a, b), made);
        return made;
    };
    return go(yes, no);
}

Way Ways::given(Way way, const Answers& answers) {
    if (answers.empty() || is_leaf(way)) return way;
    std::unordered_map<Way, Way> done;
    const std::function<Way(Way)> go = [&](Way w) -> Way {
        if (is_leaf(w)) return w;
        const auto found = done.find(w);
        if (found != done.end()) return found->second;
        const Node n = nodes_[w];
        const auto answer =
            std::find_if(answers.begin(), answers.end(), [&](const auto& a) { return a.first == n.question; });
        const Way made =
            answer == answers.end() ? node(n.question, go(n.yes), go(n.no)) : go(answer->second ? n.yes : n.no);
        done.emplace(w, made);
        return made;
    };
    return go(way);
}

Way Ways::where(Way way, Way alive) {
    if (alive == going) return way;
    if (alive == ended) return ended;
    std::unordered_map<std::uint64_t, Way> done;
    const std::function<Way(Way, Way)> go = [&](Way w, Way a) -> Way {
        if (a == going || w == ended) return w;
        if (a == ended) return ended;
        const auto found = done.find(pair_of(w, a));
        if (found != done.end()) return found->second;
        const Asked top = std::min(question(w), question(a));
        const Way made =
            node(top, go(side(w, top, true), side(a, top, true)), go(side(w, top, false), side(a, top, false)));
        done.emplace(pair_of(w, a), made);
        return made;
    };
    return go(way, alive);
}

Way Ways::join(Way a, Way b, const Merge& merge) {
    std::unordered_map<std::uint64_t, Way> done;
    const std::function<Way(Way, Way)> go = [&](Way x, Way y) -> Way {
        if (x == y || y == ended) return x;
        if (x == ended) return y;
        const auto found = done.find(pair_of(x, y));
        if (found != done.end()) return found->second;
        Way made = 0;
        if (is_leaf(x) && is_leaf(y)) {
            const Standing first = standing(x);
            const Standing second = standing(y);
            made = first.same_state(second) ? x : of(merge(first, second));
        } else {
            const Asked top = std::min(question(x), question(y));
            const Way yes = go(side(x, top, true), side(y, top, true));
            const Way no = go(side(x, top, false), side(y, top, false));
            made = node(top, yes, no);
        }
        done.emplace(pair_of(x, y), made);
        return made;
    };
    return go(a, b);
}

Way Ways::either_alive(Way a, Way b) {
    std::unordered_map<std::uint64_t, Way> done;
    const std::function<Way(Way, Way)> go = [&](Way x, Way y) -> Way {
        if (x == y || y == ended || x == going) return x;
        if (x == ended || y == going) return y;
        const auto found = done.find(pair_of(x, y));
        if (found != done.end()) return found->second;
        const Asked top = std::min(question(x), question(y));
        const Way made =
            node(top, go(side(x, top, true), side(y, top, true)), go(side(x, top, false), side(y, top, false)));
        done.emplace(pair_of(x, y), made);
        return made;
    };
    return go(a, b);
}

bool Ways::same_state(Way a, Way b) const {
    std::unordered_set<std::uint64_t> seen;
    const std::function<bool(Way, Way)> go = [&](Way x, Way y) {
        if (x == y || !seen.insert(pair_of(x, y)).second) return true;
        if (x == ended || y == ended) return false;
        if (is_leaf(x) && is_leaf(y)) return standing(x).same_state(standing(y));
        const Asked top = std::min(question(x), question(y));
        return go(side(x, top, true), side(y, top, true)) && go(side(x, top, false), side(y, top, false));
    };
    return go(a, b);
}

void Ways::each(Way way, const See& see) const {
    Answers answers;
    if (is_leaf(way)) {
        if (way != ended && way != going) see(standing(way), answers);
        return;
    }
    std::unordered_set<Way> seen;
    const std::function<bool(Way)> visit = [&](Way w) {
        if (w == ended || w == going || !seen.insert(w).second) return true;
        if (is_leaf(w)) return see(standing(w), answers);
        const Node& n = nodes_[w];
        for (const bool yes : {true, false}) {
            answers.emplace_back(n.question, yes);
            const bool go_on = visit(yes ? n.yes : n.no);
            answers.pop_back();
            if (!go_on) return false;
        }
        return true;
    };
    visit(way);
}

Way Ways::so(Way way, const std::function<bool(const Standing&)>& is) {
    std::unordered_map<Way, Way> done;
    const std::function<Way(Way)> go = [&](Way w) -> Way {
        if (w == ended || w == going) return ended;
        if (is_leaf(w)) return is(standing(w)) ? going : ended;
        const auto found = done.find(w);
        if (found != done.end()) return found->second;
        const Node n = nodes_[w];
        const Way yes = go(n.yes);
        const Way made = node(n.question, yes, go(n.no));
        done.emplace(w, made);
        return made;
    };
    return go(way);
}

Way Ways::changed(Way way, const std::function<Standing(const Standing&)>& change) {
    if (way == ended || way == going) return way;
    if (is_leaf(way)) {
        const Standing before = standing(way);
        return of(change(before));
    }
    std::unordered_map<Way, Way> done;
    const std::function<Way(Way)> go = [&](Way w) -> Way {
        if (w == ended || w == going) return w;
        const auto found = done.find(w);
        if (found != done.end()) return found->second;
        Way made = 0;
        if (is_leaf(w)) {
            const Standing before = standing(w);
            made = of(change(before));
        } else {
            const Node n = nodes_[w];
            const Way yes = go(n.yes);
            made = node(n.question, yes, go(n.no));
        }
        done.emplace(w, made);
        return made;
    };
    return go(way);
}

} // namespace benchleaf::proof
