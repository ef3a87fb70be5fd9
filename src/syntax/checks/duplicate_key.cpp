#include "syntax/reports.h"

#include <algorithm>
#include <fmt/format.h>
#include <tuple>
#include <vector>

namespace benchleaf::syntax {

const Check checks::duplicate_key = {{"duplicate-key", messages::Level::error, "a key said twice in one map"}};

namespace found {

namespace {

struct Key {
    std::string_view text;
    std::uint32_t order;
    NodeId id;
    NodeId before; // the value of the pair before
};

constexpr std::size_t most_said = 100; // of a file that is hardly a shop's

bool all_texts(const Syntax& syntax, NodeId list) {
    for (const NodeId each : syntax.children(list))
        if (syntax.at(each).kind != Kind::scalar) return false;
    return true;
}

// What was said the second time is not lost, or much would seem to be missing: two maps are read as one, and two lists of texts. Which of
// two lists of steps, and which of two things that one step says, was meant nobody knows: that is a hole.
void join(Syntax& syntax, NodeId first, NodeId second, bool in_step) {
    Node& a = syntax.nodes[first.index()];
    Node& b = syntax.nodes[second.index()];
    const bool lists = a.kind == Kind::list && b.kind == Kind::list;
    const bool both_texts = lists && all_texts(syntax, first) && all_texts(syntax, second);
    if ((a.kind == Kind::map && b.kind == Kind::map) || both_texts) {
        NodeId last;
        for (const NodeId each : syntax.children(first)) last = each;
        if (last.known())
            syntax.nodes[last.index()].next = b.first_child;
        else
            a.first_child = b.first_child;
        a.children += b.children;
        b.first_child = NodeId();
        b.children = 0;
    } else if (lists || (in_step && !(a.kind == Kind::scalar && b.kind == Kind::scalar && a.text == b.text))) {
        a.kind = Kind::hole;
        a.first_child = NodeId();
        a.children = 0;
    }
}

// `joined`: of each node, whether it is a map that was joined from two, of which enough was said.
void look_at_map(const Input& in, Syntax& syntax, NodeId map, bool in_step, std::vector<char>& joined,
                 std::vector<Key>& keys, std::size_t& said) {
    keys.clear();
    NodeId before;
    for (NodeId key = syntax.at(map).first_child; key.known(); key = syntax.at(before).next) {
        keys.push_back({syntax.at(key).text, static_cast<std::uint32_t>(keys.size()), key, before});
        before = syntax.at(key).next;
    }
    std::sort(keys.begin(), keys.end(),
              [](const Key& a, const Key& b) { return std::tie(a.text, a.order) < std::tie(b.text, b.order); });
    const Key* first = nullptr;
    const Key* reported = nullptr;
    struct Again {
        const Key* key;
        NodeId first;
    };
    std::vector<Again> again;
    for (const Key& key : keys) {
        if (!first || first->text != key.text) {
            first = &key;
            continue;
        }
        again.push_back({&key, first->id});
        if (joined[map.index()] != 0) continue;
        if (reported == first || said == most_said) continue; // one message a key, however often it is said
        reported = first;
        ++said;
        auto& message = in.out->add(checks::duplicate_key.rule, syntax.at(key.id).span,
                                    fmt::format("`{}` is said twice", key.text), "said again here");
        message.labels.push_back({syntax.at(first->id).span, "said first here"});
        // What a step does stands first in it.
        message.help = in_step && first->order == 0
                           ? "start the second with a dash if it is a step of its own; else keep one of the two"
                           : "keep one of the two, with what stands under both";
    }
    // From the back, so that the pair before is still in the chain.
    std::sort(again.begin(), again.end(), [](const Again& a, const Again& b) { return a.key->order > b.key->order; });
    for (const Again& each : again) {
        const NodeId value = syntax.at(each.key->id).next;
        syntax.nodes[each.key->before.index()].next = syntax.at(value).next;
        const NodeId stays = syntax.at(each.first).next;
        join(syntax, stays, value, in_step);
        joined[stays.index()] = 1;
        syntax.nodes[map.index()].children -= 2;
    }
}

} // namespace

void duplicate_keys(const Input& in, Syntax& syntax) {
    std::vector<Key> keys;
    std::size_t said = 0;
    std::vector<char> entries(syntax.nodes.size(), 0); // of a list
    for (std::size_t i = 0; i < syntax.nodes.size(); ++i)
        if (syntax.nodes[i].kind == Kind::list)
            for (const NodeId each : syntax.children(NodeId(i))) entries[each.index()] = 1;
    std::vector<char> joined(syntax.nodes.size(), 0);
    // A map comes before what is in it.
    for (std::size_t i = 0; i < syntax.nodes.size(); ++i)
        if (syntax.nodes[i].kind == Kind::map && syntax.nodes[i].children > 2)
            look_at_map(in, syntax, NodeId(i), entries[i] != 0, joined, keys, said);
}

} // namespace found
} // namespace benchleaf::syntax
