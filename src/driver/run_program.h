// Another program, run to its end: git, which keeps a shop's earlier states, and ssh-keygen, which signs. No shell is between, so what an
// argument says is an argument.
#pragma once

#include "base/result.h"

#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::driver {

struct Ran {
    int status = 0; // its exit status; 128 and more: a signal
    std::string out;
    std::string err;
};

// `arguments[0]` is looked for on the PATH; that it is not there is a Failure. Its messages come in English, and it asks nobody anything.
base::Result<Ran> run_program(const std::vector<std::string>& arguments, std::string_view in = {});

} // namespace benchleaf::driver
