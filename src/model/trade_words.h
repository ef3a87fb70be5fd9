// What a mechanic writes in a step and the language calls otherwise: `tighten`, `loosen`, `grease`. Only for what is said to him; a file has to
// say it in the language's own word, so that every card says it alike.
#pragma once

#include <string_view>

namespace benchleaf::model {

struct TradeWord {
    std::string_view word;
    std::string_view key;  // the verb or key that does it; empty: no one key does
    std::string_view help; // empty: the key stands for it in form and meaning, so that a machine may write it
};

const TradeWord* find_trade_word(std::string_view word); // null: none is known

} // namespace benchleaf::model
