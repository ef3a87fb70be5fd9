#include "base/number_words.h"

#include "base/text.h"

#include <algorithm>
#include <array>
#include <string>

namespace benchleaf::base {

std::optional<int> number_word(std::string_view word) {
    static constexpr std::array<std::string_view, 12> words = {"one",   "two",   "three", "four", "five",   "six",
                                                               "seven", "eight", "nine",  "ten",  "eleven", "twelve"};
    const auto* const found = std::find(words.begin(), words.end(), small_letters(word));
    if (found == words.end()) return std::nullopt;
    return static_cast<int>(found - words.begin()) + 1;
}

} // namespace benchleaf::base
