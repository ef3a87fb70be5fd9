// Tokens as a tree, without a second reading. Nearly every file is spelled in the common way: blocks whose keys and dashes stand one below
// the other, brackets with their commas, texts on their lines. Those are arranged here, in a tenth of the time that yaml-cpp takes. Whatever
// is spelled otherwise, right or wrong, is left to yaml-cpp (parse.cpp), which also words what is wrong.
//
// What is arranged here has to be just what yaml-cpp would have made of it: tests/outside/yaml and tests/fuzz hold the two against each other.
#pragma once

#include "syntax/scan.h"

namespace benchleaf::syntax {

// False: not spelled in the common way; `syntax` then holds no nodes, and nothing was reported.
bool arrange(const Input& in, const Tokens& tokens, Syntax& syntax);

} // namespace benchleaf::syntax
