// The man page, as roff with the man(7) macros: commands, options and examples from the command line's own declarations; what they
// do not hold (files, environment, cautions) is written here.
#pragma once

#include "driver/describe_command_line.h"

#include <string>

namespace benchleaf::driver {

std::string manual(const CommandLineSays& says);

} // namespace benchleaf::driver
