// Writing: a file is written whole or not at all (landing.h), and of several none where one cannot be. Who is killed between two names leaves whole files,
// some of them new; where that must not be, see land_files.h.
//
// Whoever is killed in between leaves his. A writer holds a shared lock on the folder itself (flock(2)), which ends with his program; who gets it for
// himself alone knows that nobody writes there, and removes what was left: plain files, by the name that only this program gives them.
#pragma once

#include "base/result.h"

#include <string>
#include <vector>

namespace benchleaf::driver {

struct Output {
    std::string path;
    std::string bytes;
};

// Missing folders are made. What stands under a name already is replaced.
base::Result<base::Done> write_files(const std::vector<Output>& outputs);

bool holds_already(const std::string& path, const std::string& bytes);
// Those that are not there as they should be: together, as above; gives their paths. The others keep their time, too.
base::Result<std::vector<std::string>> write_what_differs(std::vector<Output> outputs);

// Writes a file that must not be there yet; folders above it are made. `false`: something stands there, and stays.
base::Result<bool> write_new_file(const Output& output);

// Unless somebody is writing there: removes what killed programs left in `folder`.
void remove_leftovers(const std::string& folder);

} // namespace benchleaf::driver
