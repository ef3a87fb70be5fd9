// What each catalogue's things are bound to in others, as lists that a build engine can watch. A card carries the catalogues in which something is bound to a
// thing of it (needed.h); one in which nothing is, yet, it knows nothing of. So each catalogue has a list of those that use it, be it by way of others, and
// speak of its things, and of which: found as a print finds them. It changes only when that does, and not with a figure; a card depends on the lists of
// the catalogues that it carries.
#pragma once

#include "base/result.h"

#include <map>
#include <string>
#include <vector>

namespace benchleaf::driver {

// The bytes of each list, by the catalogue's name. Two catalogues of one name have one. A Failure: a file cannot be read.
base::Result<std::map<std::string, std::string>> bindings_of(const std::string& root);

// Writes them as FOLDER/CATALOGUE.txt: all together or none. What is there already and is the same stays as it is. Gives the paths of what was written.
base::Result<std::vector<std::string>> write_bindings(const std::string& root, const std::string& folder);

// The paths of the lists of the catalogues among these files, which are paths from below `root`. A Failure names one that is not there, or not what the catalogues say now:
// who prints by an old list may leave out a catalogue.
base::Result<std::vector<std::string>> lists_for(const std::string& root, const std::string& folder,
                                                 const std::vector<std::string>& files);

} // namespace benchleaf::driver
