// The Syntax as text, one node a line: its kind, its place in the file, its value.
#include "syntax/syntax.h"

#include <fmt/format.h>
#include <utility>

namespace benchleaf::syntax {

namespace {

std::string_view name_of(Kind kind) {
    switch (kind) {
    case Kind::scalar:
        return "text";
    case Kind::list:
        return "list";
    case Kind::map:
        return "map";
    case Kind::empty:
        return "empty";
    case Kind::hole:
        return "hole";
    }
    return "?";
}

std::string visible(std::string_view text) {
    std::string to;
    for (const char c : text) {
        if (c == '\n')
            to += "\\n";
        else if (c == '\t')
            to += "\\t";
        else if (c == '\\' || c == '"')
            to += {'\\', c};
        else
            to += c;
    }
    return to;
}

void dump_node(const Syntax& syntax, const source::Sources& sources, NodeId id, std::size_t depth, std::string& to) {
    const Node& node = syntax.at(id);
    const auto begin = sources.position(node.span.file, node.span.begin);
    const auto end = sources.position(node.span.file, node.span.end);
    to += fmt::format("{:{}}{} {}:{}-{}:{}", "", depth * 2, name_of(node.kind), begin.line, begin.column, end.line,
                      end.column);
    if (node.kind == Kind::scalar) to += fmt::format(" \"{}\"", visible(node.text));
    to += '\n';
    if (depth > most_depth) return;
    for (const NodeId child : syntax.children(id)) dump_node(syntax, sources, child, depth + 1, to);
}

} // namespace

std::string dump(const Syntax& syntax, const source::Sources& sources) {
    std::string to;
    if (syntax.root.known()) dump_node(syntax, sources, syntax.root, 0, to);
    return to;
}

} // namespace benchleaf::syntax
