#include "driver/check.h"

#include "model/date.h"

#include <fmt/format.h>
#include <set>
#include <string_view>

namespace benchleaf::driver {

namespace {

using RecordNames = std::set<std::string_view>;

// Of the records that another one takes the place of.
RecordNames replaced_in(const model::Model& model) {
    RecordNames names;
    for (const model::Record& each : model.records)
        if (each.corrects) names.insert(each.corrects->value.name);
    return names;
}

// The first record of a later day at which the meter showed less.
const model::Record* behind_it(const Folder& folder, const model::Job& job, const RecordNames& replaced) {
    const model::Record* first = nullptr;
    for (const model::Record* record : history::told_of(folder.owners, job.identity->value))
        if (record->date && record->meter && record->date->value > job.date->value &&
            !replaced.contains(record->id.value) && (!record->job || record->job->value.name != job.id.value) &&
            units::compare(job.meter->value.quantity, record->meter->value.quantity) ==
                std::partial_ordering::greater &&
            (first == nullptr || record->date->value < first->date->value))
            first = record;
    return first;
}

void find_meters_ahead(const Folder& folder, const Check& self, messages::Messages& out) {
    constexpr units::PrintOptions plain{.plain_spaces = true};
    const RecordNames replaced = replaced_in(folder.model);
    for (const model::Job& job : folder.model.jobs) {
        if (!job.identity || !job.date || !job.meter) continue;
        const model::Record* record = behind_it(folder, job, replaced);
        if (record == nullptr) continue;
        // No label in the record: the message is of this job alone.
        out.add(self.rule, job.date->span,
                fmt::format("the meter shows {} on this day, and record {} says {} on {}",
                            units::print(job.meter->value.quantity, plain), record->id.value,
                            units::print(record->meter->value.quantity, plain), model::print(record->date->value)))
            .help =
            "look which day it is: what was found at a later one, and left open then, is not on this job's cards";
    }
}

} // namespace

namespace checks {
extern const Check meter_runs_ahead;
const Check meter_runs_ahead = {
    {"meter-runs-ahead", messages::Level::warning, "a job whose meter shows more than a record of a later day"},
    find_meters_ahead};
} // namespace checks

} // namespace benchleaf::driver
