#include "driver/what_next.h"

#include "driver/embedded.h"
#include "driver/say.h"

#include "history/history.h"

#include <algorithm>
#include <cstdlib>
#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

bool has_name(const OptionSays& option, std::string_view name) {
    return std::find(option.names.begin(), option.names.end(), name) != option.names.end();
}

// A line as far as it is done.
struct Begun {
    const CommandSays* command = nullptr;
    const OptionSays* open = nullptr; // an option whose value comes next, or may go on
    bool filled = false;              // it has got one
    bool words_only = false;          // after a `--`
    bool lost = false;                // there is no such command
    std::size_t words = 0;            // that stand by themselves, of the command
    std::vector<const OptionSays*> given;
    std::string shop;

    bool has(const OptionSays& option) const { return std::find(given.begin(), given.end(), &option) != given.end(); }
};

const OptionSays* find_option(const CommandLineSays& says, const CommandSays* command, std::string_view name) {
    for (const CommandSays* of : {command, &says.program})
        if (of != nullptr)
            for (const OptionSays& each : of->options)
                if (has_name(each, name)) return &each;
    return nullptr;
}

void take_value(Begun& begun, const OptionSays& option, std::string_view value) {
    if (has_name(option, "--shop")) begun.shop = value;
}

void take_option(const CommandLineSays& says, Begun& begun, std::string_view word) {
    const std::size_t equals = word.find('=');
    begun.open = nullptr;
    const OptionSays* const option = find_option(says, begun.command, word.substr(0, equals));
    if (option == nullptr) return;
    begun.given.push_back(option);
    if (equals != std::string_view::npos)
        take_value(begun, *option, word.substr(equals + 1));
    else if (!option->value.empty())
        begun.open = option;
    begun.filled = false;
}

Begun read_begun(const CommandLineSays& says, const std::vector<std::string>& done) {
    Begun begun;
    for (const std::string& word : done) {
        if (!begun.words_only && word == "--") {
            begun.words_only = true;
            begun.open = nullptr;
        } else if (!begun.words_only && word.starts_with('-') && word.size() > 1) {
            take_option(says, begun, word);
        } else if (begun.open != nullptr) {
            take_value(begun, *begun.open, word);
            begun.filled = true;
            if (!begun.open->many) begun.open = nullptr;
        } else if (begun.command == nullptr) {
            begun.command = says.find(word);
            begun.lost = begun.lost || begun.command == nullptr;
        } else {
            ++begun.words;
        }
    }
    return begun;
}

// Those that begin as it was typed; else those that do when blanks, dashes, strokes and the size of letters do not count.
std::vector<Name> beginning(const std::vector<Name>& names, std::string_view typed) {
    std::vector<Name> found;
    for (const Name& each : names)
        if (each.word.starts_with(typed)) found.push_back(each);
    const std::string bare = history::bare_number(typed);
    if (found.empty() && !bare.empty())
        for (const Name& each : names)
            if (history::bare_number(each.word).starts_with(bare)) found.push_back(each);
    // A word that two things have is offered once.
    std::stable_sort(found.begin(), found.end(), [](const Name& a, const Name& b) { return a.word < b.word; });
    found.erase(std::unique(found.begin(), found.end(), [](const Name& a, const Name& b) { return a.word == b.word; }),
                found.end());
    return found;
}

Next values(const Begun& begun, const OptionSays& of, std::string_view typed) {
    Next next{of.takes, {}};
    if (of.takes == Takes::one_of) {
        std::vector<Name> names;
        for (const std::string& each : of.choices) names.push_back({each, ""});
        next.words = beginning(names, typed);
    } else if (of.takes == Takes::card) {
        const bool blank = std::any_of(begun.given.begin(), begun.given.end(),
                                       [](const OptionSays* each) { return each->takes == Takes::vehicle; });
        if (!blank) next.words = beginning(names_of(Takes::job, begun.shop), typed);
        // The vehicle may come behind the procedures.
        if (next.words.empty()) next.words = beginning(names_of(Takes::procedure, begun.shop), typed);
    } else {
        next.words = beginning(names_of(of.takes, begun.shop), typed);
    }
    return next;
}

