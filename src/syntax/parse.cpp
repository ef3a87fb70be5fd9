// The second reading, of what is not spelled in the common way (arrange.h): yaml-cpp's events take the scanner's tokens one by one. Both
// must agree on every token, or the file is refused; so nothing that one of them misreads is lost in silence.
#include "base/text.h"
#include "syntax/arrange.h"
#include "syntax/scan.h"

#include <fmt/format.h>
#include <istream>
#include <streambuf>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

namespace benchleaf::syntax {

namespace {

struct Stop {}; // a mistake was reported; leaves yaml-cpp

class ViewBuffer : public std::streambuf {
public:
    explicit ViewBuffer(std::string_view text) {
        char* begin = const_cast<char*>(text.data()); // never written to: there is only a get area
        setg(begin, begin, begin + text.size());
    }
};

class Builder : public YAML::EventHandler {
public:
    Builder(const Input& in, Tokens& tokens, Syntax& syntax) : in_(in), tokens_(tokens.all), syntax_(syntax) {
        syntax_.nodes.reserve(tokens_.size());
    }

    void OnDocumentStart(const YAML::Mark&) override {}
    void OnDocumentEnd() override {
        if (next_ < tokens_.size()) disagree(next_);
    }

    void OnNull(const YAML::Mark& mark, YAML::anchor_t) override {
        if (open_.empty()) disagree(next_);
        Open& frame = open_.back();
        const bool value = frame.map && frame.children % 2 == 1;
        if (value && !at(TokenKind::colon)) {
            // Only in brackets can a key go without a colon.
            const Token& key = tokens_[next_ - 1];
            const bool after_text = next_ >= 4 && tokens_[next_ - 2].kind == TokenKind::comma &&
                                    tokens_[next_ - 3].kind == TokenKind::scalar &&
                                    tokens_[next_ - 3].style == Style::plain;
            if (after_text && comma_in_figure(tokens_[next_ - 3], key)) throw Stop{};
            const std::size_t colon = key.style == Style::plain ? key.text.find(':') : std::string_view::npos;
            const bool glued = colon != std::string_view::npos;
            // `{ frame down }`
            const std::size_t blank = key.style == Style::plain ? key.text.find(' ') : std::string_view::npos;
            const bool words = blank != std::string_view::npos && base::is_kebab_case(key.text.substr(0, blank));
            const std::string meant =
                words ? fmt::format("{}: {}", key.text.substr(0, blank), base::trimmed(key.text.substr(blank)))
                      : std::string("key: value");
            auto& message = found::bad_yaml(
                in_, in_.span(key.begin, key.end), "a key without a colon and a value",
                glued        ? std::string("put a space after the colon")
                : after_text ? fmt::format("write `{}`; a text with a comma in it goes in quotes", meant)
                             : fmt::format("write `{}`", meant));
            if (glued && base::is_kebab_case(key.text.substr(0, colon)) &&
                key.text.find(':', colon + 1) == std::string_view::npos && !base::is_digit(key.text.front())) {
                const std::size_t after = key.begin + colon + 1;
                message.fixes.push_back({"put a space after the colon", {{in_.span(after, after), " "}}});
            }
            if (after_text && !glued) found::curly_quotes(in_, tokens_[next_ - 3].begin, message);
            throw Stop{};
        }
        if (frame.map && !value && at(TokenKind::colon))
            refuse_key(tokens_[next_], "a colon without a key before it", "write the key, or put the text in quotes");
        before_node();
        // yaml-cpp calls `~` and `null` nothing too. Here they are texts like any other.
        if (at(TokenKind::scalar) && tokens_[next_].begin == position(mark) && tokens_[next_].style == Style::plain &&
            next_is_here()) {
            take_scalar(nullptr);
            return;
        }
        if (frame.map && !value) disagree(next_);
        if (!frame.map && frame.flow) disagree(next_);
        if (!frame.map) {
            // An empty step is a slip; and readers of YAML do not agree on `-` above a key in the same column.
            const Token& dash = tokens_[next_ - 1];
            found::bad_yaml(in_, in_.span(dash.begin, dash.end), "nothing follows this dash",
                            "write the entry, or take the dash out");
            throw Stop{};
        }
        const std::uint32_t end = tokens_[next_ - 1].end;
        add(Kind::empty, Style::plain, in_.span(end, end));
    }

