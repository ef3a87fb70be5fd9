#include "proof/ways.h"

#include <algorithm>

namespace benchleaf::proof {

namespace {

std::uint64_t pair_of(Way a, Way b) {
    return std::uint64_t{a} << 32U | b;
}

} // namespace

std::size_t Ways::StandingHash::operator()(const Standing& s) const noexcept {
    std::size_t h = std::hash<std::uint64_t>()(s.bits * 0x9E3779B97F4A7C15ULL ^ s.place);
    h = h * 31 + std::hash<const void*>()(s.placed);
    return h * 31 + std::hash<const void*>()(s.indebted);
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

bool Ways::depends_on(Way way, Asked q) {
    if (is_leaf(way) || question(way) > q) return false;
    if (question(way) == q) return true;
    return depends_on(nodes_[way].yes, q) || depends_on(nodes_[way].no, q);
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
    if (a == b || b == ended || a == going) return a;
    if (a == ended || b == going) return b;
    const Asked top = std::min(question(a), question(b));
    const Way yes = either_alive(side(a, top, true), side(b, top, true));
    const Way no = either_alive(side(a, top, false), side(b, top, false));
    return node(top, yes, no);
}

bool Ways::visit(Way way, Answers& answers, const See& see) const {
    if (way == ended || way == going) return true;
    if (is_leaf(way)) return see(standing(way), answers);
    const Node& n = nodes_[way];
    for (const bool yes : {true, false}) {
        answers.emplace_back(n.question, yes);
        const bool go_on = visit(yes ? n.yes : n.no, answers, see);
        answers.pop_back();
        if (!go_on) return false;
    }
    return true;
}

void Ways::each(Way way, const See& see) const {
    Answers answers;
    visit(way, answers, see);
}

Way Ways::changed(Way way, const std::function<Standing(const Standing&)>& change) {
    if (way == ended || way == going) return way;
    if (is_leaf(way)) {
        const Standing before = standing(way);
        return of(change(before));
    }
    const Node n = nodes_[way];
    const Way yes = changed(n.yes, change);
    const Way no = changed(n.no, change);
    return node(n.question, yes, no);
}

} // namespace benchleaf::proof
