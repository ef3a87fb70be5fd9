#include "wording/take_apart.h"

#include <array>

namespace benchleaf::wording {

std::string dump(const Wording& wording) {
    static constexpr std::array<std::string_view, 9> kinds = {"plain", "say",  "why",    "ask",  "look-for",
                                                              "until", "stop", "hazard", "avoid"};
    std::string to;
    for (const Text& text : wording.texts) {
        to += kinds[static_cast<std::size_t>(text.kind)];
        to += ": ";
        for (const Word& word : text.words) {
            if (&word != &text.words.front())
                to += word.before == Before::stop ? " || " : word.before == Before::comma ? " , " : " | ";
            to += word.item ? "{" + word.text + "}" : word.text;
        }
        to += '\n';
    }
    return to;
}

} // namespace benchleaf::wording