Next options(const CommandLineSays& says, const Begun& begun, std::string_view typed) {
    std::vector<Name> names;
    for (const CommandSays* of : {begun.command, &says.program})
        if (of != nullptr)
            for (const OptionSays& each : of->options)
                if (!begun.has(each) || each.many) names.push_back({each.names.front(), each.about});
    return {Takes::one_of, beginning(names, typed)};
}

Next commands(const CommandLineSays& says, std::string_view typed) {
    std::vector<Name> names;
    for (const CommandSays& each : says.commands)
        if (!each.hidden) names.push_back({each.name, each.about});
    return {Takes::one_of, beginning(names, typed)};
}

// One line of a terminal, whatever a file holds.
std::string in_one_line(std::string text) {
    for (char& each : text)
        if (static_cast<unsigned char>(each) < 0x20 || each == 0x7F) each = ' ';
    return text;
}

} // namespace

std::string unquoted(std::string_view word, std::string_view home) {
    std::string to;
    if (word.starts_with("~/")) {
        to = home;
        word.remove_prefix(1);
    }
    char quote = '\0';
    for (std::size_t i = 0; i < word.size(); ++i) {
        const char c = word[i];
        if (quote == '\0' && (c == '\'' || c == '"')) {
            quote = c;
        } else if (quote != '\0' && c == quote) {
            quote = '\0';
        } else if (c == '\\' && quote != '\'' && i + 1 < word.size() &&
                   (quote == '\0' || std::string_view("\"\\$`").find(word[i + 1]) != std::string_view::npos)) {
            to += word[++i];
        } else {
            to += c;
        }
    }
    return to;
}

Next what_next(const CommandLineSays& says, const std::vector<std::string>& line) {
    if (line.empty()) return {};
    const std::string& typed = line.back();
    const Begun begun = read_begun(says, {line.begin(), line.end() - 1});
    if (begun.lost) return {};
    const bool option = !begun.words_only && typed.starts_with('-');
    const std::size_t equals = typed.find('=');
    if (option && equals != std::string::npos) {
        const OptionSays* const of = find_option(says, begun.command, typed.substr(0, equals));
        return of == nullptr || of->value.empty() ? Next{} : values(begun, *of, typed.substr(equals + 1));
    }
    if (begun.open != nullptr && !(option && begun.filled)) return values(begun, *begun.open, typed);
    if (option) return options(says, begun, typed);
    if (begun.command == nullptr) return commands(says, typed);
    const auto& words = begun.command->words;
    if (begun.words < words.size()) return values(begun, words[begun.words], typed);
    if (!words.empty() && words.back().many) return values(begun, words.back(), typed);
    return typed.empty() && !begun.words_only ? options(says, begun, typed) : Next{};
}

int completion(const std::string& shell, Terminal& terminal) {
    std::vector<std::string_view> known;
    for (const Embedded& each : completions()) {
        known.push_back(each.name);
        if (each.name != shell) continue;
        terminal.result(each.text);
        return clean;
    }
    return usage_error(terminal, no_such("completion for the shell", shell, known));
}

int show_next(const CommandLineSays& says, const std::vector<std::string>& line, Terminal& terminal) {
    const char* const home = std::getenv("HOME");
    std::vector<std::string> words;
    for (const std::string& each : line) words.push_back(unquoted(each, home == nullptr ? "~" : home));
    const Next next = what_next(says, words);
    terminal.result(next.takes == Takes::file ? "files\n" : next.takes == Takes::folder ? "folders\n" : "words\n");
    for (const Name& each : next.words)
        terminal.result(fmt::format("{}\t{}\n", in_one_line(each.word), in_one_line(each.about)));
    return clean;
}

} // namespace benchleaf::driver
