#include "driver/check.h"

#include "model/date.h"

#include <algorithm>
#include <fmt/format.h>

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

void find_other_models(const Folder& folder, const Check& self, messages::Messages& out) {
    for (const model::Job& job : folder.model.jobs) {
        if (!job.vehicle || !job.identity) continue;
        const model::Record* last = last_before(folder, job);
        if (last == nullptr || last->vehicle->value.name == job.vehicle->value.name) continue;
        // No label in the record: the message is of this job alone.
        out.add(self.rule, job.vehicle->value.span,
                fmt::format("so far this was a {}: record {} of {} says so", last->vehicle->value.name, last->id.value,
                            model::print(last->date->value)))
            .help = fmt::format("read the plate once more: if it is a {}, its torques and limits are not those of a {}",
                                last->vehicle->value.name, job.vehicle->value.name);
    }
}

} // namespace

namespace checks {
extern const Check another_model;
const Check another_model = {
    {"another-model", messages::Level::warning, "a job whose vehicle was another model in its last record"},
    find_other_models};
} // namespace checks

} // namespace benchleaf::driver
