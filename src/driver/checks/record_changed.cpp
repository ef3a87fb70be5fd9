#include "driver/check.h"
#include "driver/records.h"

namespace benchleaf::driver {

namespace {

void find_changed_records(const Folder& folder, const Check& self, messages::Messages& out) {
    for (const model::Record& each : folder.model.records) {
        if (!each.id.span.known() || seal_holds(folder.sources.file(each.id.span.file).text)) continue;
        out.add(self.rule, each.seal ? each.seal->span : each.id.span,
                "this record is not as it was written: its seal is of another text")
            .help =
            "fetch it from a backup; what was recorded wrong is put right with `benchleaf record JOB --correct`";
    }
}

} // namespace

namespace checks {
extern const Check record_changed;
const Check record_changed = {{"record-changed", messages::Level::error, "a record that is not as it was written"},
                              find_changed_records};
} // namespace checks

} // namespace benchleaf::driver
