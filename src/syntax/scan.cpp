#include "syntax/scan.h"

#include "base/text.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace benchleaf::syntax {

namespace {

constexpr std::size_t longest_key = 1024; // YAML's own bound on a key without `?`

bool is_blank(char c) {
    return c == ' ' || c == '\t';
}
bool is_break(char c) {
    return c == '\n' || c == '\r';
}

class Scanner {
public:
    Scanner(const Input& in, Tokens& tokens) : in_(in), text_(in.text), tokens_(tokens) {}

    bool run() {
        while (skip_gap()) {
            if (at_ >= text_.size()) return finish();
            if (!next_token()) return false;
        }
        return false;
    }

private:
    struct Block { // an open block list or map
        long column;
        bool list;
    };
    struct Bracket {
        std::uint32_t at;
        bool list;
    };

    const Input& in_;
    std::string_view text_;
    Tokens& tokens_;
    std::vector<Block> blocks_;
    std::vector<Bracket> brackets_;
    std::size_t last_bracket_ = 0; // where the bracket that was closed last was opened
    std::size_t at_ = 0;
    std::size_t line_start_ = 0;
    std::uint32_t line_ = 0;
    bool first_on_line_ = true;
    bool document_marked_ = false;

    // -- Looking around
    // ------------------------------------------------------------------------------------------------
    bool flow() const { return !brackets_.empty(); }
    bool ends_word(std::size_t at) const { // nothing, a blank or a line end stands there
        return at >= text_.size() || is_blank(text_[at]) || is_break(text_[at]);
    }
    static bool is_flow_mark(char c) { return c == ',' || c == '[' || c == ']' || c == '{' || c == '}'; }
    long column() const { return static_cast<long>(at_ - line_start_); }
    long indent() const { return blocks_.empty() ? -1 : blocks_.back().column; } // what a text must be further in than
    const Token* last() const { return tokens_.all.empty() ? nullptr : &tokens_.all.back(); }
    const Token* last_on_this_line() const {
        // A text over several lines ends on this one too, but nothing can follow it here.
        const Token* token = last();
        return token && !first_on_line_ && token->end >= line_start_ ? token : nullptr;
    }
    std::size_t end_of_line(std::size_t from) const { return std::min(text_.find('\n', from), text_.size()); }
    // The end of what is written from here on this line, without a comment and blanks after it.
    std::size_t end_of_words(std::size_t from) const {
        const std::size_t stop = end_of_line(from);
        std::size_t end = from;
        for (std::size_t i = from; i < stop; ++i) {
            if (text_[i] == '#' && i > from && is_blank(text_[i - 1])) break;
            if (!is_blank(text_[i]) && !is_break(text_[i])) end = i + 1;
        }
        return std::max(end, std::min(from + 1, text_.size()));
    }

    void new_line(std::size_t start) {
        line_start_ = start;
        ++line_;
        first_on_line_ = true;
    }

    // -- Between tokens
    // ------------------------------------------------------------------------------------------------
    bool skip_gap() {
        std::size_t tab = text_.size();
        for (; at_ < text_.size(); ++at_) {
            const char c = text_[at_];
            if (c == '\n') {
                if (tab < at_ && first_on_line_) return blank_with_tab();
                new_line(at_ + 1);
                tab = text_.size();
            } else if (c == '\t') {
                tab = std::min(tab, at_);
            } else if (c == '#') {
                if (at_ > line_start_ && !is_blank(text_[at_ - 1])) {
                    found::bad_yaml(in_, in_.span(at_, at_ + 1), "a comment directly after something else",
                                    "put a space before the `#`");
                    return false;
                }
                if (!look_at_comment()) return false;
                at_ = end_of_line(at_) - 1;
            } else if (c != ' ' && c != '\r') {
                break;
            }
        }
        if (at_ >= text_.size()) return tab >= at_ || !first_on_line_ || blank_with_tab();
        const Token* before = last_on_this_line();
        if (tab < at_ && (first_on_line_ || (before && before->kind == TokenKind::dash))) {
            found::tab_indent(in_, line_start_, tab);
            return false;
        }
        return !odd_space(first_on_line_);
    }

    // Readers of YAML do not agree on a line that holds nothing but a tab.
    bool blank_with_tab() {
        found::tab_on_blank_line(in_, line_start_, at_);
        return false;
    }

    // A no-break space looks like indentation and is text.
    bool odd_space(bool at_line_start) {
        if (!at_line_start || static_cast<unsigned char>(text_[at_]) < 0x80) return false;
        const base::CodePoint c = base::code_point_at(text_, at_);
        const bool odd = c.value == 0xA0 || (c.value >= 0x2000 && c.value <= 0x200A) || c.value == 0x202F ||
                         c.value == 0x205F || c.value == 0x3000;
        if (odd) found::odd_indent(in_, at_, c.bytes);
        return odd;
    }

    bool look_at_comment() {
        const Token* before = last_on_this_line();
        if (!before || at_ + 1 >= text_.size()) return true;
        const bool of_text = before->kind == TokenKind::scalar && before->style == Style::plain;
        if (!of_text && before->kind != TokenKind::colon && before->kind != TokenKind::dash) return true;
        const char next = text_[at_ + 1];
        const bool word = (next >= '0' && next <= '9') || (next >= 'a' && next <= 'z') || (next >= 'A' && next <= 'Z');
        if (!word) return true;
        const source::Span comment = in_.span(at_, end_of_words(at_));
        const source::Span text = in_.span(before->begin, before->end);
        if (of_text && is_read_aloud())
            found::text_cut_short(in_, comment, text, flow());
        else
            found::comment_in_text(in_, comment, text);
        return true;
    }

