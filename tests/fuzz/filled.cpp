// Bytes of a PDF that somebody filled in → what stands in its boxes, or why it is refused. Held: a refusal is one line; every box that is read is one of the form's fields,
// and its text is one line of UTF-8 within its bound; the same bytes say the same.
#include "fuzz/laws.h"
#include "fuzz/targets.h"

#include "base/text.h"
#include "filled/filled.h"

#include <algorithm>
#include <set>
#include <string>

namespace benchleaf::fuzz {

void filled(std::string_view input) {
    const auto read = filled::read(input, filled::Form::may_be_missing);
    const auto again = filled::read(input, filled::Form::may_be_missing);
    law(read.ok() == again.ok(), "the same bytes are read or refused");
    if (!read) {
        is_text_for_a_terminal(read.failure().what, "a refusal is text");
        law(!read.failure().what.empty() && read.failure().what.find('\n') == std::string::npos,
            "a refusal is one line", read.failure().what);
        return;
    }
    const filled::Filled& made = read.value();
    law(made.boxes == again.value().boxes && made.fields == again.value().fields, "the same bytes say the same");
    const std::set<std::string, std::less<>> fields(made.fields.begin(), made.fields.end());
    law(fields.size() == made.fields.size(), "each field is told once");
    for (const auto& [box, text] : made.boxes) {
        law(fields.contains(box), "a box is a field", box);
        law(!text.empty() && base::code_points(text) <= filled::most_characters, "a box holds what was written");
        is_text_for_a_terminal(text, "a box holds a line of text");
        law(text.find('\n') == std::string::npos, "a box holds one line", text);
    }
    for (const std::string* each : {&made.source_name, &made.title, &made.keywords, &made.language})
        law(!base::first_bad_utf8(*each), "what a PDF says of itself is UTF-8", *each);
}

} // namespace benchleaf::fuzz