    void OnAlias(const YAML::Mark&, YAML::anchor_t) override { disagree(next_); }

    void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  const std::string& value) override {
        before_node();
        if (!at(TokenKind::scalar) || tokens_[next_].begin != position(mark) || anchor != 0 ||
            (tag != "?" && tag != "!"))
            disagree(next_);
        take_scalar(&value);
    }

    void OnSequenceStart(const YAML::Mark&, const std::string&, YAML::anchor_t,
                         YAML::EmitterStyle::value style) override {
        start(false, style == YAML::EmitterStyle::Flow);
    }
    void OnMapStart(const YAML::Mark&, const std::string&, YAML::anchor_t, YAML::EmitterStyle::value style) override {
        start(true, style == YAML::EmitterStyle::Flow);
    }
    void OnSequenceEnd() override { end(TokenKind::close_list); }
    void OnMapEnd() override { end(TokenKind::close_map); }

    // Where the reading stands, for the wording of what yaml-cpp threw.
    std::size_t next() const { return next_; }
    long innermost_column() const { return open_.empty() ? -1 : open_.back().column; }

private:
    struct Open {
        NodeId node;
        NodeId last_child;
        std::uint32_t children = 0;
        bool map = false;
        bool flow = false;
        bool bare = false; // a single pair of a list in brackets: [a: b]
        long column = -1;  // of the keys or dashes of a block
        std::uint32_t begin = 0;
    };

    const Input& in_;
    const std::vector<Token>& tokens_;
    Syntax& syntax_;
    std::vector<Open> open_;
    std::size_t next_ = 0;

    static std::uint32_t position(const YAML::Mark& mark) { return static_cast<std::uint32_t>(mark.pos); }
    bool at(TokenKind kind) const { return next_ < tokens_.size() && tokens_[next_].kind == kind; }

    // A scalar token directly after its dash or colon belongs to it only if it is further in than the block.
    bool next_is_here() const {
        const Token& token = tokens_[next_];
        const Open& frame = open_.back();
        const bool key = frame.map && frame.children % 2 == 0;
        return key || frame.flow || !token.first_on_line || static_cast<long>(token.column) > frame.column;
    }

    // `{ minimum: 2,5 mm }`: in braces the comma ends the value.
    bool comma_in_figure(const Token& before, const Token& after) const {
        if (before.end + 1 != after.begin || !base::is_digit(before.text.back()) || !base::is_digit(after.text.front()))
            return false;
        std::size_t whole = 0; // digits in front of the comma
        while (whole < before.text.size() && base::is_digit(before.text[before.text.size() - 1 - whole])) ++whole;
        std::size_t part = 0;
        while (part < after.text.size() && base::is_digit(after.text[part])) ++part;
        const source::Span at = in_.span(before.end - whole, after.begin + part);
        const std::string better = fmt::format("{}.{}", in_.text.substr(at.begin, whole), after.text.substr(0, part));
        const bool thousands = part == 3; // may be meant: `12,460 km`
        auto& message =
            found::bad_yaml(in_, at, "a comma inside a number ends it",
                            thousands ? "the decimal mark is a point, as in `2.5`; thousands are parted by a "
                                        "space, as in `12 460`"
                                      : fmt::format("the decimal mark is a point: write `{}`", better));
        if (!thousands) message.fixes.push_back({fmt::format("write `{}`", better), {{at, better}}});
        return true;
    }

    [[noreturn]] void disagree(std::size_t token) const;
    [[noreturn]] void refuse_key(const Token& token, const char* text, const char* help) const {
        found::key_not_a_name(in_, in_.span(token.begin, token.end), text, help);
        throw Stop{};
    }
    void take(TokenKind kind) {
        if (!at(kind)) disagree(next_);
        ++next_;
    }