    // Is the last text one that tells somebody what to do or to fear? Half of such a text may say the opposite of the whole, so the keys
    // that hold one are known here already: a step in words, and these.
    bool is_read_aloud() const {
        constexpr std::array<std::string_view, 9> keys = {"ask", "avoid", "hazard", "look-for", "record",
                                                          "say", "stop",  "until",  "why"};
        const std::size_t count = tokens_.all.size();
        if (count < 2) return false;
        const Token& before = tokens_.all[count - 2];
        if (before.kind == TokenKind::dash)
            return tokens_.all.back().text.find(' ') != std::string_view::npos; // else a name
        return before.kind == TokenKind::colon && count >= 3 &&
               std::find(keys.begin(), keys.end(), tokens_.all[count - 3].text) != keys.end();
    }

    void unclosed_bracket() const {
        const std::uint32_t from = brackets_.back().at;
        const Token* before = last();
        const bool one_line = before != nullptr && before->end > from &&
                              text_.substr(from, before->end - from).find('\n') == std::string_view::npos;
        found::unclosed_bracket(in_, from, one_line && brackets_.size() == 1 ? before->end : 0);
    }

    bool finish() {
        if (flow()) {
            unclosed_bracket();
            return false;
        }
        if (tokens_.all.empty()) {
            found::empty_file(in_);
            return false;
        }
        return true;
    }

    // -- One token
    // -----------------------------------------------------------------------------------------------------
    void put(TokenKind kind, std::size_t end, Style style = Style::plain, std::string_view value = {}) {
        tokens_.all.push_back({kind, style, first_on_line_, static_cast<std::uint32_t>(at_),
                               static_cast<std::uint32_t>(end), line_, static_cast<std::uint32_t>(column()), value});
        first_on_line_ = false;
    }

    bool too_deep() {
        if (blocks_.size() + brackets_.size() < most_depth) return false;
        found::too_deep(in_, in_.span(at_, at_ + 1));
        return true;
    }

    bool next_token() {
        const char c = text_[at_];
        if (flow() && first_on_line_ && column() <= indent() && c != ']' && c != '}') {
            unclosed_bracket();
            return false;
        }
        if (column() == 0 && (text_.substr(at_, 3) == "---" || text_.substr(at_, 3) == "...") && ends_word(at_ + 3))
            return document_marker();
        const bool alone = ends_word(at_ + 1);
        const bool before_flow_mark = flow() && at_ + 1 < text_.size() && is_flow_mark(text_[at_ + 1]);
        switch (c) {
        case '-':
            if (alone) return dash();
            if (before_flow_mark) return bad_start();
            return plain();
        case '?':
            if (alone) {
                found::key_not_a_name(in_, in_.span(at_, at_ + 1), "a key written with `?`",
                                      "a key is one word followed by a colon");
                return false;
            }
            if (before_flow_mark) return bad_start();
            return plain();
        case ':':
            if (alone || before_flow_mark || after_quoted_key()) return colon();
            return bad_start(); // YAML allows it, and its readers do not agree on all of it
        case ',':
            if (flow()) return comma();
            return bad_start();
        case '[':
        case '{':
            return open();
        case ']':
        case '}':
            return close();
        case '"':
        case '\'':
            return quoted();
        case '|':
        case '>':
            if (flow()) return bad_start();
            return block_scalar();
        case '&':
        case '*':
            found::anchor_or_alias(in_, in_.span(at_, word_end()));
            return false;
        case '!':
            found::yaml_tag(in_, in_.span(at_, word_end()));
            return false;
        case '%':
            if (column() == 0 && tokens_.all.empty()) {
                found::yaml_directive(in_, in_.span(at_, end_of_words(at_)));
                return false;
            }
            return bad_start();
        case '@':
        case '`':
            return bad_start();
        default:
            return plain();
        }
    }

    std::size_t word_end() const {
        std::size_t end = at_ + 1;
        while (!ends_word(end) && !(flow() && is_flow_mark(text_[end]))) ++end;
        return end;
    }

    bool document_marker() {
        const std::size_t after = end_of_words(at_);
        const bool first = text_[at_] == '-' && tokens_.all.empty() && !document_marked_ && after == at_ + 3;
        if (!first) {
            found::several_documents(in_, in_.span(at_, at_ + 3));
            return false;
        }
        document_marked_ = true;
        at_ += 3;
        return true;
    }

    // A text that starts with a character that means something else. In quotes it is a text.
    bool bad_start() {
        const std::size_t end = end_of_words(at_);
        const std::string_view words = text_.substr(at_, end - at_);
        const base::CodePoint c = base::code_point_at(text_, at_);
        if (!flow() && !can_be_value() && last()->kind != TokenKind::scalar) {
            more_after_bracket(in_.span(at_, end));
            return false;
        }
        auto& message = found::bad_yaml(in_, in_.span(at_, at_ + c.bytes),
                                        fmt::format("a text cannot start with `{}`", text_.substr(at_, c.bytes)),
                                        "put the text in quotes");
        if (!flow() && can_be_value() && words.find_first_of("\"\\") == std::string_view::npos)
            message.fixes.push_back(
                {"put the text in quotes", {{in_.span(at_, at_), "\""}, {in_.span(end, end), "\""}}});
        return false;
    }

