// Entries of a catalogue put into the text of another one, in that one's indentation and with the comments that stand with them. Internal to
// adopted/. A list that is written in braces is laid out in lines first, an entry each.
#pragma once

#include "adopted/index.h"

#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::adopted {

// An entry as it stands in its own file, ready to be set in elsewhere.
struct Passage {
    std::string comments; // the lines of comment right above it, each with its end
    std::string text;     // from its name to the end of its value
    std::string trailing; // a comment behind it
    std::size_t column = 0;
};
Passage passage(const source::Sources& sources, Span whole, const std::vector<Edit>& edits);

// As lines at that column, without the end of the last one.
std::string laid(const Passage& passage, std::size_t column);

// What happens to one list of a catalogue of mine.
struct Replaced {
    Span whole; // of the entry of mine
    Passage by;
};
struct Changes {
    Kind kind{};
    std::vector<Replaced> replaced;
    std::vector<Passage> added;
};
// `list`: null where the catalogue has no such list.
std::vector<Edit> spliced(const source::Sources& sources, FileId file, const ListAt* list, const Changes& changes);

// `uses:` with more names in it.
Edit used_too(const source::Sources& sources, Span id, const model::Given<model::Refs<model::Refers::catalogue>>& uses,
              const std::vector<std::string>& more);

} // namespace benchleaf::adopted
