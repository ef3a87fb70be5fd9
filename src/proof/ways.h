// A value that may depend on how questions were answered. Most do not, and are a single leaf. Where a later `if-answered` names a question, what
// its ways left is kept apart until then: a decision diagram over the answers, shared and in a fixed order of questions, so that ways
// which agree again are one again. Questions that nothing names later never enter a diagram: their ways are joined at once.
//
// The same diagrams say on which ways the work still goes on (`alive`): a `stop` ends some.
#pragma once

#include "proof/standing.h"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <unordered_map>
#include <utility>
#include <vector>

namespace benchleaf::proof {

using Way = std::uint32_t;   // a node of the diagram
using Asked = std::uint32_t; // a question as it was asked once, in the order of asking
using Answers = std::vector<std::pair<Asked, bool>>;

class Ways {
public:
    static constexpr Way ended = 0; // no way at all; of `alive`: the work has stopped
    static constexpr Way going = 1; // of `alive`: the work goes on

    Ways();

    Way of(const Standing& standing);
    // `yes` where the question was answered yes, `no` where no.
    Way either(Asked question, Way yes, Way no);
    // What holds given the answers.
    Way given(Way way, const Answers& answers);
    // `way` where `alive`, ended elsewhere.
    Way where(Way way, Way alive);
    bool is_leaf(Way way) const { return nodes_[way].question == leaf_question; }
    const Standing& standing(Way leaf) const { return leaves_[nodes_[leaf].yes]; }

    // Leaf by leaf over both; `ended` gives way to the other. `merge` joins two standings that differ.
    using Merge = std::function<Standing(const Standing&, const Standing&)>;
    Way join(Way a, Way b, const Merge& merge);
    Way either_alive(Way a, Way b); // the same for `alive`

    // The same places and debts on the same ways, whichever rows brought them about.
    bool same_state(Way a, Way b) const;

    // Each standing that is reached, once, with the answers of one way that leads to it; stops when `see` returns false. (There may
    // be as many ways as two to the number of questions: only what they share is visited.)
    using See = std::function<bool(const Standing&, const Answers&)>;
    void each(Way way, const See& see) const;
    // On which ways a standing is so: a diagram like that of `alive`.
    Way so(Way way, const std::function<bool(const Standing&)>& is);
    // Changes each standing.
    Way changed(Way way, const std::function<Standing(const Standing&)>& change);

    std::size_t size() const { return nodes_.size(); }

private:
    static constexpr Asked leaf_question = 0xFFFFFFFF;
    struct Node {
        Asked question;
        Way yes; // of a leaf: which standing
        Way no;
    };
    using Pair = std::uint64_t;
    Way node(Asked question, Way yes, Way no);
    Asked question(Way way) const { return nodes_[way].question; }
    Way side(Way way, Asked q, bool yes) const {
        return nodes_[way].question == q ? (yes ? nodes_[way].yes : nodes_[way].no) : way;
    }

    std::vector<Node> nodes_;
    std::vector<Standing> leaves_;
    struct NodeHash {
        std::size_t operator()(const std::pair<Asked, Pair>& key) const noexcept {
            return std::hash<std::uint64_t>()(key.second * 0x9E3779B97F4A7C15ULL ^ key.first);
        }
    };
    struct StandingHash {
        std::size_t operator()(const Standing& s) const noexcept;
    };
    std::unordered_map<std::pair<Asked, Pair>, Way, NodeHash> known_;
    std::unordered_map<Standing, Way, StandingHash> known_leaves_;
};

} // namespace benchleaf::proof
