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

void look_at_map(const Input& in, Syntax& syntax, NodeId map, std::vector<Key>& keys, std::size_t& said) {
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
    std::vector<const Key*> again;
    for (const Key& key : keys) {
        if (!first || first->text != key.text) {
            first = &key;
            continue;
        }
        again.push_back(&key);
        if (reported == first || said == most_said) continue; // one message a key, however often it is said
        reported = first;
        ++said;
        auto& message = in.out->add(checks::duplicate_key.rule, syntax.at(key.id).span,
                                    fmt::format("`{}` is said twice", key.text), "said again here");
        message.labels.push_back({syntax.at(first->id).span, "said first here"});
        message.help = "keep one of the two";
    }
    // From the back, so that the pair before is still in the chain.
    std::sort(again.begin(), again.end(), [](const Key* a, const Key* b) { return a->order > b->order; });
    for (const Key* key : again) {
        const NodeId value = syntax.at(key->id).next;
        syntax.nodes[key->before.index()].next = syntax.at(value).next;
        syntax.nodes[map.index()].children -= 2;
    }
}

} // namespace

void duplicate_keys(const Input& in, Syntax& syntax) {
    std::vector<Key> keys;
    std::size_t said = 0;
    for (std::size_t i = 0; i < syntax.nodes.size(); ++i)
        if (syntax.nodes[i].kind == Kind::map && syntax.nodes[i].children > 2)
            look_at_map(in, syntax, NodeId(i), keys, said);
}

} // namespace found
} // namespace benchleaf::syntax
