// What a YAML file says, before anything is known about workshops: scalars as text, lists and maps, each with its span.
// One file gives one Syntax. What could not be read is a node of kind `hole` (and was reported), which readers step
// over in silence.
//
// Nodes lie in one array in the order of the file. A list's children are its entries; a map's children are key, value,
// key, value. Walk them with `children()`:
//
//     for (NodeId entry : syntax.children(list)) …
#pragma once

#include "base/id.h"
#include "messages/message.h"
#include "source/source.h"

#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::syntax {

using NodeId = base::Id<struct NodeTag>;

enum class Kind : std::uint8_t { scalar, list, map, empty, hole }; // empty: a key with nothing after its colon
enum class Style : std::uint8_t { plain, single_quoted, double_quoted, literal, folded, flow, block };

struct Node {
    Kind kind = Kind::hole;
    Style style = Style::plain;
    source::Span span;     // of a scalar: its very text, quotes included; of a list or map: first to last child,
                           // brackets included
    std::string_view text; // of a scalar: its value
    NodeId first_child;
    NodeId next;                // the next sibling
    std::uint32_t children = 0; // a map counts keys and values
};

struct Syntax {
    Syntax() = default;
    Syntax(Syntax&&) = default; // moved, its texts stay where they are; a copy would look into the texts of another
    Syntax& operator=(Syntax&&) = default;

    source::FileId file;
    std::vector<Node> nodes;
    NodeId root;
    std::deque<std::string> texts; // owns the texts that differ from their spelling

    const Node& at(NodeId id) const { return nodes[id.index()]; }

    class Children {
    public:
        struct Iterator {
            const Syntax* syntax;
            NodeId id;
            NodeId operator*() const { return id; }
            Iterator& operator++() {
                id = syntax->at(id).next;
                return *this;
            }
            bool operator!=(const Iterator& other) const { return id != other.id; }
        };
        Children(const Syntax& syntax, NodeId first) : syntax_(&syntax), first_(first) {}
        Iterator begin() const { return {syntax_, first_}; }
        Iterator end() const { return {syntax_, NodeId()}; }

    private:
        const Syntax* syntax_;
        NodeId first_;
    };
    Children children(NodeId id) const { return {*this, at(id).first_child}; }

    // The value of `key` in the map `map`, or nothing.
    NodeId value_of(NodeId map, std::string_view key) const;
};

// Bounds that no procedure of a shop comes near; beyond them a file is refused with a message.
inline constexpr std::size_t most_bytes = 4U << 20U;
inline constexpr std::size_t most_depth = 64;

// Where the driver adds a file to its Sources: the text behind a byte order mark, which offsets do not count.
std::string_view without_byte_order_mark(std::string_view bytes);

// What is spelled in the common way is arranged without yaml-cpp, ten times as fast; `twice` has yaml-cpp read all, for tests that hold the
// two against each other.
enum class Reading : std::uint8_t { quick, twice };

// Reads one file of `sources`. Never throws, whatever the bytes. The texts of nodes point into `sources` or into the
// Syntax.
Syntax parse(const source::Sources& sources, source::FileId file, messages::Messages& messages,
             Reading reading = Reading::quick);

std::string dump(const Syntax& syntax, const source::Sources& sources);

} // namespace benchleaf::syntax
