// What somebody wrote into the boxes of a printed card: the bytes of a PDF that any program filled in and saved → the texts by the
// names of their boxes, and the source that the card carries.
//
//   const auto filled = filled::read(bytes);
//   if (!filled) …                                          // filled.failure().what: "the PDF is locked with a password: …"
//   filled.value().boxes.find("card-2/step-5/reading-1/1")  // "4.40 mm"
//
// The form is that of ISO 32000-1, 12.7. A Failure is a sentence for whoever filled the card in. A box that was read is right or
// the whole file is refused: two values for one box, a tick that is neither set nor not, text that cannot be read, a damaged file.
// libqpdf could mend many a damaged file, and is not let: what is lost is what was saved last, and then an older reading, or none,
// would be taken for it.
//
// A file comes from anybody. It is held to the bounds below, is read from memory alone, and nothing in it is carried out.
#pragma once

#include "base/result.h"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::filled {

inline constexpr std::size_t most_bytes = 512U << 20U;        // of a file
inline constexpr std::size_t most_fields = 100'000;           // of a form
inline constexpr std::size_t most_characters = 10'000;        // in a box
inline constexpr std::size_t most_source_bytes = 256U << 20U; // unpacked

struct Filled {
    // By the field's full name. UTF-8 without blanks at its ends; each line break in it is one space, blanks that do not break are as they
    // were typed. A check box that is ticked is "x". What is empty or not ticked is not here.
    std::map<std::string, std::string, std::less<>> boxes;
    std::vector<std::string> fields; // the names of all, filled in or not, in the order of the file; each once
    std::string source_name;         // of the attachment *.sources.yaml; empty if there is none
    std::string source;
    std::string title;    // of the document
    std::string keywords; // what it is known by
    std::string language; // of its text, as in BCP 47
};

// A card that was printed without boxes to fill in has nothing to take, but it carries what it was made of.
enum class Form : std::uint8_t { needed, may_be_missing };
base::Result<Filled> read(std::string_view bytes, Form form = Form::needed);

using Reader = base::Result<Filled>(std::string_view bytes, Form form); // as the program has it: driver/load_filled.h

} // namespace benchleaf::filled
