// The whole program behind `main`: reads the command line, calls one command, gives the exit status.
#pragma once

namespace benchleaf::driver {

int run(int argc, const char* const* argv);

} // namespace benchleaf::driver