    // Takes the dash, colon or comma that has to stand before a node here.
    void before_node() {
        if (open_.empty()) return;
        Open& frame = open_.back();
        if (!frame.map && !frame.flow) {
            line_up(frame);
            take(TokenKind::dash);
        } else if (!frame.map) {
            if (frame.children > 0) take(TokenKind::comma);
        } else if (frame.children % 2 == 1) {
            take(TokenKind::colon);
        } else if (frame.flow) {
            if (frame.children > 0) take(TokenKind::comma);
        } else {
            line_up(frame);
        }
    }

    // The keys of a map and the dashes of a list stand one below the other.
    void line_up(const Open& frame) const {
        if (next_ >= tokens_.size()) disagree(next_);
        const Token& token = tokens_[next_];
        if (static_cast<long>(token.column) != frame.column || (frame.children > 0 && !token.first_on_line))
            disagree(next_);
    }

    NodeId add(Kind kind, Style style, source::Span span) {
        const NodeId id(syntax_.nodes.size());
        Node& node = syntax_.nodes.emplace_back();
        node.kind = kind;
        node.style = style;
        node.span = span;
        if (open_.empty()) {
            if (syntax_.root.known()) disagree(next_);
            syntax_.root = id;
            return id;
        }
        Open& frame = open_.back();
        if (frame.children == 0)
            syntax_.nodes[frame.node.index()].first_child = id;
        else
            syntax_.nodes[frame.last_child.index()].next = id;
        frame.last_child = id;
        ++frame.children;
        return id;
    }

    void take_scalar(const std::string* value) {
        const Token& token = tokens_[next_];
        const bool block_scalar = token.style == Style::literal || token.style == Style::folded;
        const bool key = !open_.empty() && open_.back().map && open_.back().children % 2 == 0;
        if (key && block_scalar) refuse_key(token, "a text over several lines as a key", "a key is one word");
        if (!block_scalar && value && *value != token.text) disagree(next_);
        if (block_scalar && !value) disagree(next_);
        const NodeId id = add(Kind::scalar, token.style, in_.span(token.begin, token.end));
        syntax_.nodes[id.index()].text =
            block_scalar ? std::string_view(syntax_.texts.emplace_back(*value)) : token.text;
        ++next_;
    }

    void start(bool map, bool flow) {
        if (!open_.empty() && open_.back().map && open_.back().children % 2 == 0 && next_ < tokens_.size()) {
            if (at(TokenKind::comma)) ++next_;
            refuse_key(tokens_[std::min(next_, tokens_.size() - 1)], "a list or a map cannot be a key",
                       "a key is one word followed by a colon");
        }
        before_node();
        if (next_ >= tokens_.size()) disagree(next_);
        const Token& token = tokens_[next_];
        if (open_.size() >= most_depth) {
            found::too_deep(in_, in_.span(token.begin, token.end));
            throw Stop{};
        }
        const TokenKind opener = map ? TokenKind::open_map : TokenKind::open_list;
        const bool inside_flow = !open_.empty() && open_.back().flow;
        Open frame;
        frame.map = map;
        frame.flow = flow;
        frame.begin = token.begin;
        if (flow && token.kind != opener) {
            if (!map || !inside_flow) disagree(next_);
            frame.bare = true;
        } else if (flow) {
            ++next_;
        } else {
            frame.column = static_cast<long>(token.column);
            const Open* parent = open_.empty() ? nullptr : &open_.back();
            const bool list_at_key = parent && parent->map && !map;
            if (parent && (frame.column < parent->column || (frame.column == parent->column && !list_at_key)))
                disagree(next_);
        }
        frame.node =
            add(map ? Kind::map : Kind::list, flow ? Style::flow : Style::block, in_.span(token.begin, token.end));
        open_.push_back(frame);
    }