    // May a text, list or map start here?
    bool can_be_value() const {
        const Token* before = flow() ? last() : last_on_this_line();
        if (!before) return true;
        return before->kind != TokenKind::scalar && before->kind != TokenKind::close_list &&
               before->kind != TokenKind::close_map;
    }

    bool start_value() {
        if (can_be_value()) {
            const Token* before = last();
            const bool after_line = first_on_line_ && before && before->kind == TokenKind::scalar && !flow();
            if (after_line && column() > indent() && before->column > indent() &&
                (before->style == Style::single_quoted || before->style == Style::double_quoted)) {
                found::bad_yaml(in_, in_.span(at_, end_of_words(at_)),
                                "more follows a text that its quotes have closed",
                                "put it inside the quotes, or line it up with the key it belongs to");
                return false;
            }
            return true;
        }
        const Token& before = *last();
        const source::Span at = in_.span(at_, flow() ? at_ + base::code_point_at(text_, at_).bytes : end_of_words(at_));
        if (before.kind == TokenKind::scalar) {
            const char quote = text_[before.begin];
            auto& message = found::bad_yaml(
                in_, at, flow() ? "a comma is missing before this" : "more follows a text that its quotes have closed",
                flow()         ? "separate the entries with commas"
                : quote == '"' ? "put the whole text in quotes, and write `\\\"` for a quote inside it"
                               : "put the whole text in quotes, and write `''` for a quote inside it");
            message.labels.push_back(
                {in_.span(before.begin, before.end), flow() ? "after this" : "the text ends here"});
            return false;
        }
        if (!flow()) {
            more_after_bracket(at);
            return false;
        }
        found::bad_yaml(in_, at, "a comma is missing before this", "separate the entries with commas")
            .labels.push_back({in_.span(before.begin, before.end), "closed here"});
        return false;
    }

    // `[A] first` was meant as a text; `{ a: b }, c: d }` is a map with a bracket too many in its midst.
    void more_after_bracket(source::Span at) {
        const Token& before = *last();
        const std::string_view inside = text_.substr(last_bracket_, before.begin - last_bracket_);
        const bool text = inside.find_first_of(":,") == std::string_view::npos;
        auto& message = found::bad_yaml(in_, at, "more follows a closed bracket",
                                        text ? "a text that starts with a bracket goes in quotes as a whole"
                                             : "take that bracket out if this belongs inside; else take this out");
        message.labels.push_back({in_.span(before.begin, before.end), "closed here"});
        const std::string_view words = text_.substr(last_bracket_, at.end - last_bracket_);
        if (text && words.find_first_of("\"\\\n") == std::string_view::npos)
            message.fixes.push_back(
                {"put the text in quotes",
                 {{in_.span(last_bracket_, last_bracket_), "\""}, {in_.span(at.end, at.end), "\""}}});
    }

    bool dash() {
        if (flow()) {
            found::bad_yaml(in_, in_.span(at_, at_ + 1), "a dash cannot start an entry inside brackets",
                            "separate the entries with commas");
            return false;
        }
        const Token* before = last_on_this_line();
        if (before && before->kind == TokenKind::colon) {
            found::bad_yaml(in_, in_.span(at_, at_ + 1), "a list with dashes cannot start on the line of its key",
                            "start it on the next line, or write `[a, b]`");
            return false;
        }
        if (before && before->kind != TokenKind::dash) return start_value();
        while (indent() > column()) blocks_.pop_back();
        const bool inside_map = !blocks_.empty() && blocks_.back().column == column() && !blocks_.back().list;
        if (indent() < column() || inside_map) {
            if (too_deep()) return false;
            blocks_.push_back({column(), true});
        }
        put(TokenKind::dash, at_ + 1);
        ++at_;
        return true;
    }

    bool after_quoted_key() const { // {"a":1}
        const Token* before = last();
        return flow() && before && before->end == at_ && before->kind == TokenKind::scalar &&
               before->style != Style::plain;
    }

    bool colon() {
        const Token* before = last_on_this_line();
        if (before && (before->kind == TokenKind::close_list || before->kind == TokenKind::close_map)) {
            found::key_not_a_name(in_, in_.span(at_, at_ + 1), "a list or a map cannot be a key",
                                  "a key is one word followed by a colon");
            return false;
        }
        if (!before || before->kind != TokenKind::scalar) {
            found::key_not_a_name(in_, in_.span(at_, at_ + 1), "a colon without a key before it",
                                  "write the key, or put the text in quotes");
            return false;
        }
        if (before->line != line_) {
            found::key_not_a_name(in_, in_.span(before->begin, before->end), "a key over several lines",
                                  "a key is one word followed by a colon");
            return false;
        }
        if (flow()) {
            const std::size_t count = tokens_.all.size();
            if (count >= 2 && tokens_.all[count - 2].kind == TokenKind::colon) {
                found::colon_in_text(in_, in_.span(at_, at_ + 1), in_.span(before->begin, before->end));
                return false;
            }
        }
        put(TokenKind::colon, at_ + 1);
        ++at_;
        return true;
    }

