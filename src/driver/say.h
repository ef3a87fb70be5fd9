// The few sentences that every command says in the same way.
#pragma once

#include "base/result.h"
#include "driver/commands.h"
#include "driver/pipeline.h"
#include "driver/shop_files.h"

#include <span>
#include <string>
#include <string_view>

namespace benchleaf::driver {

// "benchleaf: …" on standard error; the status for it.
int usage_error(Terminal& terminal, std::string_view what);
int machine_error(Terminal& terminal, const base::Failure& failure);

// "there is no job `x`; did you mean `y`?"
std::string no_such(std::string_view kind, std::string_view name, std::span<const std::string_view> known);

// The folder that `--shop` names, or the nearest shop. Without one the message has been said.
std::optional<std::string> shop_folder(const Global& global, const std::string& near, Terminal& terminal);

// Reads the shop that `--shop` names, or the nearest one. On failure the message has been said and `status` is set.
std::optional<Shop> open_shop(const Global& global, const std::string& near, Terminal& terminal, int& status,
                              Records records = Records::with_the_files);

// The messages of a run on standard error, as a person or a program wants them.
void say_messages(Terminal& terminal, const Global& global, const messages::Messages& messages,
                  const source::Sources& sources);

std::string counted(std::size_t number, std::string_view one, std::string_view many); // "1 file", "no errors"
std::string verdict(const messages::Messages& messages);                              // "2 errors, 1 warning"

} // namespace benchleaf::driver