    void end(TokenKind closer) {
        const Open frame = open_.back();
        if (frame.flow && !frame.bare) {
            if (at(TokenKind::comma) && frame.children > 0) ++next_;
            take(closer);
        }
        open_.pop_back();
        Node& node = syntax_.nodes[frame.node.index()];
        node.children = frame.children;
        node.span.end = next_ > 0 ? tokens_[next_ - 1].end : node.span.end;
    }
};

// What stands at `token` fits nowhere. Says why, as far as the neighbours show it.
void explain(const Input& in, const std::vector<Token>& tokens, std::size_t token, long block_column) {
    if (tokens.empty()) {
        found::empty_file(in);
        return;
    }
    const Token& here = tokens[std::min(token, tokens.size() - 1)];
    const source::Span at = in.span(here.begin, here.end);
    const bool past_end = token >= tokens.size();
    const Token* after = token + 1 < tokens.size() ? &tokens[token + 1] : nullptr;
    const bool key = after && after->kind == TokenKind::colon && after->line == here.line;
    // The nearest line above that starts where this one does, with nothing less far in between.
    const Token* beside = nullptr;
    for (std::size_t i = std::min(token, tokens.size() - 1); i-- > 0;) {
        if (!tokens[i].first_on_line || tokens[i].column > here.column) continue;
        if (tokens[i].column == here.column) beside = &tokens[i];
        break;
    }
    if (here.first_on_line && !past_end && beside && here.kind == TokenKind::dash && beside->kind != TokenKind::dash) {
        // The outermost list that stood open above.
        const Token* dash = nullptr;
        for (std::size_t i = std::min(token, tokens.size() - 1); i-- > 0;) {
            if (!tokens[i].first_on_line) continue;
            if (tokens[i].column <= here.column) break;
            if (tokens[i].kind == TokenKind::dash && (dash == nullptr || tokens[i].column < dash->column))
                dash = &tokens[i];
        }
        found::bad_yaml(in, at, "a list entry where a key should stand",
                        dash == nullptr
                            ? std::string("indent the dash below the key it belongs to")
                            : fmt::format("indent the dash below the key it belongs to, {} blanks in as those above",
                                          dash->column));
        return;
    }
    if (here.first_on_line && !past_end && beside && beside->kind == TokenKind::dash &&
        here.kind == TokenKind::scalar) {
        const bool glued = here.begin < in.text.size() && in.text[here.begin] == '-';
        const std::size_t stop = std::min(in.text.find_first_of("\r\n", here.begin), in.text.size());
        const std::string_view line = base::trimmed(in.text.substr(here.begin, stop - here.begin));
        constexpr std::size_t most_shown = 60;
        const std::string_view shown =
            line.size() <= most_shown ? line : in.text.substr(here.begin, here.end - here.begin);
        auto& message = found::bad_yaml(
            in, at, glued ? "a dash without a blank behind it" : "a key where a list entry should stand",
            glued ? fmt::format("write `- {}`", shown.substr(1))
                  : fmt::format(
                        "write `- {}` if it is an entry of its own; else line it up with the key it belongs beside, "
                        "{} blanks in",
                        shown, here.column + 2));
        if (glued)
            message.fixes.push_back({"put a blank behind the dash", {{in.span(here.begin + 1, here.begin + 1), " "}}});
        return;
    }
    if (here.first_on_line && !past_end && !beside && block_column >= 0 &&
        static_cast<long>(here.column) != block_column) {
        auto& message = found::bad_yaml(in, at,
                                        here.kind == TokenKind::dash ? "this dash lines up with nothing above it"
                                                                     : "this line lines up with nothing above it",
                                        "line it up with the line above that it belongs beside");
        // One blank too many, or too few, beside the dash above.
        const Token* dash = nullptr;
        for (std::size_t i = std::min(token, tokens.size() - 1); dash == nullptr && i-- > 0;)
            if (tokens[i].first_on_line && tokens[i].kind == TokenKind::dash) dash = &tokens[i];
        if (here.kind == TokenKind::dash && dash != nullptr &&
            (dash->column + 1 == here.column || here.column + 1 == dash->column)) {
            const std::size_t line = here.begin - here.column;
            message.help = fmt::format("begin it {} blanks in, as the dash above", dash->column);
            message.labels.push_back({in.span(dash->begin, dash->end), "as far in as this"});
            message.fixes.push_back({"line it up", {{in.span(line, here.begin), std::string(dash->column, ' ')}}});
        }
        return;
    }
    if (here.first_on_line && !past_end && here.kind == TokenKind::dash) {
        // Deeper than the entries before it: the nearest dash above that begins a line.
        for (std::size_t i = std::min(token, tokens.size() - 1); i-- > 0;)
            if (tokens[i].first_on_line && tokens[i].kind == TokenKind::dash && tokens[i].column < here.column) {
                auto& message =
                    found::bad_yaml(in, at, "this dash is further in than the one that it should line up with",
                                    "begin it as far in as that one, or put it below a key that takes a list");
                message.labels.push_back({in.span(tokens[i].begin, tokens[i].end), "as far in as this"});
                return;
            }
    }
    if (key && !past_end) {
        found::bad_yaml(in, at, "a key where none can stand",
                        "look at the indentation of this line and of the line above");
        return;
    }
    found::bad_yaml(in, at, "this does not fit what stands before it",
                    "look at the indentation, commas and colons around it");
}

[[noreturn]] void Builder::disagree(std::size_t token) const {
    explain(in_, tokens_, token, innermost_column());
    throw Stop{};
}

// The token at which yaml-cpp gave up: the first that begins at or after its mark, never one already taken.
std::size_t token_at(const std::vector<Token>& tokens, std::size_t from, std::size_t offset) {
    std::size_t i = from;
    while (i + 1 < tokens.size() && tokens[i].begin < offset) ++i;
    return i;
}

bool build(const Input& in, Tokens& tokens, Syntax& syntax) {
    Builder builder(in, tokens, syntax);
    try {
        ViewBuffer buffer(in.text);
        std::istream stream(&buffer);
        YAML::Parser parser(stream);
        if (!parser.HandleNextDocument(builder)) {
            found::empty_file(in);
            return false;
        }
        return true;
    } catch (const Stop&) {
        return false;
    } catch (const YAML::Exception& error) {
        const std::size_t offset = error.mark.is_null() ? 0 : static_cast<std::size_t>(error.mark.pos);
        explain(in, tokens.all, token_at(tokens.all, builder.next(), offset), builder.innermost_column());
        return false;
    } catch (const std::exception&) {
        explain(in, tokens.all, builder.next(), builder.innermost_column());
        return false;
    }
}

} // namespace

