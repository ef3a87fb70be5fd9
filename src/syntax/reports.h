// What the syntax stage can find wrong, one function a rule. Each is defined beside its rule in checks/, so that rule,
// level and wording stand in one file. The functions that return bool look at the bytes themselves and say whether they
// spoke; the others are told the place by the scanner or by the event loop, the only ones that can see it.
#pragma once

#include "syntax/check.h"

#include <string_view>

namespace benchleaf::syntax {

// One file on its way through the stage.
struct Input {
    source::FileId file;
    std::string_view text;
    messages::Messages* out;

    source::Span span(std::size_t begin, std::size_t end) const {
        return {file, static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)};
    }
    // Is the next line further in than what this one says? Then it may be more of it.
    bool goes_on_below(std::size_t at) const {
        const std::size_t line = text.rfind('\n', at) + 1; // npos + 1 is 0
        const std::size_t next = text.find('\n', at);
        if (next == std::string_view::npos) return false;
        const std::size_t first = text.find_first_not_of(" -", line);
        const std::size_t below = text.find_first_not_of(' ', next + 1);
        return first != std::string_view::npos && below != std::string_view::npos && text[below] != '\n' &&
               below - next - 1 > first - line;
    }
};

namespace checks {
extern const Check anchor_or_alias, bad_escape, bad_utf_8, bad_yaml, colon_in_text, comment_in_text, control_character,
    duplicate_key, empty_file, key_not_a_name, lone_carriage_return, several_documents, swallowed_step, tab_indent,
    text_cut_short, too_deep, too_large, unclosed_bracket, unclosed_quote, unsettled_merge, yaml_directive, yaml_tag;
}

namespace found {

// Over the bytes, before anything is read.
bool too_large(const Input& in);
bool bad_utf_8(const Input& in);
bool lone_carriage_return(const Input& in);
bool control_character(const Input& in);
bool unsettled_merge(const Input& in);

// In a text whose escapes have been decoded to `value`.
bool control_character_in_value(const Input& in, source::Span at, std::string_view value);

// Told by the scanner.
void empty_file(const Input& in);
void tab_indent(const Input& in, std::size_t line_start, std::size_t tab);
void tab_on_blank_line(const Input& in, std::size_t begin, std::size_t end);
void odd_indent(const Input& in, std::size_t at, std::size_t bytes); // a space that is not U+0020
void unclosed_quote(const Input& in, std::size_t quote, bool in_brackets);
void bad_escape(const Input& in, source::Span escape);
// `end`: of what is in it, where all of that stands on its line; else 0.
void unclosed_bracket(const Input& in, std::size_t bracket, std::size_t end);
void anchor_or_alias(const Input& in, source::Span at);
void yaml_tag(const Input& in, source::Span at);
void yaml_directive(const Input& in, source::Span at);
void several_documents(const Input& in, source::Span marker);
void too_deep(const Input& in, source::Span at);
void key_not_a_name(const Input& in, source::Span at, std::string_view text, std::string_view help);
void swallowed_step(const Input& in, source::Span dash, source::Span text);
// `as_map`: how the line is written as a map, where it may have been meant as one.
void colon_in_text(const Input& in, source::Span colon, source::Span text, std::string_view as_map = {});
void comment_in_text(const Input& in, source::Span comment, source::Span text);
// In brackets nobody knows where the text would end.
void text_cut_short(const Input& in, source::Span comment, source::Span text, bool in_brackets);
// Where the text at `begin` was put in curly quotes, which is what is wrong with it: help and fix for that.
void curly_quotes(const Input& in, std::size_t begin, messages::Message& message);
messages::Message& bad_yaml(const Input& in, source::Span at, std::string text, std::string help);

// Finds keys said twice in one map and unlinks the later pair, so that readers meet each key once; what can be joined is.
void duplicate_keys(const Input& in, Syntax& syntax);

} // namespace found
} // namespace benchleaf::syntax
