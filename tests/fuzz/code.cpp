// The words of a card's code square, as a scanner or a keyboard gives them. Held: what is read has all its parts and reads as itself; what is put around it in blanks changes
// nothing; and Base64, in which pictures are handed over, goes back and forth.
#include "fuzz/laws.h"
#include "fuzz/targets.h"

#include "digest/digest.h"
#include "driver/code_words.h"

#include <string>

namespace benchleaf::fuzz {

void code(std::string_view input) {
    if (const auto bytes = digest::from_base64(input))
        law(digest::base64(*bytes) == input, "Base64 that is read is written the same");
    law(digest::from_base64(digest::base64(input)) == std::string(input), "Base64 that is written is read the same");

    const auto read = driver::read_code(input);
    if (!read) return;
    law(!read->job.empty() && read->digest.size() == 16, "a code has a job and a digest");
    law(read->procedure.empty() == read->revision.empty(), "a card has a procedure and a revision, a cover neither");
    std::string words = "BENCHLEAF " + read->job;
    if (!read->procedure.empty()) words += " " + read->procedure + " " + read->revision;
    law(read->text == words + " " + read->digest, "the words of a code are its parts", read->text);
    const auto again = driver::read_code("  " + read->text + " ");
    law(again && again->text == read->text, "a code reads as itself", read->text);
}

} // namespace benchleaf::fuzz