    bool comma() {
        const Token* before = last();
        if (before && (before->kind == TokenKind::comma || before->kind == TokenKind::open_list ||
                       before->kind == TokenKind::open_map)) {
            found::bad_yaml(in_, in_.span(at_, at_ + 1), "nothing stands before this comma", "take the comma out")
                .fixes.push_back({"take the comma out", {{in_.span(at_, at_ + 1), ""}}});
            return false;
        }
        put(TokenKind::comma, at_ + 1);
        ++at_;
        return true;
    }

    bool open() {
        if (!start_value()) return false;
        if (too_deep()) return false;
        const bool waits = last() && (last()->kind == TokenKind::colon || last()->kind == TokenKind::dash);
        if (!flow() && first_on_line_ && waits && column() <= indent()) {
            found::bad_yaml(in_, in_.span(at_, at_ + 1), "a bracket must be further in than its key",
                            "indent it, or put it behind the colon");
            return false;
        }
        const bool list = text_[at_] == '[';
        put(list ? TokenKind::open_list : TokenKind::open_map, at_ + 1);
        brackets_.push_back({static_cast<std::uint32_t>(at_), list});
        ++at_;
        return true;
    }

    bool close() {
        const bool list = text_[at_] == ']';
        if (!flow()) {
            found::bad_yaml(in_, in_.span(at_, at_ + 1), fmt::format("this `{}` closes nothing", text_[at_]),
                            "take it out, or put the text in quotes");
            return false;
        }
        if (brackets_.back().list != list) {
            const std::uint32_t opened = brackets_.back().at;
            found::bad_yaml(in_, in_.span(at_, at_ + 1),
                            fmt::format("`{}` cannot be closed by `{}`", text_[opened], text_[at_]),
                            fmt::format("close it with `{}`", list ? '}' : ']'))
                .labels.push_back({in_.span(opened, opened + 1), "opened here"});
            return false;
        }
        if (first_on_line_ && column() <= indent()) {
            const auto spaces = static_cast<std::size_t>(indent() - column() + 2);
            found::bad_yaml(in_, in_.span(at_, at_ + 1), "a closing bracket must be further in than its key",
                            "indent it, or put it at the end of the line above")
                .fixes.push_back({"indent it", {{in_.span(at_, at_), std::string(spaces, ' ')}}});
            return false;
        }
        last_bracket_ = brackets_.back().at;
        brackets_.pop_back();
        put(list ? TokenKind::close_list : TokenKind::close_map, at_ + 1);
        ++at_;
        return true;
    }

    // `when: front-brake: drum` was meant as a map, if each is one word: "when: { front-brake: drum }".
    std::string as_map(std::size_t before_index, const Token& inner, std::size_t colon_at) const {
        if (before_index < 2 || inner.style != Style::plain) return {};
        const Token& outer = tokens_.all[before_index - 2];
        if (outer.kind != TokenKind::scalar) return {};
        const std::string_view key = text_.substr(outer.begin, outer.end - outer.begin);
        const std::string_view name = text_.substr(inner.begin, inner.end - inner.begin);
        std::string_view value = text_.substr(colon_at + 1);
        value = value.substr(0, value.find_first_of("\r\n"));
        value = base::trimmed(value.substr(0, value.find(" #")));
        if (!base::is_kebab_case(key) || !base::is_kebab_case(name) || !base::is_kebab_case(value)) return {};
        return fmt::format("{}: {{ {}: {} }}", key, name, value);
    }

    // `starts-with { front-end: raised }`: up to the colon, all that is one key.
    bool bracket_in_key(const Token& token) {
        const std::size_t bracket = token.text.find_first_of("{[");
        if (token.style != Style::plain || bracket == std::string_view::npos || bracket == 0) return false;
        const std::string_view before = base::trimmed(token.text.substr(0, bracket));
        const bool has_colon = before.ends_with(':');
        const std::string_view word = has_colon ? before.substr(0, before.size() - 1) : before;
        if (!base::is_kebab_case(word)) return false;
        const std::size_t end = token.begin + before.size();
        auto& message = found::bad_yaml(in_, in_.span(token.begin, end),
                                        has_colon ? fmt::format("`{}:` has no blank behind its colon", word)
                                                  : fmt::format("`{}` has no colon before its bracket", word),
                                        fmt::format("write `{}: {}`", word, text_.substr(token.begin + bracket, 1)));
        message.fixes.push_back({has_colon ? "put a blank behind the colon" : "put a colon behind it",
                                 {{in_.span(end, end), has_colon ? " " : ":"}}});
        return true;
    }

    // "write `say: Lever it out.`": a word in small letters that opens a line may be a key.
    static std::string as_key(std::string_view said) {
        const std::size_t blank = said.find(' ');
        if (blank == std::string_view::npos || !base::is_kebab_case(said.substr(0, blank))) return {};
        return fmt::format("{}: {}", said.substr(0, blank), base::trimmed(said.substr(blank)));
    }

