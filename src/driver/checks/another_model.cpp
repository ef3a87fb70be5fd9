#include "driver/check.h"

#include "model/date.h"

#include <algorithm>
#include <fmt/format.h>
#include <map>
#include <string_view>

namespace benchleaf::driver {

namespace {

// The last record of the job's vehicle up to the job's day that another job made.
const model::Record* last_before(const Folder& folder, const model::Job& job) {
    const model::Record* last = nullptr;
    for (const std::size_t each : history::fits(folder.owners, job).vehicles)
        for (const model::Record* record : folder.owners.vehicles[each].records)
            if (record->vehicle && (!record->job || record->job->value.name != job.id.value) &&
                (!job.date || record->date->value <= job.date->value) &&
                (last == nullptr || record->date->value >= last->date->value))
                last = record;
    return last;
}

// Its file is that one, or was.
bool is_that(const std::map<std::string_view, const model::Vehicle*>& vehicles, const std::string& name,
             const std::string& recorded) {
    if (name == recorded) return true;
    const auto found = vehicles.find(name);
    // One that there is not is told elsewhere.
    if (found == vehicles.end()) return true;
    const auto& formerly = found->second->formerly;
    return formerly && std::any_of(formerly->value.begin(), formerly->value.end(),
                                   [&](const auto& each) { return each.name == recorded; });
}

void find_other_models(const Folder& folder, const Check& self, messages::Messages& out) {
    std::map<std::string_view, const model::Vehicle*> vehicles;
    for (const model::Vehicle& each : folder.model.vehicles) vehicles.emplace(each.id.value, &each);
    for (const model::Job& job : folder.model.jobs) {
        if (!job.vehicle || !job.identity) continue;
        const model::Record* last = last_before(folder, job);
        if (last == nullptr || is_that(vehicles, job.vehicle->value.name, last->vehicle->value.name)) continue;
        // No label in the record: the message is of this job alone.
        out.add(self.rule, job.vehicle->value.span,
                fmt::format("so far this was a {}: record {} of {} says so", last->vehicle->value.name, last->id.value,
                            model::print(last->date->value)))
            .help = fmt::format(
            "read the plate once more: the torques and limits of a {} are not those of a {}; where that record "
            "is wrong, `benchleaf record {} --correct`, and where the file has another name since then, "
            "`formerly: [{}]` in vehicles/{}.yaml",
            last->vehicle->value.name, job.vehicle->value.name, last->job ? last->job->value.name : last->id.value,
            last->vehicle->value.name, job.vehicle->value.name);
    }
}

} // namespace

namespace checks {
extern const Check another_model;
const Check another_model = {
    {"another-model", messages::Level::error, "a job whose vehicle was another model in its last record"},
    find_other_models};
} // namespace checks

} // namespace benchleaf::driver
