// The spelling of a file as tokens, each with its exact place. What is spelled in the common way is arranged from them alone (arrange.h). All else
// yaml-cpp reads as well (parse.cpp), and the two readings must agree: it gives the structure, but only the start of a scalar, and lets through much that
// a shop must not lose; so this scanner knows where every token ends, refuses what YAML allows and a procedure must not hold (anchors, tags,
// texts that swallow the next step, …), and parse.cpp then takes one token for each event.
//
// One pass, time linear in the bytes, depth bounded by `most_depth`.
#pragma once

#include "syntax/reports.h"

#include <deque>
#include <string>
#include <vector>

namespace benchleaf::syntax {

enum class TokenKind : std::uint8_t { scalar, dash, colon, comma, open_list, close_list, open_map, close_map };

struct Token {
    TokenKind kind = TokenKind::scalar;
    Style style = Style::plain; // of a scalar
    bool first_on_line = false;
    std::uint32_t begin = 0;
    std::uint32_t end = 0;
    std::uint32_t line = 0;   // from 0, of its begin
    std::uint32_t column = 0; // bytes from the start of its line
    std::string_view text;    // of a plain or quoted scalar, decoded; a block scalar's is left to yaml-cpp
};

struct Tokens {
    std::vector<Token> all;
    std::deque<std::string>* texts = nullptr; // owns the texts that differ from their spelling: the Syntax's own
};

// False when a mistake was reported; the tokens are then of no use.
bool scan(const Input& in, Tokens& tokens);

} // namespace benchleaf::syntax
