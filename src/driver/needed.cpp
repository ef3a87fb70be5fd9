#include "driver/needed.h"

#include "base/text.h"
#include "model/tree.h"

#include <algorithm>
#include <array>
#include <unordered_map>
#include <unordered_set>

namespace benchleaf::driver {

namespace {

void gather_names(const model::Tree& tree, std::vector<std::string>& to) {
    if (tree.refers.known() && !tree.text.empty()) to.push_back(tree.text);
    for (const model::Branch& branch : tree.branches) {
        if (branch.refers.known() && !branch.key.empty()) to.push_back(branch.key);
        gather_names(branch.tree, to);
    }
}

template <class Thing, std::size_t n>
std::vector<std::string> named_under(const Thing& thing, const std::array<std::string_view, n>& keys) {
    std::vector<std::string> names;
    for (const model::Branch& branch : model::tree_of(thing).branches)
        if (std::find(keys.begin(), keys.end(), branch.key) != keys.end()) gather_names(branch.tree, names);
    return names;
}

bool has_name(std::string_view text, std::string_view name) {
    return text.find(name) != std::string_view::npos;
}

} // namespace

std::vector<std::string> entries_named(const model::Vehicle& vehicle) {
    constexpr std::array<std::string_view, 5> keys = {"only", "torques", "limits", "items", "cautions"};
    return named_under(vehicle, keys);
}

std::vector<std::string> entries_named(const model::Job& job) {
    constexpr std::array<std::string_view, 2> keys = {"torques", "limits"};
    return named_under(job, keys);
}

std::vector<std::string> entries_named(const model::Record& record) {
    std::vector<std::string> names;
    if (!record.cards) return names;
    for (const model::RecordedCard& card : record.cards->value) {
        if (!card.found) continue;
        for (const model::FoundThing& each : card.found->value)
            if (each.of && each.found && each.found->value != model::Grade::good) names.push_back(each.of->value.name);
    }
    return names;
}

void each_key(std::string_view text, const std::function<void(std::string_view)>& see) {
    const auto is_of_word = [](char c) {
        return c != ' ' && c != '\t' && c != '\n' && c != '\r' && c != '{' && c != '}' && c != '[' && c != ']' &&
               c != ',' && c != '"' && c != '\'';
    };
    for (std::size_t colon = text.find(':'); colon != std::string_view::npos; colon = text.find(':', colon + 1)) {
        std::size_t end = colon;
        while (end > 0 &&
               (text[end - 1] == ' ' || text[end - 1] == '\t' || text[end - 1] == '"' || text[end - 1] == '\''))
            --end;
        std::size_t begin = end;
        while (begin > 0 && is_of_word(text[begin - 1])) --begin;
        if (begin < end) see(text.substr(begin, end - begin));
    }
}

Naming::Naming(const std::vector<std::string>& names) {
    for (const std::string& name : names) {
        const std::size_t slash = name.find('/');
        if (slash != std::string::npos)
            catalogues_.insert(name.substr(0, slash));
        else
            names_.insert(name);
    }
}

bool Naming::spelled_otherwise(std::string_view text) {
    return text.find('\\') != std::string_view::npos || text.find("? ") != std::string_view::npos;
}

bool Naming::may_be_in(std::string_view text) const {
    if (names_.empty()) return false;
    if (spelled_otherwise(text)) return true;
    bool found = false;
    each_key(text, [&](std::string_view key) { found = found || names_.contains(key); });
    return found;
}

namespace {

constexpr std::array<std::string_view, 11> binding = {"held-by",    "disturbed-by", "after", "circuit",
                                                      "opens",      "vents",        "locks", "renew-together",
                                                      "renew-with", "proved-by",    "of"};

bool is_of_name(char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
}

void add_words(std::string_view text, std::vector<std::string_view>& to) {
    for (std::size_t begin = 0; begin < text.size(); ++begin) {
        if (!is_of_name(text[begin])) continue;
        std::size_t end = begin;
        while (end < text.size() && is_of_name(text[end])) ++end;
        to.push_back(text.substr(begin, end - begin));
        begin = end;
    }
}

// Up to the first `stop`; one in a comment is none.
std::string_view up_to(char stop, std::string_view text) {
    const std::array<char, 2> ends = {stop, '#'};
    const std::string_view either(ends.data(), ends.size());
    std::size_t end = text.find_first_of(either);
    while (end != std::string_view::npos && text[end] == '#') end = text.find_first_of(either, text.find('\n', end));
    return text.substr(0, end);
}

// From the first character on that is of no comment and no blank one.
std::string_view from_content(std::string_view text) {
    constexpr std::string_view blank = " \t\r\n";
    std::size_t begin = text.find_first_not_of(blank);
    while (begin != std::string_view::npos && text[begin] == '#')
        begin = text.find_first_not_of(blank, text.find('\n', begin));
    return begin == std::string_view::npos ? std::string_view() : text.substr(begin);
}

// The map that stands behind the colon at `colon`, and perhaps more: in braces, or in the lines that lie further in than the one with its key. Where a map of
// maps in braces ends, only a reader knows.
enum class Map { of_words, of_maps };
std::string_view map_behind(std::string_view text, std::size_t colon, Map what) {
    const std::string_view rest = text.substr(colon + 1);
    if (from_content(rest).starts_with('{')) return what == Map::of_words ? up_to('}', rest) : rest;
    const auto indent_at = [text](std::size_t line) { return text.find_first_not_of(' ', line) - line; };
    const std::size_t indent = indent_at(text.rfind('\n', colon) + 1);
    std::size_t end = text.find('\n', colon);
    for (; end != std::string_view::npos; end = text.find('\n', end + 1)) {
        const std::string_view below = from_content(text.substr(end + 1, text.find('\n', end + 1) - end - 1));
        if (!below.empty() && indent_at(end + 1) <= indent) break;
    }
    return text.substr(colon + 1, end == std::string_view::npos ? end : end - colon - 1);
}

template <class T>
void add_names(const model::Given<std::vector<model::Named<T>>>& things, std::vector<std::string>& to) {
    if (!things) return;
    for (const auto& each : things->value) to.push_back(each.id.value);
}

} // namespace

CatalogueTexts::CatalogueTexts(const Named& named) : all_(named.size()) {
    std::unordered_multimap<std::string_view, std::size_t> numbers;
    for (std::size_t i = 0; i < named.size(); ++i) numbers.emplace(named[i].first, i);
    for (std::size_t i = 0; i < named.size(); ++i) {
        const std::string_view text = named[i].second;
        Spoken& spoken = all_[i];
        spoken.text = text;
        std::vector<std::string_view> uses;
        each_key(text, [&](std::string_view key) {
            const std::size_t colon = text.find(':', static_cast<std::size_t>(key.data() + key.size() - text.data()));
            // What stands behind it is a name or a list of names, and ends before the next colon.
            const auto names = [&] { return up_to(':', text.substr(colon + 1)); };
            if (key == "uses") add_words(names(), uses);
            if (std::find(binding.begin(), binding.end(), key) != binding.end()) add_words(names(), spoken.things);
            // What has to be loose while something is adjusted, disturbs it.
            if (key == "adjust") add_words(map_behind(text, colon, Map::of_words), spoken.things);
            // A second torque for a fastener: nobody knows which one holds.
            if (key == "torques") add_words(map_behind(text, colon, Map::of_maps), spoken.things);
        });
        std::sort(spoken.things.begin(), spoken.things.end());
        spoken.otherwise = Naming::spelled_otherwise(text);
        for (const std::string_view used : uses)
            for (auto [at, end] = numbers.equal_range(used); at != end; ++at) {
                all_[at->second].used_by.push_back(i);
                spoken.uses.push_back(at->second);
            }
    }
}

CatalogueTexts::Some CatalogueTexts::users_of(std::size_t number) const {
    Some users(all_.size(), false);
    std::vector<std::size_t> next{number};
    while (!next.empty()) {
        const std::size_t used = next.back();
        next.pop_back();
        if (users[used]) continue;
        users[used] = true;
        next.insert(next.end(), all_[used].used_by.begin(), all_[used].used_by.end());
    }
    return users;
}

// Is there a key of that name that does not itself speak of something, as those of `torques` do?
bool CatalogueTexts::Spoken::may_declare(std::string_view name) const {
    const auto [begin, end] = std::equal_range(things.begin(), things.end(), name);
    for (std::size_t at = text.find(name); at != std::string_view::npos; at = text.find(name, at + 1)) {
        const std::size_t behind = text.find_first_not_of("\"' \t", at + name.size());
        const bool key = behind != std::string_view::npos && text[behind] == ':';
        if (!key || (at > 0 && (is_of_name(text[at - 1]) || text[at - 1] == '/'))) continue;
        if (std::none_of(begin, end, [&](std::string_view each) { return each.data() == text.data() + at; }))
            return true;
    }
    return false;
}

// It, or one of those that it uses, be it by way of others.
bool CatalogueTexts::sees(std::size_t number, std::string_view name) const {
    std::vector<std::size_t> open{number}, seen;
    while (!open.empty()) {
        const std::size_t i = open.back();
        open.pop_back();
        if (std::find(seen.begin(), seen.end(), i) != seen.end()) continue;
        if (all_[i].may_declare(name)) return true;
        seen.push_back(i);
        open.insert(open.end(), all_[i].uses.begin(), all_[i].uses.end());
    }
    return false;
}

std::vector<std::size_t> CatalogueTexts::speaking(const Some& known, const Things& of) const {
    Some speak(all_.size(), false);
    std::unordered_set<std::string_view> names;
    for (const auto& [number, things] : of) names.insert(things.begin(), things.end());
    for (std::size_t i = 0; i < all_.size(); ++i)
        speak[i] = !known[i] && std::any_of(all_[i].things.begin(), all_[i].things.end(), [&](std::string_view thing) {
            return names.contains(thing) && !sees(i, thing);
        });
    for (const auto& [number, things] : of) {
        const Some users = users_of(number);
        for (std::size_t i = 0; i < all_.size(); ++i) {
            const Spoken& each = all_[i];
            if (!users[i] || known[i] || speak[i]) continue;
            for (const std::string& thing : things)
                speak[i] = speak[i] || std::binary_search(each.things.begin(), each.things.end(), thing);
        }
    }
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < all_.size(); ++i)
        if (speak[i] || (all_[i].otherwise && !known[i])) found.push_back(i);
    return found;
}