    // `say:Lever it out.`
    static std::string spaced(std::string_view said) {
        const std::size_t colon = said.find(':');
        constexpr std::size_t most_shown = 60;
        return said.size() > most_shown ? fmt::format("write `{}: …`", said.substr(0, colon))
                                        : fmt::format("write `{}: {}`", said.substr(0, colon), said.substr(colon + 1));
    }

    // A fix is offered where what follows is no words.
    void put_colon(messages::Message& message, const Token& token) const {
        const std::size_t blank = token.text.find(' ');
        if (as_key(token.text).empty()) return;
        const std::string_view value = base::trimmed(token.text.substr(blank));
        const bool sure = value == "true" || value == "false" || (value.starts_with('[') && value.ends_with(']'));
        const std::size_t where = token.begin + blank;
        if (sure) message.fixes.push_back({"put a colon behind it", {{in_.span(where, where), ":"}}});
    }

    // -- Texts
    // --------------------------------------------------------------------------------------------------------- Called
    // once a text that may be a key was put; opens its map.
    bool key_or_value(std::size_t before_index) {
        const Token token = tokens_.all.back();
        if (flow()) return true;
        std::size_t colon_at = token.end;
        while (colon_at < text_.size() && is_blank(text_[colon_at])) ++colon_at;
        if (colon_at >= text_.size() || text_[colon_at] != ':' || !ends_word(colon_at + 1)) return true;
        if (token.line != line_) return true; // colon() says what is wrong with it
        const Token* before = before_index > 0 ? &tokens_.all[before_index - 1] : nullptr;
        if (before && before->kind == TokenKind::colon && before->line == token.line) {
            if (before_index >= 2 && bracket_in_key(tokens_.all[before_index - 2])) return false;
            found::colon_in_text(in_, in_.span(colon_at, colon_at + 1), in_.span(token.begin, token.end),
                                 as_map(before_index, token, colon_at));
            return false;
        }
        if (token.end - token.begin > longest_key) {
            found::key_not_a_name(in_, in_.span(token.begin, token.begin + 1), "a key of more than 1024 bytes",
                                  "a key is one word followed by a colon");
            return false;
        }
        const long at = static_cast<long>(token.column);
        while (!blocks_.empty() && (blocks_.back().column > at || (blocks_.back().column == at && blocks_.back().list)))
            blocks_.pop_back();
        if (indent() < at) {
            if (blocks_.size() >= most_depth) {
                found::too_deep(in_, in_.span(token.begin, token.end));
                return false;
            }
            blocks_.push_back({at, false});
        }
        return true;
    }

    void close_deeper_blocks() {
        if (flow() || !first_on_line_) return;
        while (indent() > column()) blocks_.pop_back();
    }

    bool quoted() {
        if (!start_value()) return false;
        close_deeper_blocks();
        const char quote = text_[at_];
        const std::size_t index = tokens_.all.size();
        std::string decoded;
        bool plain_spelling = true;
        std::size_t i = at_ + 1;
        for (;; ++i) {
            if (i >= text_.size() || is_break(text_[i])) {
                found::unclosed_quote(in_, at_, flow());
                return false;
            }
            const char c = text_[i];
            if (c == quote) {
                if (quote == '\'' && i + 1 < text_.size() && text_[i + 1] == '\'') {
                    if (plain_spelling) decoded.assign(text_.substr(at_ + 1, i - at_ - 1));
                    plain_spelling = false;
                    decoded += '\'';
                    ++i;
                    continue;
                }
                break;
            }
            if (c == '\\' && quote == '"') {
                if (plain_spelling) decoded.assign(text_.substr(at_ + 1, i - at_ - 1));
                plain_spelling = false;
                if (!escape(i, decoded)) return false;
                continue;
            }
            if (!plain_spelling) decoded += c;
        }
        const Style style = quote == '"' ? Style::double_quoted : Style::single_quoted;
        std::string_view value = text_.substr(at_ + 1, i - at_ - 1);
        if (!plain_spelling) {
            if (found::control_character_in_value(in_, in_.span(at_, i + 1), decoded)) return false;
            value = tokens_.texts->emplace_back(std::move(decoded));
        }
        put(TokenKind::scalar, i + 1, style, value);
        at_ = i + 1;
        const Token token = tokens_.all.back();
        if (!is_key() && !flow() && token.first_on_line && !can_stand_alone(token)) return false;
        return key_or_value(index);
    }

    // At the backslash `i`; leaves `i` on the escape's last byte.
    bool escape(std::size_t& i, std::string& to) {
        const std::size_t start = i;
        const char c = i + 1 < text_.size() ? text_[i + 1] : '\n';
        if (is_break(c)) { // a backslash at the end of the line: the quote is not closed on it
            found::unclosed_quote(in_, at_, flow());
            return false;
        }
        ++i;
        std::size_t digits = 0;
        switch (c) {
        case '"':
        case '\\':
        case '/':
            to += c;
            return true;
        case 'n':
            to += '\n';
            return true;
        case 't':
            to += '\t';
            return true;
        case 'x':
            digits = 2;
            break;
        case 'u':
            digits = 4;
            break;
        case 'U':
            digits = 8;
            break;
        default:
            found::bad_escape(in_, in_.span(start, i + base::code_point_at(text_, i).bytes));
            return false;
        }
        std::uint32_t value = 0;
        for (std::size_t k = 0; k < digits; ++k) {
            const char d = i + 1 < text_.size() ? text_[i + 1] : ' ';
            const int digit = d >= '0' && d <= '9'   ? d - '0'
                              : d >= 'a' && d <= 'f' ? d - 'a' + 10
                              : d >= 'A' && d <= 'F' ? d - 'A' + 10
                                                     : -1;
            if (digit < 0) {
                found::bad_escape(in_, in_.span(start, i + 1));
                return false;
            }
            value = (value << 4U) | static_cast<std::uint32_t>(digit);
            ++i;
        }
        if (value > 0x10FFFF || (value >= 0xD800 && value <= 0xDFFF)) {
            found::bad_escape(in_, in_.span(start, i + 1));
            return false;
        }
        base::append_utf8(to, static_cast<char32_t>(value));
        return true;
    }

