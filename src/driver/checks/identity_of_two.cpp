#include "driver/check.h"

#include "base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

// By its frame, else by all that is known of it.
std::string name_of(const history::Identity& numbers) {
    std::vector<std::string> all;
    for (const auto& each : numbers) {
        if (each.key.name == "frame") return fmt::format("the one with frame {}", each.value.value);
        all.push_back(each.key.name + " " + each.value.value);
    }
    return "the one with " + base::join_and(all);
}

void find_identities_of_two(const Folder& folder, const Check& self, messages::Messages& out) {
    for (const model::Job& job : folder.model.jobs) {
        const history::Fitting fitting = history::fits(folder.owners, job);
        if (fitting.clear) continue;
        std::vector<std::string> vehicles;
        for (const std::size_t each : fitting.vehicles)
            vehicles.push_back(name_of(folder.owners.vehicles[each].numbers));
        // No label in their records: the message is of this job alone, and stops no other card of theirs.
        out.add(self.rule, job.identity->span,
                fmt::format("this could be either of {} vehicles that have records: {}",
                            vehicles.size() == 2 ? "two" : std::to_string(vehicles.size()), base::join_and(vehicles)))
            .help = "say which one it is: give its frame number, or another number that only one of them has";
    }
}

} // namespace

namespace checks {
extern const Check identity_of_two;
const Check identity_of_two = {
    {"identity-of-two", messages::Level::error, "a job whose identity fits two vehicles that have records"},
    find_identities_of_two};
} // namespace checks

} // namespace benchleaf::driver
