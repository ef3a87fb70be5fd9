#include "model/reports.h"

#include "base/text.h"
#include "model/trade_words.h"
#include "model/verbs.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::unknown_key = {{"unknown-key", messages::Level::error, "a key that nothing declares"}};

namespace {

std::string_view article(std::string_view noun) {
    return noun.starts_with('a') || noun.starts_with('i') ? "an" : "a";
}

// A bracket at the start that is closed at the end, and everything in it.
bool is_one_bracket(std::string_view text) {
    int depth = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '{' || text[i] == '[') ++depth;
        if (text[i] == '}' || text[i] == ']') --depth;
        if (depth == 0) return i + 1 == text.size();
    }
    return false;
}

// `when:{ rear-brake: drum }`: the key ends at a colon that no blank follows.
bool says_glued(messages::Message& message, Span at, std::string_view key, std::string_view line,
                std::span<const std::string_view> known) {
    const std::size_t colon = key.find(':');
    if (colon == std::string_view::npos || colon + 1 >= key.size()) return false;
    const std::string_view word = key.substr(0, colon);
    if (std::find(known.begin(), known.end(), word) == known.end()) return false;
    message.help = fmt::format("put a blank after `{}:`", word);
    const auto after = static_cast<std::uint32_t>(at.begin + colon + 1);
    if (key[colon + 1] == '{' && at.end - at.begin == key.size() &&
        is_one_bracket(base::trimmed(line.substr(0, line.find(" #")).substr(colon + 1))))
        message.fixes.push_back({"put a blank after the colon", {{{at.file, after, after}, " "}}});
    return true;
}

// `set { front-end: jacked }`: what lacks its colon is the first word.
bool says_without_colon(messages::Message& message, Span at, std::string_view key,
                        std::span<const std::string_view> known) {
    const std::size_t blank = key.find(' ');
    if (blank == std::string_view::npos) return false;
    const std::string_view word = key.substr(0, blank);
    if (std::find(known.begin(), known.end(), word) == known.end()) return false;
    message.text = fmt::format("`{}` without a colon behind it is no key of a step", word);
    const std::string_view rest = base::trimmed(key.substr(blank));
    const auto verbs = all_verbs();
    const bool places = std::any_of(verbs.begin(), verbs.end(), [&](const Verb& verb) {
        return verb.word == word && (verb.takes == Argument::item_to_place || verb.takes == Argument::setting_to_state);
    });
    if (!rest.empty() && rest.front() != '{' && places) {
        message.help = fmt::format("write `{}: {{ {}: … }}`", word, rest);
        return true;
    }
    message.help = fmt::format("put a colon behind `{}`", word);
    const auto after = static_cast<std::uint32_t>(at.begin + blank);
    // `set { front-end: jacked }`; in `set { : jacked }` more is wrong.
    const bool names_one = rest.starts_with('{') && base::is_kebab_case(base::trimmed(rest.substr(1)));
    if (names_one && at.end - at.begin == key.size())
        message.fixes.push_back({message.help, {{{at.file, after, after}, ":"}}});
    return true;
}

} // namespace

namespace found {

MeantKey unknown_key(Messages& out, Span at, std::string_view key, std::string_view line, const Thing& thing,
                     std::span<const std::string_view> known, std::span<const std::string_view> beside) {
    auto& message = out.add(checks::unknown_key.rule, at, fmt::format("{} has no key `{}`", thing.says(), key));
    if (thing.span.known() && !thing.name.empty() && !(thing.span == at))
        message.labels.push_back({thing.span, fmt::format("this {}", thing.called)});
    if (says_glued(message, at, key, line, known)) return {};
    if (thing.called == "step" && says_without_colon(message, at, key, known)) return {};
    const auto is_there = [&](std::string_view name) {
        return std::find(beside.begin(), beside.end(), name) != beside.end();
    };
    const TradeWord* trade = thing.called == "step" ? find_trade_word(base::kebab_case(key)) : nullptr;
    if (trade != nullptr && !(trade->help.empty() && is_there(trade->key))) {
        if (!trade->help.empty()) {
            message.help = trade->help;
            return {};
        }
        message.help = fmt::format("benchleaf calls this `{}`", trade->key);
        message.fixes.push_back({fmt::format("write `{}`", trade->key), {{at, std::string(trade->key)}}});
        return {trade->key, true};
    }
    // `held_by` and `Held-By` are `held-by` without a doubt.
    const std::string_view near = base::nearest(base::kebab_case(key), known);
    if (!near.empty() && is_there(near)) {
        message.help = fmt::format("did you mean `{}`? it is there already; write both under the one key", near);
        return {};
    }
    if (!near.empty()) {
        message.help = fmt::format("did you mean `{}`?", near);
        messages::correct_slip(message, at, key, near);
        return {near, base::is_slip(key, near)};
    }
    std::vector<std::string> elsewhere;
    for (const Table* table : all_tables())
        if (table->find(key) != nullptr)
            elsewhere.push_back(fmt::format("{} {}", article(table->called), table->called));
    if (!elsewhere.empty()) {
        message.help = fmt::format("`{}` is a key of {}", key, base::join_and(elsewhere));
        return {};
    }
    if (thing.called == "step" && known.size() > 30) {
        std::string verbs;
        for (const Verb& verb : all_verbs()) verbs += fmt::format("{}`{}`", verbs.empty() ? "" : ", ", verb.word);
        message.help = fmt::format("the verbs are {}; docs/language.md lists the other keys of a step", verbs);
        return {};
    }
    if (known.size() > 30) {
        message.help = fmt::format("docs/language.md lists the keys of {} {}", article(thing.called), thing.called);
        return {};
    }
    std::vector<std::string> names;
    for (const std::string_view name : known) names.push_back(fmt::format("`{}`", name));
    message.help = fmt::format("{} {} has {}", article(thing.called), thing.called, base::join_and(names));
    return {};
}

} // namespace found
} // namespace benchleaf::model
