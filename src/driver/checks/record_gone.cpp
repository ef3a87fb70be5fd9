#include "driver/check.h"

#include <fmt/format.h>
#include <set>
#include <string_view>

namespace benchleaf::driver {

namespace {

void find_records_gone(const Folder& folder, const Check& self, messages::Messages& out) {
    std::set<std::string_view> names;
    for (const model::Record& each : folder.model.records) names.insert(each.id.value);
    const auto look = [&](const model::Given<model::Ref<model::Refers::free>>& other, std::string_view what,
                          std::string_view lost) {
        if (!other || names.contains(other->value.name)) return;
        out.add(self.rule, other->span,
                fmt::format("record {} is gone, {} which this one {}", other->value.name, lost, what))
            .help = "put its file back; where it is lost for good, write into the folder why, and keep what is there";
    };
    for (const model::Record& each : folder.model.records) {
        look(each.corrects, "takes the place of", "of");
        look(each.continues, "goes on with", "the work of");
    }
}

} // namespace

namespace checks {
extern const Check record_gone;
const Check record_gone = {
    {"record-gone", messages::Level::warning, "a record that another one corrects or goes on with is not there"},
    find_records_gone};
} // namespace checks

} // namespace benchleaf::driver