    // The end of a plain text on its line: before `: `, ` #`, in brackets before `,[]{}`.
    std::size_t plain_end(std::size_t from) const {
        std::size_t end = from;
        for (std::size_t i = from; i < text_.size(); ++i) {
            const char c = text_[i];
            if (is_break(c)) break;
            if (is_blank(c)) continue;
            if (c == '#' && i > from && is_blank(text_[i - 1])) break;
            if (flow() && is_flow_mark(c)) break;
            if (c == ':' && (ends_word(i + 1) || (flow() && is_flow_mark(text_[i + 1])))) break;
            end = i + 1;
        }
        return end;
    }

    // YAML 1.2 allows it, and yaml-cpp does not.
    void question_in_brackets(std::size_t begin, std::size_t end) {
        const std::size_t mark = text_.find('?', begin);
        auto& message = found::bad_yaml(in_, in_.span(mark, mark + 1), "a question mark in brackets without quotes",
                                        "put the text in quotes");
        if (text_.substr(begin, end - begin).find_first_of("\"\\") == std::string_view::npos)
            message.fixes.push_back(
                {"put the text in quotes", {{in_.span(begin, begin), "\""}, {in_.span(end, end), "\""}}});
    }

    bool plain() {
        if (!start_value()) return false;
        close_deeper_blocks();
        const std::size_t index = tokens_.all.size();
        const std::size_t begin = at_;
        const std::size_t n = static_cast<std::size_t>(indent() + 1); // a line of the text is at least that far in
        std::size_t end = plain_end(begin);
        if (flow() && text_.substr(begin, end - begin).find('?') != std::string_view::npos) {
            question_in_brackets(begin, end);
            return false;
        }
        put(TokenKind::scalar, end, Style::plain, text_.substr(begin, end - begin));
        at_ = end;
        std::string folded;
        for (;;) {
            // Is the rest of the line empty, and what stands on the next line that is not?
            std::size_t i = end;
            while (i < text_.size() && (is_blank(text_[i]) || text_[i] == '\r')) ++i;
            if (i >= text_.size() || text_[i] != '\n') break;
            std::size_t breaks = 0;
            std::size_t start = i;
            std::size_t tab = text_.size();
            while (i < text_.size() && (is_blank(text_[i]) || is_break(text_[i]))) {
                if (text_[i] == '\n') {
                    ++breaks;
                    start = i + 1;
                    tab = text_.size();
                } else if (text_[i] == '\t') {
                    tab = std::min(tab, i);
                }
                ++i;
            }
            if (i >= text_.size() || text_[i] == '#') break;
            if (flow() && (is_flow_mark(text_[i]) || text_[i] == ':')) break;
            const std::size_t column_of_line = i - start;
            if (tab < i) {
                found::tab_indent(in_, start, tab);
                return false;
            }
            if (column_of_line < n) {
                if (!flow()) break;
                unclosed_bracket();
                return false;
            }
            const std::string_view three = text_.substr(i, 3);
            if (column_of_line == 0 && (three == "---" || three == "...") && ends_word(i + 3)) break;
            line_ += static_cast<std::uint32_t>(breaks);
            line_start_ = start;
            at_ = i;
            if (odd_space(true)) return false;
            if (!continues(tokens_.all.back(), i)) return false;
            if (folded.empty()) folded.assign(text_.substr(begin, end - begin));
            folded.append(breaks > 1 ? std::string(breaks - 1, '\n') : std::string(" "));
            end = plain_end(i);
            folded.append(text_.substr(i, end - i));
            at_ = end;
        }
        Token& token = tokens_.all.back();
        token.end = static_cast<std::uint32_t>(end);
        if (!folded.empty()) token.text = tokens_.texts->emplace_back(std::move(folded));
        first_on_line_ = false;
        if (!is_key() && !flow() && token.first_on_line && !can_stand_alone(token)) return false;
        return key_or_value(index);
    }

    // Does a colon follow what was read last?
    bool is_key() const {
        std::size_t after = at_;
        while (after < text_.size() && is_blank(text_[after])) ++after;
        return after < text_.size() && text_[after] == ':';
    }

