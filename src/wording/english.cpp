#include "wording/english.h"

#include "base/text.h"
#include "model/verbs.h"

#include <algorithm>
#include <array>

namespace benchleaf::wording {

namespace {

using std::string_view_literals::operator""sv;

template <std::size_t size>
bool among(const std::array<std::string_view, size>& words, std::string_view word) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

bool has_vowel(std::string_view word) {
    return word.find_first_of("aeiouy") != std::string_view::npos;
}

// What an object begins with.
bool begins_object(const Word& word) {
    static constexpr std::array words = {"the"sv,  "a"sv,    "an"sv,    "it"sv,   "them"sv,  "this"sv, "that"sv,
                                         "all"sv,  "both"sv, "these"sv, "each"sv, "every"sv, "its"sv,  "their"sv,
                                         "your"sv, "any"sv,  "one"sv,   "two"sv,  "those"sv};
    return word.item || among(words, word.text) || base::is_digit(word.text.front());
}

bool is_particle(std::string_view word) {
    static constexpr std::array words = {"out"sv,  "off"sv,  "up"sv,   "down"sv,  "on"sv,  "in"sv,
                                         "back"sv, "away"sv, "over"sv, "round"sv, "for"sv, "at"sv};
    return among(words, word);
}

// Verbs of the language that are two words in a sentence, or that mean another thing there, stand apart.
bool is_verb_of_language(std::span<const Word> words, std::size_t at, std::size_t& behind) {
    const std::string_view word = words[at].text;
    behind = at + 1;
    if (word == "press") {
        const bool back =
            behind < words.size() && words[behind].text == "back" && words[behind].before == Before::nothing;
        if (back) ++behind;
        return back;
    }
    if (word == "do" || words[at].item) return false;
    return std::any_of(model::all_verbs().begin(), model::all_verbs().end(),
                       [&](const model::Verb& verb) { return verb.word == word; });
}

// The object directly behind the verb, or behind one particle.
bool object_at(std::span<const Word> words, std::size_t at) {
    if (at >= words.size() || words[at].before != Before::nothing) return false;
    if (begins_object(words[at])) return true;
    const std::size_t next = at + 1;
    return is_particle(words[at].text) && next < words.size() && words[next].before == Before::nothing &&
           begins_object(words[next]);
}

bool waits(std::span<const Word> words, std::size_t at) {
    const std::size_t next = at + 1;
    return words[at].text == "wait" && next < words.size() && words[next].before == Before::nothing &&
           (words[next].text == "until" || words[next].text == "for" || base::is_digit(words[next].text.front()));
}

} // namespace

bool is_manner(std::string_view word) {
    static constexpr std::array words = {"then"sv, "now"sv, "next"sv,   "first"sv, "again"sv,
                                         "also"sv, "and"sv, "always"sv, "just"sv,  "please"sv};
    static constexpr std::array verbs = {"apply"sv,    "supply"sv, "rely"sv, "reply"sv,
                                         "multiply"sv, "fly"sv,    "ply"sv,  "reapply"sv};
    return among(words, word) || (word.size() > 3 && word.ends_with("ly") && !among(verbs, word));
}

bool opens_circumstance(std::string_view word) {
    static constexpr std::array words = {"with"sv,    "without"sv, "when"sv,     "while"sv,   "if"sv,    "unless"sv,
                                         "after"sv,   "before"sv,  "until"sv,    "as"sv,      "at"sv,    "on"sv,
                                         "in"sv,      "from"sv,    "for"sv,      "to"sv,      "by"sv,    "under"sv,
                                         "over"sv,    "where"sv,   "wherever"sv, "because"sv, "since"sv, "during"sv,
                                         "through"sv, "behind"sv,  "between"sv,  "above"sv,   "below"sv, "beside"sv,
                                         "inside"sv,  "outside"sv, "whenever"sv, "once"sv,    "of"sv,    "so"sv};
    return among(words, word);
}

bool is_gerund_or_participle(std::string_view word) {
    static constexpr std::array orders = {"restring"sv, "embed"sv, "rebed"sv};
    if (word.find('-') != std::string_view::npos || among(orders, word)) return false;
    if (word.ends_with("ing")) return has_vowel(word.substr(0, word.size() - 3));
    if (!word.ends_with("ed")) return false;
    const std::string_view stem = word.substr(0, word.size() - 2);
    return has_vowel(stem) && !stem.ends_with('e');
}

bool never_begins_order(const Word& word) {
    static constexpr std::array words = {
        "the"sv,     "a"sv,      "an"sv,       "this"sv,    "that"sv,      "these"sv,    "those"sv,   "its"sv,
        "your"sv,    "his"sv,    "her"sv,      "their"sv,   "our"sv,       "my"sv,       "each"sv,    "every"sv,
        "all"sv,     "both"sv,   "some"sv,     "any"sv,     "no"sv,        "none"sv,     "another"sv, "either"sv,
        "neither"sv, "it"sv,     "he"sv,       "she"sv,     "they"sv,      "we"sv,       "you"sv,     "i"sv,
        "there"sv,   "nobody"sv, "somebody"sv, "someone"sv, "everybody"sv, "everyone"sv, "nothing"sv, "something"sv,
        "one"sv,     "who"sv,    "what"sv,     "which"sv,   "is"sv,        "are"sv,      "was"sv,     "were"sv,
        "will"sv,    "would"sv,  "shall"sv,    "should"sv,  "must"sv,      "may"sv,      "might"sv,   "could"sv,
        "has"sv,     "had"sv,    "does"sv,     "did"sv,     "needs"sv,     "new"sv,      "old"sv,     "front"sv,
        "left"sv,    "rear"sv,   "upper"sv,    "inner"sv,   "outer"sv,     "same"sv,     "other"sv,   "two"sv,
        "three"sv,   "four"sv,   "five"sv,     "six"sv,     "eight"sv,     "not"sv};
    return word.item || among(words, word.text) || base::is_digit(word.text.front());
}

bool verb_with_object(std::span<const Word> words, std::size_t at) {
    std::size_t behind = 0;
    return waits(words, at) || (is_verb_of_language(words, at, behind) && object_at(words, behind));
}

bool order_with_object(std::span<const Word> words, std::size_t at) {
    static constexpr std::array verbs = {
        "add"sv,    "attach"sv,  "back"sv,      "bag"sv,        "bend"sv,    "block"sv,    "blow"sv,    "bolt"sv,
        "brake"sv,  "break"sv,   "bring"sv,     "brush"sv,      "center"sv,  "centre"sv,   "change"sv,  "check"sv,
        "chock"sv,  "clamp"sv,   "clip"sv,      "close"sv,      "connect"sv, "cool"sv,     "couple"sv,  "count"sv,
        "cover"sv,  "cut"sv,     "detach"sv,    "disconnect"sv, "drain"sv,   "draw"sv,     "drill"sv,   "drive"sv,
        "drop"sv,   "dry"sv,     "empty"sv,     "ensure"sv,     "examine"sv, "fasten"sv,   "feed"sv,    "feel"sv,
        "file"sv,   "find"sv,    "flush"sv,     "fold"sv,       "free"sv,    "grease"sv,   "grind"sv,   "guide"sv,
        "hammer"sv, "hang"sv,    "heat"sv,      "hold"sv,       "hook"sv,    "insert"sv,   "install"sv, "jack"sv,
        "keep"sv,   "lay"sv,     "lean"sv,      "let"sv,        "lift"sv,    "line"sv,     "lock"sv,    "look"sv,
        "loosen"sv, "lower"sv,   "lubricate"sv, "make"sv,       "note"sv,    "oil"sv,      "pack"sv,    "park"sv,
        "peel"sv,   "pick"sv,    "place"sv,     "plug"sv,       "pour"sv,    "press"sv,    "prise"sv,   "pry"sv,
        "pull"sv,   "pump"sv,    "push"sv,      "put"sv,        "raise"sv,   "read"sv,     "rebuild"sv, "reconnect"sv,
        "refill"sv, "refit"sv,   "reinstall"sv, "release"sv,    "repeat"sv,  "replace"sv,  "reset"sv,   "rinse"sv,
        "rock"sv,   "roll"sv,    "rotate"sv,    "route"sv,      "run"sv,     "scrape"sv,   "screw"sv,   "seal"sv,
        "seat"sv,   "secure"sv,  "shake"sv,     "shift"sv,      "slide"sv,   "smear"sv,    "soak"sv,    "spin"sv,
        "spray"sv,  "squeeze"sv, "start"sv,     "steady"sv,     "stop"sv,    "store"sv,    "strap"sv,   "support"sv,
        "swing"sv,  "switch"sv,  "take"sv,      "tap"sv,        "test"sv,    "tie"sv,      "tighten"sv, "tilt"sv,
        "top"sv,    "turn"sv,    "twist"sv,     "undo"sv,       "unhook"sv,  "unlock"sv,   "unplug"sv,  "unscrew"sv,
        "wash"sv,   "watch"sv,   "wet"sv,       "wind"sv,       "wipe"sv,    "withdraw"sv, "wrap"sv,    "write"sv};
    if (verb_with_object(words, at)) return true;
    return !words[at].item && among(verbs, words[at].text) && object_at(words, at + 1);
}

bool goes_beside(std::string_view word) {
    static constexpr std::array words = {"hold"sv, "keep"sv, "watch"sv, "support"sv, "steady"sv, "let"sv};
    return among(words, word);
}

bool to_and_fro(std::string_view one, std::string_view other) {
    static constexpr std::array pairs = {std::pair{"open"sv, "close"sv},     std::pair{"push"sv, "pull"sv},
                                         std::pair{"raise"sv, "lower"sv},    std::pair{"press"sv, "release"sv},
                                         std::pair{"lift"sv, "lower"sv},     std::pair{"slacken"sv, "tighten"sv},
                                         std::pair{"squeeze"sv, "release"sv}};
    return std::any_of(pairs.begin(), pairs.end(), [&](const auto& pair) {
        return (pair.first == one && pair.second == other) || (pair.first == other && pair.second == one);
    });
}

} // namespace benchleaf::wording
