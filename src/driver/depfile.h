// What a print was made of, in the words of a build engine: a rule as make and ninja read it from a depfile,
//
//     out/2026-0412.pdf: procedures/shop.yaml procedures/jobs/2026-0412.yaml procedures/approvals …
//
// A folder among them stands for what may be added to it: the approvals, and the records of the vehicle. Paths begin as the shop's folder and the folder
// for the cards were given.
#pragma once

#include "base/result.h"
#include "driver/pipeline.h"

#include <string>
#include <vector>

namespace benchleaf::driver {

// Files and folders, sorted, each once.
std::vector<std::string> dependencies_of(const std::string& root, const Shopful& shop, const Work& work);

// A Failure names what cannot be written so that both read it as it is.
base::Result<std::string> rule_of(const std::vector<std::string>& targets,
                                  const std::vector<std::string>& dependencies);

} // namespace benchleaf::driver
