#include "driver/check.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

constexpr std::string_view frame_key = "frame";

bool has_number(const history::Identity& numbers, std::string_view key, std::string_view value) {
    return std::any_of(numbers.begin(), numbers.end(), [&](const auto& each) {
        return each.key.name == key && history::bare_number(each.value.value) == history::bare_number(value);
    });
}

// Its frame is in no record, but another number of it is, with another frame.
void find_another_frames(const Folder& folder, const Check& self, messages::Messages& out) {
    for (const model::Job& job : folder.model.jobs) {
        if (!job.identity) continue;
        const auto& told = job.identity->value;
        const auto frame =
            std::find_if(told.begin(), told.end(), [](const auto& each) { return each.key.name == frame_key; });
        if (frame == told.end()) continue;
        const auto& vehicles = folder.owners.vehicles;
        if (std::any_of(vehicles.begin(), vehicles.end(), [&](const history::Owned& each) {
                return has_number(each.numbers, frame_key, frame->value.value);
            }))
            continue;
        for (const auto& number : told) {
            if (number.key.name == frame_key) continue;
            const auto other = std::find_if(vehicles.begin(), vehicles.end(), [&](const history::Owned& each) {
                return has_number(each.numbers, number.key.name, number.value.value);
            });
            if (other == vehicles.end()) continue;
            const auto its = std::find_if(other->numbers.begin(), other->numbers.end(),
                                          [](const auto& each) { return each.key.name == frame_key; });
            if (its == other->numbers.end()) continue;
            out.add(self.rule, frame->value.span,
                    fmt::format("{} {} was so far that of the vehicle with frame {}", number.key.name,
                                number.value.value, its->value.value))
                .help =
                "read the frame once more: with another one nothing that is known of that vehicle stands on the card";
            break;
        }
    }
}

} // namespace

namespace checks {
extern const Check another_frame;
const Check another_frame = {
    {"another-frame", messages::Level::warning, "a job with a frame that its registration did not have so far"},
    find_another_frames};
} // namespace checks

} // namespace benchleaf::driver