std::string_view without_byte_order_mark(std::string_view bytes) {
    return bytes.substr(0, 3) == "\xEF\xBB\xBF" ? bytes.substr(3) : bytes;
}

NodeId Syntax::value_of(NodeId map, std::string_view key) const {
    if (!map.known() || at(map).kind != Kind::map) return {};
    for (NodeId child = at(map).first_child; child.known(); child = at(at(child).next).next)
        if (at(child).kind == Kind::scalar && at(child).text == key) return at(child).next;
    return {};
}

Syntax parse(const source::Sources& sources, source::FileId file, messages::Messages& messages, Reading reading) {
    Syntax syntax;
    syntax.file = file;
    const Input in{file, sources.file(file).text, &messages};
    Tokens tokens{{}, &syntax.texts};
    const bool spoke = found::too_large(in) || found::bad_utf_8(in) || found::lone_carriage_return(in) ||
                       found::control_character(in) || found::unsettled_merge(in);
    const auto arranged = [&] { return reading == Reading::quick && arrange(in, tokens, syntax); };
    if (spoke || !scan(in, tokens) || (!arranged() && !build(in, tokens, syntax))) {
        syntax.nodes.assign(1, Node{});
        syntax.nodes.front().span = in.span(0, 0);
        syntax.root = NodeId(std::size_t{0});
        return syntax;
    }
    found::duplicate_keys(in, syntax);
    return syntax;
}

} // namespace benchleaf::syntax
