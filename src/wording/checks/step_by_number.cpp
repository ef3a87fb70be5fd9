#include "wording/check.h"

#include "base/text.h"

#include <fmt/format.h>

namespace benchleaf::wording {

namespace {

void find_step_by_number(const Wording& wording, const Check& self, messages::Messages& out) {
    for (const Text& text : wording.texts) {
        const std::vector<Word>& words = text.words;
        for (std::size_t i = 0; i + 1 < words.size(); ++i) {
            if (words[i].text != "step" && words[i].text != "steps") continue;
            std::size_t at = i + 1;
            if ((words[at].text == "number" || words[at].text == "no") && at + 1 < words.size()) ++at;
            if (!base::is_digit(words[at].text.front())) continue;
            if (words[i + 1].before == Before::comma || (words[i + 1].before == Before::stop)) continue;
            out.add(self.rule, part_of(wording, text, words[i].begin, words[at].end),
                    "a step is called by a number that the card may not give it", "which step is that?")
                .help = "say what is done there; or let `again`, `decide` or `if-answered` name it by its `id`";
            break;
        }
    }
}

} // namespace

namespace checks {
extern const Check step_by_number;
const Check step_by_number = {{"step-by-number", messages::Level::warning, "a step called by its number in a text"},
                              find_step_by_number};
} // namespace checks

} // namespace benchleaf::wording
