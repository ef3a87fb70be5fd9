#include "driver/check.h"

#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

void find_unread(const Folder& folder, const Check& self, messages::Messages& out) {
    for (std::size_t i = 0; i < folder.sources.size(); ++i) {
        const source::FileId id(i);
        const std::string& path = folder.sources.file(id).path;
        if (path.ends_with(".yaml")) continue;
        const std::size_t dot = path.rfind('.');
        out.add(self.rule, {id, 0, 0},
                fmt::format("this file is not read, because its name ends in `{}`", path.substr(dot)))
            .help = fmt::format("call it `{}.yaml`", path.substr(0, dot));
    }
}

} // namespace

namespace checks {
extern const Check not_read;
const Check not_read = {{"not-read", messages::Level::error, "a file of the shop that is not read for its name's end"},
                        find_unread};
} // namespace checks

} // namespace benchleaf::driver
