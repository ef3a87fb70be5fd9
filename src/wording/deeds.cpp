#include "wording/deeds.h"

#include "base/text.h"
#include "wording/english.h"

#include <algorithm>
#include <array>

namespace benchleaf::wording {

namespace {

using linked::Item;
using linked::Sort;
using model::VerbName;
using std::string_view_literals::operator""sv;

constexpr unsigned sort_bit(Sort sort) {
    return 1U << static_cast<unsigned>(sort);
}
constexpr unsigned fasteners = sort_bit(Sort::fastener);
constexpr unsigned clips = sort_bit(Sort::clip);
constexpr unsigned parts = sort_bit(Sort::part);
constexpr unsigned things = fasteners | clips | parts;
constexpr unsigned circuits = sort_bit(Sort::circuit);
constexpr unsigned settings = sort_bit(Sort::setting);
constexpr std::string_view away = "off out away";
constexpr std::string_view ends = "."; // "Pull the pin.", and not "Pull the pin through the axle."

constexpr std::array deeds = {Deed{"loosen", "", fasteners, VerbName::slacken},
                              Deed{"slacken", "", fasteners, VerbName::slacken},
                              Deed{"undo", "", fasteners, VerbName::slacken},
                              Deed{"ease", "", fasteners, VerbName::slacken},
                              Deed{"crack", "", fasteners, VerbName::slacken},
                              Deed{"open", "", fasteners, VerbName::slacken},
                              Deed{"break", "loose free", fasteners, VerbName::slacken},
                              Deed{"back", "off out", fasteners, VerbName::slacken},
                              Deed{"turn", "back", fasteners, VerbName::slacken},
                              Deed{"leave", "loose slack open undone", fasteners, VerbName::slacken, "", true},
                              Deed{"leave", "off out", things, VerbName::remove, "", true},
                              Deed{"leave", "tight", fasteners, VerbName::torque, "", true},
                              Deed{"leave", "on in", things, VerbName::fit, "", true},
                              Deed{"tighten", "", fasteners, VerbName::torque},
                              Deed{"retighten", "", fasteners, VerbName::torque},
                              Deed{"torque", "", fasteners, VerbName::torque},
                              Deed{"close", "", fasteners, VerbName::torque},
                              Deed{"shut", "", fasteners, VerbName::torque},
                              Deed{"snug", "", fasteners, VerbName::snug},
                              Deed{"remove", "", things, VerbName::remove},
                              Deed{"detach", "", things, VerbName::remove},
                              Deed{"unscrew", "", things, VerbName::remove},
                              Deed{"unbolt", "", things, VerbName::remove},
                              Deed{"disconnect", "", things, VerbName::remove},
                              Deed{"withdraw", "", things, VerbName::remove},
                              Deed{"take", away, things, VerbName::remove},
                              Deed{"pull", away, things, VerbName::remove},
                              Deed{"draw", away, things, VerbName::remove},
                              Deed{"knock", away, things, VerbName::remove},
                              Deed{"drive", away, things, VerbName::remove},
                              Deed{"tap", away, things, VerbName::remove},
                              Deed{"lever", away, things, VerbName::remove},
                              Deed{"prise", away, things, VerbName::remove},
                              Deed{"pry", away, things, VerbName::remove},
                              Deed{"lift", away, things, VerbName::remove},
                              Deed{"slide", away, things, VerbName::remove},
                              Deed{"screw", "off out", things, VerbName::remove},
                              Deed{"turn", "out", fasteners, VerbName::remove},
                              Deed{"pull", ends, clips, VerbName::remove},
                              Deed{"draw", ends, clips, VerbName::remove},
                              Deed{"knock", ends, clips, VerbName::remove},
                              Deed{"fit", "", things, VerbName::fit},
                              Deed{"refit", "", things, VerbName::fit},
                              Deed{"install", "", things, VerbName::fit},
                              Deed{"reinstall", "", things, VerbName::fit},
                              Deed{"connect", "", things, VerbName::fit},
                              Deed{"reconnect", "", things, VerbName::fit},
                              Deed{"put", "on in back", things, VerbName::fit},
                              Deed{"renew", "", things, VerbName::renew},
                              Deed{"replace", "", things, VerbName::renew},
                              Deed{"press", "back", parts, VerbName::press_back},
                              Deed{"push", "back", parts, VerbName::press_back},
                              Deed{"open", "", circuits, VerbName::open},
                              Deed{"drain", "", circuits, VerbName::open},
                              Deed{"fill", "", circuits, VerbName::fill},
                              Deed{"refill", "", circuits, VerbName::fill},
                              Deed{"bleed", "", circuits, VerbName::bleed},
                              Deed{"adjust", "", sort_bit(Sort::adjustment), VerbName::adjust},
                              Deed{"open", "", settings, VerbName::set, "closed shut"},
                              Deed{"close", "", settings, VerbName::set, "open"},
                              Deed{"shut", "", settings, VerbName::set, "open"},
                              Deed{"connect", "", settings, VerbName::set, "disconnected off"},
                              Deed{"disconnect", "", settings, VerbName::set, "connected on"},
                              Deed{"start", "", settings, VerbName::set, "stopped off"},
                              Deed{"run", "", settings, VerbName::set, "stopped off"},
                              Deed{"stop", "", settings, VerbName::set, "running idling on"},
                              Deed{"raise", "", settings, VerbName::set, "down lowered"},
                              Deed{"jack", "", settings, VerbName::set, "down lowered"},
                              Deed{"lift", "", settings, VerbName::set, "down lowered"},
                              Deed{"lower", "", settings, VerbName::set, "raised up lifted"},
                              Deed{"release", "", settings, VerbName::set, "applied on locked"},
                              Deed{"let", "off out", settings, VerbName::set, "applied on locked"},
                              Deed{"apply", "", settings, VerbName::set, "released off"},
                              Deed{"pull", "on", settings, VerbName::set, "released off"},
                              Deed{"put", "on", settings, VerbName::set, "released off"},
                              Deed{"lock", "", settings, VerbName::set, "unlocked"},
                              Deed{"unlock", "", settings, VerbName::set, "locked"},
                              Deed{"turn", "on", settings, VerbName::set, "off stopped"},
                              Deed{"switch", "on", settings, VerbName::set, "off stopped"},
                              Deed{"turn", "off", settings, VerbName::set, "on running"},
                              Deed{"switch", "off", settings, VerbName::set, "on running"},
                              Deed{"set", "", settings, VerbName::set}};

bool is_one_of(std::string_view word, std::string_view list) {
    const std::vector<std::string_view> all = base::split(list, ' ');
    return std::find(all.begin(), all.end(), word) != all.end();
}

// "Raise the front end a little": its state stays the same.
bool only_a_little(std::span<const Word> words, std::size_t at, const Deed& deed) {
    if (deed.on != settings || !is_one_of(deed.word, "raise lower lift jack")) return false;
    return at < words.size() && words[at].before == Before::nothing &&
           is_one_of(words[at].text, "a half slightly by just");
}

bool stands_before_name(const Word& word) {
    static constexpr std::array words = {"the"sv,  "a"sv,     "an"sv,   "both"sv,  "all"sv,   "each"sv, "every"sv,
                                         "its"sv,  "this"sv,  "that"sv, "these"sv, "those"sv, "old"sv,  "new"sv,
                                         "left"sv, "right"sv, "one"sv,  "two"sv,   "four"sv};
    return !word.item && std::find(words.begin(), words.end(), word.text) != words.end();
}

// A noun behind it makes it another thing: "the axle nut cover".
bool ends_name(std::span<const Word> words, std::size_t at) {
    static constexpr std::array words_behind = {
        "a"sv,    "an"sv,    "the"sv,   "and"sv,  "or"sv,    "out"sv,   "off"sv,  "up"sv,      "down"sv,   "back"sv,
        "one"sv,  "half"sv,  "two"sv,   "on"sv,   "but"sv,   "not"sv,   "away"sv, "all"sv,     "enough"sv, "only"sv,
        "open"sv, "loose"sv, "slack"sv, "free"sv, "tight"sv, "apart"sv, "you"sv,  "further"sv, "hard"sv,   "undone"sv};
    if (at >= words.size() || words[at].before != Before::nothing) return true;
    return !words[at].item &&
           (std::find(words_behind.begin(), words_behind.end(), words[at].text) != words_behind.end() ||
            opens_circumstance(words[at].text) || is_manner(words[at].text));
}

bool is_word(const std::string& word, std::string_view part, bool last) {
    const bool plural = last && word.size() == part.size() + 1 && word.starts_with(part) && word.back() == 's';
    return word == part || plural;
}

// The last word may be in the plural.
template <typename Parts>
bool is_named(std::span<const Word> words, std::size_t at, const Parts& name, std::size_t from) {
    for (std::size_t i = from; i < name.size(); ++i) {
        const std::size_t next = at + i - from;
        if (next >= words.size() || words[next].item) return false;
        if (i > from && words[next].before != Before::nothing) return false;
        if (!is_word(words[next].text, name[i], i + 1 == name.size())) return false;
    }
    return true;
}

std::vector<std::string> apart(std::string_view text, char at) {
    std::vector<std::string> made;
    for (const std::string_view part : base::split(text, at))
        if (!part.empty()) made.emplace_back(part);
    return made;
}

} // namespace

Names::Names(const Wording& wording) {
    for (const Item& item : wording.linked->items) {
        const std::string name = base::small_letters(item.name);
        by_name_[name].push_back(&item);
        std::vector<std::vector<std::string>> forms = {apart(name, ' '), {item.id}, apart(item.id, '-')};
        for (std::size_t i = 0; i < forms.size(); ++i) {
            if (forms[i].empty() || std::find(forms.begin(), forms.begin() + static_cast<std::ptrdiff_t>(i),
                                              forms[i]) != forms.begin() + static_cast<std::ptrdiff_t>(i))
                continue;
            by_first_[forms[i].front()].push_back({&item, forms[i]});
            if (forms[i].size() == 1) by_first_[forms[i].front() + "s"].push_back({&item, forms[i]});
        }
    }
}

std::vector<Named> Names::at(const linked::Procedure& procedure, std::span<const Word> words, std::size_t at) const {
    std::vector<Named> found;
    if (at >= words.size()) return found;
    const auto seen = [&](const Item& item) {
        return std::find(procedure.sees.begin(), procedure.sees.end(), item.catalogue) != procedure.sees.end();
    };
    if (words[at].item) {
        if (const auto items = by_name_.find(words[at].text); items != by_name_.end())
            for (const Item* item : items->second)
                if (seen(*item)) found.push_back({item, 1});
        return found;
    }
    const auto names = by_first_.find(words[at].text);
    if (names == by_first_.end()) return found;
    for (const Name& name : names->second)
        if (seen(*name.item) && is_named(words, at, name.parts, 0)) found.push_back({name.item, name.parts.size()});
    return found;
}

std::size_t names_itself(const Item& item, std::span<const Word> words, std::size_t at) {
    if (at >= words.size()) return 0;
    const std::string name = base::small_letters(item.name);
    if (words[at].item) return words[at].text == name ? 1 : 0;
    if (words[at].text == item.id) return 1;
    const std::vector<std::string> parts_of_name = apart(name, ' ');
    for (std::size_t from = 0; from < parts_of_name.size(); ++from)
        if (is_named(words, at, parts_of_name, from)) return parts_of_name.size() - from;
    return 0;
}

bool begins_order(std::span<const Word> words, std::size_t at) {
    if (at == 0 || words[at].before == Before::stop) return true;
    const std::string& before = words[at - 1].text;
    if (before == "and" || is_manner(before)) return true;
    if (before == "you" && at > 1 && (words[at - 2].text == "while" || words[at - 2].text == "as")) return true;
    if (words[at].before != Before::comma) return false;
    std::size_t first = at - 1;
    while (first > 0 && words[first].before != Before::stop) --first;
    return !words[first].item && opens_circumstance(words[first].text);
}

std::optional<Order> order_at(std::span<const Word> words, std::size_t at, const Item& item,
                              const std::function<std::size_t(std::size_t)>& named) {
    for (const Deed& deed : deeds) {
        if (words[at].item || deed.word != words[at].text || (deed.on & sort_bit(item.sort)) == 0) continue;
        if (deed.verb == VerbName::press_back && !item.circuit.known()) continue;
        std::size_t object = at + 1;
        const auto goes_on = [&] { return object < words.size() && words[object].before == Before::nothing; };
        bool particle = deed.particles.empty();
        if (!particle && goes_on() && is_one_of(words[object].text, deed.particles)) {
            particle = true;
            ++object;
        }
        while (goes_on() && stands_before_name(words[object])) ++object;
        if (!goes_on()) continue;
        const std::size_t count = named(object);
        if (count == 0 || !ends_name(words, object + count)) continue;
        std::size_t end = object + count;
        if (deed.particles == ends) {
            if (end < words.size() && words[end].before == Before::nothing) continue;
        } else if (!particle) {
            if (end >= words.size() || words[end].before != Before::nothing ||
                !is_one_of(words[end].text, deed.particles))
                continue;
            ++end;
        }
        if (only_a_little(words, end, deed)) continue;
        return Order{&deed, at, end};
    }
    return std::nullopt;
}

std::optional<OrderOn> order_on_any(const Names& names, const linked::Procedure& procedure, std::span<const Word> words,
                                    std::size_t at) {
    static constexpr std::size_t furthest = 5; // the verb, its particle, "both of the" …
    std::optional<OrderOn> found;
    std::size_t longest = 0;
    for (std::size_t object = at + 1; object < words.size() && object <= at + furthest; ++object) {
        if (words[object].before != Before::nothing) break;
        for (const Named& each : names.at(procedure, words, object)) {
            if (each.count <= longest) continue;
            const auto order = order_at(words, at, *each.item, [&](std::size_t where) {
                return where == object ? each.count : std::size_t{0};
            });
            if (!order) continue;
            longest = each.count;
            found = OrderOn{*order, each.item};
        }
    }
    return found;
}

} // namespace benchleaf::wording
