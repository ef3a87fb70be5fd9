#include "driver/code_words.h"

#include "base/text.h"

#include <vector>

namespace benchleaf::driver {

std::optional<Code> read_code(std::string_view text) {
    std::vector<std::string> words;
    for (const std::string_view word : base::split(text, ' '))
        if (!word.empty()) words.emplace_back(word);
    if (words.empty() || words[0] != "BENCHLEAF" || (words.size() != 3 && words.size() != 5)) return std::nullopt;
    Code code;
    for (const std::string& word : words) code.text += (code.text.empty() ? "" : " ") + word;
    code.job = words[1];
    if (words.size() == 5) code.procedure = words[2];
    if (words.size() == 5) code.revision = words[3];
    code.digest = words.back();
    const bool hexadecimal = code.digest.find_first_not_of("0123456789abcdef") == std::string::npos;
    if (code.digest.size() != 16 || !hexadecimal) return std::nullopt;
    return code;
}

} // namespace benchleaf::driver