std::vector<CatalogueTexts::Speaker> CatalogueTexts::speakers_of(std::size_t number,
                                                                 const std::vector<std::string>& things) const {
    const Some users = users_of(number);
    std::vector<Speaker> speakers;
    for (std::size_t i = 0; i < all_.size(); ++i) {
        const Spoken& each = all_[i];
        if (i == number) continue;
        Speaker speaker{i, each.otherwise, {}};
        for (const std::string& thing : things)
            if (std::binary_search(each.things.begin(), each.things.end(), thing) && (users[i] || !sees(i, thing)))
                speaker.things.push_back(thing);
        if (speaker.of_anything || !speaker.things.empty()) speakers.push_back(std::move(speaker));
    }
    return speakers;
}

void add_things(const model::Catalogue& catalogue, std::vector<std::string>& to) {
    add_names(catalogue.parts, to);
    add_names(catalogue.fasteners, to);
    add_names(catalogue.circuits, to);
    add_names(catalogue.settings, to);
    add_names(catalogue.adjustments, to);
    add_names(catalogue.limits, to);
}

void Asks::add(const model::Conditions& conditions) {
    for (const auto& condition : conditions)
        for (const auto& value : condition.value)
            if (!condition.key.name.empty()) features_.emplace(condition.key.name, value.name);
}

