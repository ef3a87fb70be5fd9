// What the Tab key offers: the words that may stand where a line is broken off, by the command line's own declarations.
#pragma once

#include "driver/describe_command_line.h"
#include "driver/names.h"

#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::driver {

// What may stand there. Files and folders are offered by the shell, which knows how it spells them.
struct Next {
    Takes takes = Takes::anything;
    std::vector<Name> words; // where it is neither files nor folders: those that begin as the last word does
};

// `line`: the words behind the program's name as they were typed, quotes and all; the last one, perhaps empty, is not done.
Next what_next(const CommandLineSays& says, const std::vector<std::string>& line);

// A word as a shell takes it: without its quotes, `~/` as the home folder. What a shell would put in for a $ stays.
std::string unquoted(std::string_view word, std::string_view home);

// What `completion` prints.
int completion(const std::string& shell, class Terminal& terminal);
// What `what-next` prints, for that script: a line that says what is offered (words, files, folders), then each word, a tab, and what it is.
int show_next(const CommandLineSays& says, const std::vector<std::string>& line, Terminal& terminal);

} // namespace benchleaf::driver
