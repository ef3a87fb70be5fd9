#include "driver/check.h"

#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

// `print` looks for a vehicle's records where they belong.
void find_records_in_another_folder(const Folder& folder, const Check& self, messages::Messages& out) {
    for (const model::Record& each : folder.model.records) {
        if (!each.identity || !each.id.span.known()) continue;
        const std::string belongs = history::folder_of(each.identity->value);
        if (belongs.empty()) continue; // which was told
        const std::string& path = folder.sources.file(each.id.span.file).path;
        const std::string place = fmt::format("records/{}/", belongs);
        if (path.starts_with(place) && path.find('/', place.size()) == std::string::npos) continue;
        out.add(self.rule, each.identity->span,
                fmt::format("a record of this vehicle belongs in the folder `{}`, and lies in another one", place))
            .help = "put the file there, as it is: whoever prints a card of this vehicle looks there for what was left "
                    "open";
    }
}

} // namespace

namespace checks {
extern const Check record_in_another_folder;
const Check record_in_another_folder = {{"record-in-another-folder", messages::Level::error,
                                         "a record that does not lie in the folder of the vehicle that it tells"},
                                        find_records_in_another_folder};
} // namespace checks

} // namespace benchleaf::driver
