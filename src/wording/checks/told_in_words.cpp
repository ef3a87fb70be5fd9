#include "wording/check.h"
#include "wording/english.h"

#include "base/text.h"
#include "model/verbs.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace benchleaf::wording {

namespace {

using linked::Sort;
using model::VerbName;
using std::string_view_literals::operator""sv;

constexpr unsigned bit(Sort sort) {
    return 1U << static_cast<unsigned>(sort);
}
constexpr unsigned fasteners = bit(Sort::fastener);
constexpr unsigned things = bit(Sort::fastener) | bit(Sort::clip) | bit(Sort::part);
constexpr unsigned circuits = bit(Sort::circuit);
constexpr unsigned settings = bit(Sort::setting);

// Words of the trade that change how a thing stands, and the step that does the same before the eyes of the proof.
struct Deed {
    std::string_view word;
    unsigned on; // sorts
    VerbName verb;
};
constexpr std::array deeds = {Deed{"loosen", fasteners, VerbName::slacken},
                              Deed{"slacken", fasteners, VerbName::slacken},
                              Deed{"undo", fasteners, VerbName::slacken},
                              Deed{"tighten", fasteners, VerbName::torque},
                              Deed{"retighten", fasteners, VerbName::torque},
                              Deed{"torque", fasteners, VerbName::torque},
                              Deed{"snug", fasteners, VerbName::snug},
                              Deed{"remove", things, VerbName::remove},
                              Deed{"detach", things, VerbName::remove},
                              Deed{"unscrew", things, VerbName::remove},
                              Deed{"disconnect", things, VerbName::remove},
                              Deed{"fit", things, VerbName::fit},
                              Deed{"refit", things, VerbName::fit},
                              Deed{"install", things, VerbName::fit},
                              Deed{"reinstall", things, VerbName::fit},
                              Deed{"connect", things, VerbName::fit},
                              Deed{"reconnect", things, VerbName::fit},
                              Deed{"renew", things, VerbName::renew},
                              Deed{"replace", things, VerbName::renew},
                              Deed{"open", circuits, VerbName::open},
                              Deed{"drain", circuits, VerbName::open},
                              Deed{"fill", circuits, VerbName::fill},
                              Deed{"refill", circuits, VerbName::fill},
                              Deed{"bleed", circuits, VerbName::bleed},
                              Deed{"adjust", bit(Sort::adjustment), VerbName::adjust},
                              Deed{"open", settings, VerbName::set},
                              Deed{"close", settings, VerbName::set},
                              Deed{"connect", settings, VerbName::set},
                              Deed{"disconnect", settings, VerbName::set},
                              Deed{"start", settings, VerbName::set},
                              Deed{"stop", settings, VerbName::set},
                              Deed{"raise", settings, VerbName::set},
                              Deed{"lower", settings, VerbName::set}};

bool stands_before_name(const Word& word) {
    static constexpr std::array words = {"the"sv,  "a"sv,     "an"sv,   "both"sv,  "all"sv,   "each"sv, "every"sv,
                                         "its"sv,  "this"sv,  "that"sv, "these"sv, "those"sv, "old"sv,  "new"sv,
                                         "left"sv, "right"sv, "one"sv,  "two"sv,   "four"sv};
    return !word.item && std::find(words.begin(), words.end(), word.text) != words.end();
}

// A noun behind it makes it another thing: "the axle nut cover".
bool ends_name(std::span<const Word> words, std::size_t at) {
    static constexpr std::array words_behind = {"a"sv,   "an"sv,   "the"sv,  "and"sv, "or"sv,    "out"sv, "off"sv,
                                                "up"sv,  "down"sv, "back"sv, "one"sv, "half"sv,  "two"sv, "only"sv,
                                                "but"sv, "not"sv,  "away"sv, "all"sv, "enough"sv};
    if (at >= words.size() || words[at].before != Before::nothing) return true;
    return !words[at].item &&
           (std::find(words_behind.begin(), words_behind.end(), words[at].text) != words_behind.end() ||
            opens_circumstance(words[at].text) || is_manner(words[at].text));
}

// How many words from `at` on are the name; 0: it is another one. The last may be in the plural.
std::size_t is_named(std::span<const Word> words, std::size_t at, std::string_view name) {
    if (words[at].item) return words[at].text == name ? 1 : 0;
    std::size_t count = 0;
    const std::vector<std::string_view> parts = base::split(name, ' ');
    for (const std::string_view part : parts) {
        const std::size_t next = at + count;
        if (next >= words.size() || words[next].item) return 0;
        if (count > 0 && words[next].before != Before::nothing) return 0;
        const std::string& word = words[next].text;
        const bool plural =
            count + 1 == parts.size() && word.size() == part.size() + 1 && word.starts_with(part) && word.back() == 's';
        if (word != part && !plural) return 0;
        ++count;
    }
    return count;
}

std::string as_step(const linked::Linked& linked, const linked::Item& item, VerbName verb) {
    std::string what = item.id;
    if (verb == VerbName::bleed && !item.vented_by.empty()) what = linked.items[item.vented_by.front().index()].id;
    if (verb == VerbName::set) what = fmt::format("{{ {}: … }}", item.id);
    return fmt::format("- {}: {}", model::verb(verb).word, what);
}

// The longest name of an item that the procedure can name, and that the word does something to.
void judge(const Wording& wording, const Text& text, std::size_t at, const Check& self, messages::Messages& out) {
    const linked::Linked& linked = *wording.linked;
    const linked::Procedure& procedure = linked.procedures[text.in.index()];
    const std::vector<Word>& words = text.words;
    std::size_t object = at + 1;
    while (object < words.size() && words[object].before == Before::nothing && stands_before_name(words[object]))
        ++object;
    if (object >= words.size() || words[object].before != Before::nothing) return;
    const linked::Item* found = nullptr;
    const Deed* how = nullptr;
    std::size_t longest = 0;
    for (const linked::Item& item : linked.items) {
        if (std::find(procedure.sees.begin(), procedure.sees.end(), item.catalogue) == procedure.sees.end()) continue;
        const std::size_t count = is_named(words, object, base::small_letters(item.name));
        if (count <= longest || !ends_name(words, object + count)) continue;
        const auto deed = std::find_if(deeds.begin(), deeds.end(), [&](const Deed& each) {
            return each.word == words[at].text && (each.on & bit(item.sort)) != 0;
        });
        if (deed == deeds.end()) continue;
        found = &item;
        how = &*deed;
        longest = count;
    }
    if (found == nullptr) return;
    messages::Message& message =
        out.add(self.rule, part_of(wording, text, words[at].begin, words[object + longest - 1].end),
                fmt::format("this is done to the {} in words alone, which the proof does not follow", found->name),
                "so it takes it to stand as before");
    message.labels.push_back({found->declared, "declared here"});
    message.help = fmt::format("write it as a step of its own, `{}`, with these words as its `say`",
                               as_step(linked, *found, how->verb));
}

void find_told_in_words(const Wording& wording, const Check& self, messages::Messages& out) {
    for (const Text& text : wording.texts) {
        if (text.kind != Kind::plain || !text.in.known()) continue;
        const std::vector<Word>& words = text.words;
        for (std::size_t i = 0; i < words.size(); ++i) {
            const bool begins =
                i == 0 || words[i].before == Before::stop || words[i - 1].text == "and" || is_manner(words[i - 1].text);
            const bool known =
                std::any_of(deeds.begin(), deeds.end(), [&](const Deed& deed) { return deed.word == words[i].text; });
            if (begins && known && !words[i].item) judge(wording, text, i, self, out);
        }
    }
}

} // namespace

namespace checks {
extern const Check told_in_words;
const Check told_in_words = {
    {"told-in-words", messages::Level::warning, "work on an item of the shop, in words that the proof does not follow"},
    find_told_in_words};
} // namespace checks

} // namespace benchleaf::wording