void Asks::add(const model::Steps& steps) {
    for (const model::Step& step : steps) {
        if (step.when) add(step.when->value);
        if (step.only)
            for (const auto& entry : step.only->value)
                for (const auto& value : entry.value) axes_.emplace(entry.key.name, value.name);
        for (const auto* below : {&step.if_so, &step.if_not, &step.steps})
            if (*below) add((*below)->value);
        if (step.again && step.again->value.otherwise) add(step.again->value.otherwise->value);
    }
}

template <class T>
void Asks::add_items(const model::Given<std::vector<model::Named<T>>>& items) {
    if (!items) return;
    for (const auto& item : items->value) {
        if (item.value.each) axes_.emplace(item.value.each->value.name, "");
        if (item.value.only_on) add(item.value.only_on->value);
    }
}

void Asks::add(const model::Catalogue& catalogue) {
    add_items(catalogue.parts);
    add_items(catalogue.fasteners);
    add_items(catalogue.circuits);
    add_items(catalogue.settings);
    add_items(catalogue.adjustments);
    if (catalogue.limits)
        for (const auto& limit : catalogue.limits->value)
            if (limit.value.difference && limit.value.difference->value.over)
                axes_.emplace(limit.value.difference->value.over->value.name, "");
}

void Asks::add(const model::Procedure& procedure) {
    if (procedure.fits) add(procedure.fits->value);
    if (procedure.each) axes_.emplace(procedure.each->value.name, "");
    if (procedure.steps) add(procedure.steps->value);
}

