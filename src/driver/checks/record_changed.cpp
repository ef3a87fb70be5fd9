#include "driver/check.h"
#include "driver/records.h"

namespace benchleaf::driver {

namespace {

// An editor, or git where it is told to, may write all line ends anew and change nothing else.
bool seal_holds_with_unix_ends(std::string_view text) {
    std::string with;
    for (std::size_t i = 0; i < text.size(); ++i)
        if (text.substr(i, 2) != "\r\n") with += text[i];
    return seal_holds(with);
}

void find_changed_records(const Folder& folder, const Check& self, messages::Messages& out) {
    for (const model::Record& each : folder.model.records) {
        if (!each.id.span.known()) continue;
        const source::File& file = folder.sources.file(each.id.span.file);
        const std::string_view text = file.text;
        if (seal_holds(text)) continue;
        out.add(self.rule, each.seal ? each.seal->span : each.id.span,
                "this record is not as it was written: its seal is of another text")
            .help =
            seal_holds_with_unix_ends(text)
                ? "nothing but its line ends is changed: git may have done that. Write the line `* -text` into the "
                  "shop's `.gitattributes` and check the record out anew, or save it with Unix line ends"
                : "fetch it from a backup; what was recorded wrong is put right with `benchleaf record JOB --correct`";
    }
}

} // namespace

namespace checks {
extern const Check record_changed;
const Check record_changed = {{"record-changed", messages::Level::error, "a record that is not as it was written"},
                              find_changed_records};
} // namespace checks

} // namespace benchleaf::driver