    // A text that starts a line and is no key belongs to the key or dash before it, further in than that.
    bool can_stand_alone(const Token& token) {
        const std::size_t count = tokens_.all.size();
        const Token* before = count >= 2 ? &tokens_.all[count - 2] : nullptr;
        const bool open = !before || before->kind == TokenKind::colon || before->kind == TokenKind::dash;
        if (open && static_cast<long>(token.column) > indent()) return true;
        const source::Span at = in_.span(token.begin, token.end);
        if (token.style == Style::plain && token.text.size() > 1 && token.text[0] == '-' && !blocks_.empty() &&
            blocks_.back().list) {
            const std::size_t where = token.begin + 1;
            found::bad_yaml(in_, in_.span(token.begin, where), "a dash needs a space after it", "write `- entry`")
                .fixes.push_back({"put a space after the dash", {{in_.span(where, where), " "}}});
            return false;
        }
        const std::size_t colon = token.text.find(':');
        if (token.style == Style::plain && colon != std::string_view::npos && colon > 0 &&
            token.text.find(' ') > colon) {
            const std::size_t where = token.begin + colon + 1;
            auto& message =
                found::bad_yaml(in_, in_.span(where - 1, where), "a colon needs a space after it", spaced(token.text));
            if (where < token.end)
                message.fixes.push_back({"put a space after the colon", {{in_.span(where, where), " "}}});
            return false;
        }
        if (static_cast<long>(token.column) > indent()) {
            found::bad_yaml(in_, at, "this line belongs to nothing above it",
                            "a text goes on directly below itself, without a comment in between");
            return false;
        }
        const bool in_list = !blocks_.empty() && blocks_.back().list && blocks_.back().column == token.column;
        const std::string meant = in_list ? std::string() : as_key(token.text);
        auto& message = found::bad_yaml(
            in_, at, in_list ? "an entry without its dash" : "a key without its colon",
            in_list ? "write a dash and a space before it, or indent the line if it belongs to the text above"
            : meant.empty()
                ? "write a colon and a space after the key, or indent the line if it belongs to the text above"
                : fmt::format("write `{}`, or indent the line if it belongs to the text above", meant));
        if (!in_list) put_colon(message, token);
        return false;
    }

    // A further line of a plain text, at `i`. Most that YAML would swallow here was meant as something else.
    bool continues(const Token& token, std::size_t i) {
        const source::Span text = in_.span(token.begin, token.end);
        if (!flow() && text_[i] == '-' && ends_word(i + 1)) {
            found::swallowed_step(in_, in_.span(i, i + 1), text);
            return false;
        }
        const std::size_t end = plain_end(i);
        const bool colon = end < text_.size() && text_.find_first_not_of(" \t", end) < text_.size() &&
                           text_[text_.find_first_not_of(" \t", end)] == ':';
        if (!colon || flow()) return true;
        const source::Span key = in_.span(i, end);
        const std::string name(text_.substr(i, end - i));
        const auto at_column = static_cast<std::uint32_t>(i - line_start_);
        const std::size_t count = tokens_.all.size();
        const bool step = count >= 2 && tokens_.all[count - 2].kind == TokenKind::dash;
        std::string_view said = text_.substr(token.begin, token.end - token.begin);
        if (token.first_on_line && at_column == token.column) {
            const bool glued = said.find(':') < said.size() - 1 && said.find(' ') > said.find(':');
            const std::string meant = as_key(said);
            auto& message =
                found::bad_yaml(in_, text, glued ? "a colon needs a space after it" : "a key without its colon",
                                glued           ? spaced(said)
                                : meant.empty() ? "write a colon and a space after the key"
                                                : fmt::format("write `{}`", meant));
            if (!glued) put_colon(message, token);
            if (glued) {
                const std::size_t where = token.begin + said.find(':') + 1;
                message.labels.front().span = in_.span(where - 1, where);
                message.fixes.push_back({"put a space after the colon", {{in_.span(where, where), " "}}});
            }
            return false;
        }
        if (!step && token.first_on_line && base::is_kebab_case(said)) {
            auto& message = found::bad_yaml(in_, text, fmt::format("`{}` has no colon, and its keys stand below", said),
                                            fmt::format("write `{}:`", said));
            message.labels.push_back({key, "further in, so it belongs to it"});
            message.fixes.push_back({"put a colon after it", {{in_.span(token.end, token.end), ":"}}});
            return false;
        }
        // `- again`, and its keys further in
        if (step && base::is_kebab_case(said) && at_column > token.column) {
            auto& message = found::bad_yaml(in_, text, fmt::format("`{}` has no colon, and its keys stand below", said),
                                            fmt::format("write `- {}:`", said));
            message.labels.push_back({key, "further in, so it belongs to it"});
            message.fixes.push_back({"put a colon after it", {{in_.span(token.end, token.end), ":"}}});
            return false;
        }
        // The key of the text, which this line is further in than.
        const Token* owner =
            count >= 3 && tokens_.all[count - 2].kind == TokenKind::colon ? &tokens_.all[count - 3] : nullptr;
        const bool keyed = !step && owner != nullptr && owner->kind == TokenKind::scalar && base::is_kebab_case(name);
        // The key is where it should be, and the text above it is not.
        if (keyed && owner->column == at_column && token.first_on_line) {
            const std::string_view said_by = text_.substr(owner->begin, owner->end - owner->begin);
            found::bad_yaml(in_, text, fmt::format("this is no further in than `{}:`, whose text it would be", said_by),
                            fmt::format("begin it at least {} blanks in", owner->column + 1))
                .labels.push_back({key, "so this would belong to the text"});
            return false;
        }
        if (keyed) {
            auto& message =
                found::bad_yaml(in_, key, fmt::format("`{}:` is further in than the key it should line up with", name),
                                fmt::format("line it up with `{}:` above, {} blanks in",
                                            text_.substr(owner->begin, owner->end - owner->begin), owner->column));
            message.labels.push_back({text, "read as one text with this"});
            if (i > line_start_ &&
                text_.substr(line_start_, i - line_start_).find_first_not_of(' ') == std::string_view::npos)
                message.fixes.push_back({"line it up", {{in_.span(line_start_, i), std::string(owner->column, ' ')}}});
            return false;
        }
        auto& message =
            found::bad_yaml(in_, key,
                            step ? fmt::format("`{}:` cannot follow a step that is a plain text", name)
                                 : fmt::format("`{}:` is further in than the key it should line up with", name),
                            step ? step_with_keys(said) : "line it up with the key above");
        message.labels.push_back({text, step ? "a plain text" : "read as one text with this"});
        return false;
    }

