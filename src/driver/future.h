// My shop as it would be once what is agreed on has landed, all in memory; and whether it may land.
#pragma once

#include "adopted/adopted.h"
#include "base/result.h"
#include "driver/handed_over.h"
#include "driver/land_files.h"
#include "messages/message.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace benchleaf::driver {

struct Future {
    Meant meant;                // checked; without a meaning where it has errors
    std::vector<Coming> coming; // the files that would be written
    messages::Messages
        fresh; // what is said of it and was not said of mine; errors in what would be written in any case
};

// `root`: where my shop lies. A Failure names what stands in the way: a path, a link, a file that is something else, or what cannot be read; `status` says
// which of these it is.
base::Result<std::unique_ptr<Future>> make_future(const std::string& root, const Meant& mine, const Meant& theirs,
                                                  const adopted::Offered& offered, int& status);

} // namespace benchleaf::driver
