#include "driver/check.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>

namespace benchleaf::driver {

namespace {

// The folders that the numbers lead to, and those that the records there tell.
std::set<std::string> led_to(const Folder& folder, history::Identity numbers) {
    std::set<std::string> folders;
    for (std::size_t i = 0; i < numbers.size(); ++i) { // it grows
        const std::string place = fmt::format("records/{}/", history::folder_of({numbers[i]}));
        if (!folders.insert(place).second) continue;
        for (const model::Record* each : history::told_of(folder.owners, numbers))
            if (each->id.span.known() && folder.sources.file(each->id.span.file).path.starts_with(place))
                numbers.insert(numbers.end(), each->identity->value.begin(), each->identity->value.end());
    }
    return folders;
}

void find_records_apart(const Folder& folder, const Check& self, messages::Messages& out) {
    for (const model::Job& job : folder.model.jobs) {
        if (!job.identity) continue;
        const history::Identity& told = job.identity->value;
        // Without a frame, all records are searched for its numbers.
        if (std::none_of(told.begin(), told.end(), [](const auto& each) { return each.key.name == "frame"; })) continue;
        const auto all = history::told_of(folder.owners, history::all_numbers(folder.owners, told));
        if (all.empty()) continue;
        const std::set<std::string> folders = led_to(folder, told);
        for (const model::Record* each : all) {
            const std::string& path = folder.sources.file(each->id.span.file).path;
            if (std::any_of(folders.begin(), folders.end(),
                            [&](const std::string& place) { return path.starts_with(place); }) ||
                history::folder_of(each->identity->value).empty())
                continue;
            const auto& first = each->identity->value.front();
            out.add(self.rule, job.identity->span,
                    fmt::format("{} tells this vehicle, too, and none of these numbers leads to its folder", path))
                .help = fmt::format("if it is the same vehicle, add `{}: {}` here; whoever prints this job then looks "
                                    "there, too, for what was left open",
                                    first.key.name, first.value.value);
            break;
        }
    }
}

} // namespace

namespace checks {
extern const Check record_apart;
const Check record_apart = {{"record-apart", messages::Level::error,
                             "an earlier record of a job's vehicle in a folder that the job does not lead to"},
                            find_records_apart};
} // namespace checks

} // namespace benchleaf::driver
