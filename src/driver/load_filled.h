// The reader of filled-in cards. It is a file of its own beside the program, or in ../lib/benchleaf/ where it is installed, loaded when the first such card is read: libqpdf and the libraries that it
// wants would cost every start 2 ms of processor time.
#pragma once

#include "base/result.h"
#include "filled/filled.h"

namespace benchleaf::driver {

base::Result<filled::Reader*> load_filled();

} // namespace benchleaf::driver
