#include "model/reports.h"

#include "base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::unknown_word = {
    {"unknown-word", messages::Level::error, "a word that is not one of those that can stand here"}};

namespace found {

messages::Message& unknown_word(Messages& out, Span at, std::string_view text, std::string_view key,
                                std::span<const std::string_view> words) {
    std::vector<std::string> quoted;
    for (const std::string_view word : words) quoted.push_back(fmt::format("`{}`", word));
    auto& message = out.add(checks::unknown_word.rule, at, fmt::format("`{}` cannot stand after `{}`", text, key));
    // `slacken { front-end: down }`, of which all up to the colon is one key.
    const std::size_t blank = text.find(' ');
    if (blank != std::string_view::npos && base::trimmed(text.substr(blank)).starts_with('{') &&
        std::find(words.begin(), words.end(), text.substr(0, blank)) != words.end()) {
        message.text = fmt::format("`{}` has no colon before its bracket", text.substr(0, blank));
        message.help = fmt::format("write `{}: {{`", text.substr(0, blank));
        const auto after = static_cast<std::uint32_t>(at.begin + blank);
        if (at.end - at.begin == text.size())
            message.fixes.push_back({"put a colon behind it", {{{at.file, after, after}, ":"}}});
        return message;
    }
    // The words that other YAML readers take for true and false have one meaning each.
    const std::string small = base::small_letters(text);
    std::string_view near;
    bool sure = false;
    if (words.size() == 2 && (words[0] == "true" || words[0] == "yes")) {
        if (small == "yes" || small == "true" || small == "on" || small == "y") near = words[0];
        if (small == "no" || small == "false" || small == "off" || small == "n") near = words[1];
    }
    sure = !near.empty();
    if (near.empty()) near = base::nearest(small, words);
    std::vector<std::string> list(quoted.begin(), quoted.end());
    message.help = words.size() == 1 ? fmt::format("only {} can stand here", list.front())
                                     : fmt::format("it is one of {}", base::join_and(list));
    if (sure || base::is_slip(text, near))
        message.fixes.push_back({fmt::format("write `{}`", near), {{at, std::string(near)}}});
    return message;
}

} // namespace found
} // namespace benchleaf::model
