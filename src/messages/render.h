// Messages as text for a person and as JSON for a program. Both are pure: the driver decides where the text goes and
// whether there is colour.
#pragma once

#include "messages/message.h"

#include <string>
#include <string_view>

namespace benchleaf::messages {

struct HumanOptions {
    bool colour = false;
    std::size_t columns = 100; // a longer source line is cut around its span
};

std::string render_human(const Messages& messages, const source::Sources& sources, const HumanOptions& options);

// Text of a shop's file for a terminal: nothing in it may move the cursor, ring the bell or turn the direction of reading. Lines stay lines.
std::string for_screen(std::string_view text);

// One JSON array: objects with check, level, text, labels (file, line, column, end, text), help and fixes; schema in
// docs/.
std::string render_json(const Messages& messages, const source::Sources& sources);

// A line each, in the form of the GNU Coding Standards ("Formatting Error Messages"), which editors jump to:
// "work/x.yaml:12.5-9: error: … [left-loose]", with a line "note" for each label and for the help.
std::string render_gnu(const Messages& messages, const source::Sources& sources);

// One log of OASIS SARIF 2.1.0 with one run. Columns count code points; paths are relative to the shop ("SHOP").
std::string render_sarif(const Messages& messages, const source::Sources& sources, std::string_view version);

} // namespace benchleaf::messages