void Asks::add(const model::Vehicle& vehicle) {
    if (!vehicle.only) return;
    for (const auto& entry : vehicle.only->value)
        for (const auto& narrowed : entry.value)
            for (const auto& value : narrowed.value) axes_.emplace(narrowed.key.name, value.name);
}

bool Asks::meet(const model::Vehicle& vehicle) {
    const std::size_t before = features_.size() + axes_.size();
    if (vehicle.has)
        for (const auto& entry : vehicle.has->value) features_.erase({entry.key.name, entry.value.name});
    bool says_sides = false;
    if (vehicle.axes)
        for (const auto& entry : vehicle.axes->value) {
            axes_.erase({entry.key.name, ""});
            for (const auto& value : entry.value) axes_.erase({entry.key.name, value.name});
            says_sides = says_sides || entry.key.name == "side";
        }
    axes_.erase({"side", ""}); // it is there always
    if (!says_sides)
        for (const char* value : {"left", "right"}) axes_.erase({"side", value});
    return features_.size() + axes_.size() < before;
}

bool Asks::may_be_met_by(std::string_view text) const {
    const auto in_text = [text](const auto& pair) { return has_name(text, pair.first) && has_name(text, pair.second); };
    return std::any_of(features_.begin(), features_.end(), in_text) || std::any_of(axes_.begin(), axes_.end(), in_text);
}

bool Asks::nearly_met_by(const model::Vehicle& vehicle) const {
    if (!vehicle.has) return false;
    const auto either_way = [](std::string_view a, std::string_view b) {
        return base::is_slip(a, b) || base::is_slip(b, a);
    };
    const auto asked = [this](const auto& is) { return std::any_of(features_.begin(), features_.end(), is); };
    return std::any_of(vehicle.has->value.begin(), vehicle.has->value.end(), [&](const auto& has) {
        const std::string& key = has.key.name;
        const std::string& value = has.value.name;
        if (features_.contains({key, value})) return false;
        const bool of_key = asked([&](const auto& pair) { return pair.first == key; });
        return asked([&](const auto& pair) {
            return of_key ? pair.first == key && either_way(value, pair.second) : either_way(key, pair.first);
        });
    });
}

CatalogueTexts::Some CatalogueTexts::with_used(Some those) const {
    for (bool more = true; more;) {
        more = false;
        for (std::size_t i = 0; i < all_.size(); ++i) {
            const auto& by = all_[i].used_by;
            if (those[i] || std::none_of(by.begin(), by.end(), [&](std::size_t each) { return those[each]; })) continue;
            those[i] = true;
            more = true;
        }
    }
    return those;
}

bool add_speaking(const CatalogueTexts& texts, const std::function<CatalogueTexts::Some()>& there,
                  const std::function<void(std::size_t, std::vector<std::string>&)>& things_of,
                  const std::function<bool(std::size_t)>& add) {
    std::vector<std::size_t> news;
    const CatalogueTexts::Some first = there();
    for (std::size_t i = 0; i < first.size(); ++i)
        if (first[i]) news.push_back(i);
    while (!news.empty()) {
        CatalogueTexts::Things things;
        for (const std::size_t i : news) things_of(i, things[i]);
        news = texts.speaking(there(), things);
        if (!std::all_of(news.begin(), news.end(), add)) return false;
    }
    return true;
}

CatalogueTexts::Some called_by(const std::vector<std::string>& names, const CatalogueTexts::Named& catalogues,
                               const CatalogueTexts& texts) {
    const Naming naming(names);
    CatalogueTexts::Some those;
    for (const auto& [name, text] : catalogues)
        those.push_back(naming.catalogues().contains(name) || naming.may_be_in(text));
    return texts.with_used(std::move(those));
}

} // namespace benchleaf::driver
