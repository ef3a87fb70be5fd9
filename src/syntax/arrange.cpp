#include "syntax/arrange.h"

namespace benchleaf::syntax {

namespace {

class Arranger {
public:
    Arranger(const Input& in, const std::vector<Token>& tokens, Syntax& syntax)
        : in_(in), tokens_(tokens), nodes_(syntax.nodes) {
        nodes_.reserve(tokens.size());
    }

    bool all() { return block(-1, Around::file, 0) && next_ == tokens_.size(); }

private:
    enum class Around : std::uint8_t { file, map, list }; // what a node stands in

    // The children of a list or map that is open.
    struct Children {
        NodeId of;
        NodeId last;
        std::uint32_t count = 0;
    };

    const Input& in_;
    const std::vector<Token>& tokens_;
    std::vector<Node>& nodes_;
    std::size_t next_ = 0;
    std::vector<Children> open_;

    bool at(TokenKind kind, std::size_t ahead = 0) const {
        return next_ + ahead < tokens_.size() && tokens_[next_ + ahead].kind == kind;
    }
    bool at_key() const { return at(TokenKind::scalar) && at(TokenKind::colon, 1); }

    NodeId add(Kind kind, Style style, std::uint32_t begin, std::uint32_t end) {
        const NodeId id(nodes_.size());
        Node& node = nodes_.emplace_back();
        node.kind = kind;
        node.style = style;
        node.span = in_.span(begin, end);
        if (!open_.empty()) {
            Children& among = open_.back();
            (among.count == 0 ? nodes_[among.of.index()].first_child : nodes_[among.last.index()].next) = id;
            among.last = id;
            ++among.count;
        }
        return id;
    }

    bool scalar() {
        const Token& token = tokens_[next_];
        // Texts over several lines behind a `|` or `>`: how their lines are joined is yaml-cpp's to say.
        if (token.style == Style::literal || token.style == Style::folded) return false;
        nodes_[add(Kind::scalar, token.style, token.begin, token.end).index()].text = token.text;
        ++next_;
        return true;
    }

    void empty() {
        const std::uint32_t end = tokens_[next_ - 1].end;
        add(Kind::empty, Style::plain, end, end);
    }

    bool enter(Kind kind, Style style) {
        if (open_.size() >= most_depth) return false;
        const Token& token = tokens_[next_];
        open_.push_back({add(kind, style, token.begin, token.end), {}, 0});
        return true;
    }

    bool leave() {
        Node& node = nodes_[open_.back().of.index()];
        node.children = open_.back().count;
        node.span.end = tokens_[next_ - 1].end;
        open_.pop_back();
        return true;
    }

    // What stands behind a key or a dash that begins in column `parent` on that line, or further in below it; a file's whole.
    bool block(long parent, Around around, std::uint32_t line) {
        if (next_ >= tokens_.size()) return after_key(around);
        const Token& token = tokens_[next_];
        const bool beside = around != Around::file && token.line == line;
        const long column = static_cast<long>(token.column);
        if (!beside) {
            if (!token.first_on_line) return false;
            const bool list_at_key = around == Around::map && column == parent && token.kind == TokenKind::dash;
            if (column <= parent && !list_at_key) return after_key(around);
        }
        switch (token.kind) {
        case TokenKind::dash:
            return !(beside && around == Around::map) && list(column);
        case TokenKind::scalar:
            if (!at_key()) return around != Around::file && scalar(); // a file of one word
            return !(beside && around == Around::map) && map(column);
        case TokenKind::open_list:
            return around != Around::file && bracketed_list();
        case TokenKind::open_map:
            return around != Around::file && bracketed_map();
        default:
            return false;
        }
    }

    // Nothing stands behind a key; behind a dash something has to.
    bool after_key(Around around) {
        if (around != Around::map) return false;
        empty();
        return true;
    }

    // Does one more entry begin in this column? Else what follows belongs further out: whoever has that column takes it.
    bool another(long column) const {
        return next_ < tokens_.size() && tokens_[next_].first_on_line &&
               static_cast<long>(tokens_[next_].column) == column;
    }

    bool list(long column) {
        if (!enter(Kind::list, Style::block)) return false;
        do {
            const std::uint32_t line = tokens_[next_].line;
            ++next_;
            if (!block(column, Around::list, line)) return false;
        } while (another(column) && at(TokenKind::dash));
        return leave();
    }

    bool map(long column) {
        if (!enter(Kind::map, Style::block)) return false;
        do {
            const std::uint32_t line = tokens_[next_].line;
            if (!key() || !block(column, Around::map, line)) return false;
        } while (another(column) && at_key());
        return leave();
    }

    // With its colon, which stands on its line and has a blank behind it.
    bool key() {
        if (!at_key() || tokens_[next_ + 1].line != tokens_[next_].line || !scalar()) return false;
        const std::size_t behind = tokens_[next_++].end;
        return behind >= in_.text.size() ||
               std::string_view(" \t\r\n").find(in_.text[behind]) != std::string_view::npos;
    }

    bool on_one_line(const Token& token) const {
        return in_.text.substr(token.begin, token.end - token.begin).find('\n') == std::string_view::npos;
    }

    bool bracketed(TokenKind closer) {
        switch (tokens_[next_].kind) {
        case TokenKind::scalar:
            return on_one_line(tokens_[next_]) && scalar();
        case TokenKind::open_list:
            return bracketed_list();
        case TokenKind::open_map:
            return bracketed_map();
        case TokenKind::comma:
            empty(); // of a key
            return true;
        default:
            if (tokens_[next_].kind != closer) return false;
            empty();
            return true;
        }
    }

    // Behind an entry: the comma before another one, or the bracket that closes. A comma may stand before that, too.
    bool goes_on(TokenKind closer) {
        if (!at(TokenKind::comma)) return false;
        ++next_;
        return !at(closer);
    }

    bool close(TokenKind closer) {
        if (!at(closer)) return false;
        ++next_;
        return leave();
    }

    bool bracketed_list() {
        if (!enter(Kind::list, Style::flow)) return false;
        ++next_;
        if (at(TokenKind::close_list)) return close(TokenKind::close_list);
        do {
            if (next_ >= tokens_.size() || at_key() || at(TokenKind::comma)) return false;
            if (!bracketed(TokenKind::close_list)) return false;
        } while (goes_on(TokenKind::close_list));
        return close(TokenKind::close_list);
    }

    bool bracketed_map() {
        if (!enter(Kind::map, Style::flow)) return false;
        ++next_;
        if (at(TokenKind::close_map)) return close(TokenKind::close_map);
        do {
            if (!key() || next_ >= tokens_.size() || !bracketed(TokenKind::close_map)) return false;
        } while (goes_on(TokenKind::close_map));
        return close(TokenKind::close_map);
    }
};

} // namespace

bool arrange(const Input& in, const Tokens& tokens, Syntax& syntax) {
    if (!Arranger(in, tokens.all, syntax).all()) {
        syntax.nodes.clear();
        return false;
    }
    syntax.root = NodeId(std::size_t{0});
    return true;
}

} // namespace benchleaf::syntax
