// What every target holds its input against: a law that does not hold ends the program, so that libFuzzer keeps the input. And the form in which several files are one
// input: a line `#== file: PATH` before each, as in the case files, so that a mutation can move, cut and double it like any other line.
#pragma once

#include "messages/message.h"
#include "source/source.h"

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::fuzz {

// Says what is broken, and aborts.
[[noreturn]] void broken(std::string_view law, std::string_view shown = {});

inline void law(bool holds, std::string_view what, std::string_view shown = {}) {
    if (!holds) broken(what, shown);
}

// Valid UTF-8, and nothing that moves a cursor but line feeds.
void is_text_for_a_terminal(std::string_view text, std::string_view what);
void is_json(std::string_view text, std::string_view what);

// Every place lies in its file and at the edge of a character; in every form what is printed is text, is the same the second time, and what is JSON parses; each
// fix that is offered can be made, changes something, and leaves a file in UTF-8.
void hold_messages(const messages::Messages& messages, const source::Sources& sources);

// For what costs much: one input of so many, and always the same ones.
bool now_and_then(std::string_view input, std::size_t one_in);

// Each fix by itself: where the file could be read as YAML before, it can be afterwards.
void fixes_do_not_break(const messages::Messages& messages, const source::Sources& sources);

using Files = std::map<std::string, std::string>;

// What stands before the first line of that sort is a file whose path follows from its first key.
Files files_in(std::string_view input);
std::string in_one(const Files& files);

// What somebody would see who applied a unified diff by hand; empty where it does not fit.
std::string patched(std::string_view before, std::string_view diff);

} // namespace benchleaf::fuzz