    // A word in small letters before the text may be what says what the step is.
    static std::string step_with_keys(std::string_view text) {
        const std::size_t colon = text.find(':');
        const bool glued = colon != std::string_view::npos && colon + 1 < text.size() && text[colon + 1] != '/' &&
                           base::is_kebab_case(text.substr(0, colon));
        if (glued) return fmt::format("put a blank after `{}:`", text.substr(0, colon));
        const std::string_view word = text.substr(0, text.find(' '));
        if (word.size() == text.size() || !base::is_kebab_case(word))
            return "a step with keys says its text as `- say: …`";
        return fmt::format(
            "write `- {}: {}` if `{}` says what the step is; a step with keys says its text as `- say: …`", word,
            base::trimmed(text.substr(word.size())), word);
    }

    bool block_scalar() {
        if (!start_value()) return false;
        if (first_on_line_) {
            found::bad_yaml(in_, in_.span(at_, at_ + 1), fmt::format("`{}` stands on a line of its own", text_[at_]),
                            "put it behind the colon or the dash that the text belongs to");
            return false;
        }
        close_deeper_blocks();
        const Style style = text_[at_] == '|' ? Style::literal : Style::folded;
        std::size_t i = at_ + 1;
        if (i < text_.size() && (text_[i] == '-' || text_[i] == '+')) ++i;
        const std::size_t header_end = i;
        while (i < text_.size() && is_blank(text_[i])) ++i;
        if (i < text_.size() && text_[i] == '#' && i > header_end) i = end_of_line(i);
        if (i < text_.size() && text_[i] == '\r') ++i;
        if (i < text_.size() && text_[i] != '\n') {
            found::bad_yaml(in_, in_.span(header_end, end_of_words(header_end)),
                            fmt::format("something follows `{}` on its line", text_[at_]),
                            "the text starts on the next line, further in; or put the whole text in quotes");
            return false;
        }
        const long parent = indent();
        long within = -1;        // the column of its lines, given by the first
        std::size_t deepest = 0; // of the blank lines before that
        std::size_t deepest_at = 0;
        std::size_t end = header_end;
        std::size_t next = std::min(i + 1, text_.size()); // start of the line looked at
        std::size_t resume = next;
        std::uint32_t lines = 0;
        std::uint32_t resume_line = 1;
        while (next < text_.size()) {
            const std::size_t start = next;
            std::size_t first = start;
            while (first < text_.size() && text_[first] == ' ') ++first;
            const std::size_t stop = end_of_line(first);
            const long column_of_line = static_cast<long>(first - start);
            ++lines;
            next = std::min(stop + 1, text_.size());
            const bool blank = first >= stop || (text_[first] == '\r' && first + 1 == stop);
            if (blank) {
                if (within < 0 && first - start > deepest) {
                    deepest = first - start;
                    deepest_at = start;
                }
                if (next >= text_.size()) break;
                continue;
            }
            if (text_[first] == '\t' && (within < 0 || column_of_line < within)) {
                found::tab_indent(in_, start, first);
                return false;
            }
            if (within < 0) {
                if (column_of_line <= parent) break;
                within = column_of_line;
                if (static_cast<long>(deepest) > within) {
                    found::bad_yaml(in_, in_.span(deepest_at, deepest_at + deepest),
                                    "the blank line is further in than the text below it", "take its spaces out");
                    return false;
                }
            }
            if (column_of_line < within) {
                if (column_of_line <= parent || text_[first] == '#') break;
                found::bad_yaml(in_, in_.span(first, end_of_words(first)),
                                "this line is less far in than the first line of its text",
                                "line it up with the first line of the text");
                return false;
            }
            end = stop;
            while (end > first && (is_blank(text_[end - 1]) || text_[end - 1] == '\r')) --end;
            resume = next;
            resume_line = lines + 1;
            if (stop >= text_.size()) {
                resume = text_.size();
                break;
            }
        }
        put(TokenKind::scalar, end, style);
        if (i >= text_.size()) {
            at_ = text_.size();
            return true;
        }
        at_ = resume;
        line_ += resume_line;
        line_start_ = resume;
        first_on_line_ = true;
        return true;
    }
};

} // namespace

bool scan(const Input& in, Tokens& tokens) {
    return Scanner(in, tokens).run();
}

} // namespace benchleaf::syntax
