#include "model/read.h"

#include "base/text.h"
#include "model/date.h"
#include "model/keys.h"
#include "model/kind.h"
#include "model/reports.h"
#include "model/tables.h"
#include "model/verbs.h"
#include "model/within.h"

#include <fmt/format.h>
#include <utility>

#include <algorithm>
#include <charconv>
#include <unordered_map>

namespace benchleaf::model {

using syntax::NodeId;
using SyntaxKind = syntax::Kind;

namespace {

// "a list", "a map", for messages.
std::string_view says(SyntaxKind kind) {
    switch (kind) {
    case SyntaxKind::scalar:
        return "a text";
    case SyntaxKind::list:
        return "a list";
    case SyntaxKind::map:
        return "a map";
    case SyntaxKind::empty:
        return "nothing";
    case SyntaxKind::hole:
        return "something that could not be read";
    }
    return "something";
}

std::string says(Argument argument) {
    switch (argument) {
    case Argument::items:
        return "the name of a part or fastener, or a list of them";
    case Argument::fasteners:
        return "the name of a fastener, or a list of them";
    case Argument::parts:
        return "the name of a part, or a list of them";
    case Argument::circuits:
        return "the name of a circuit, or a list of them";
    case Argument::adjustments:
        return "the name of an adjustment, or a list of them";
    case Argument::limits:
        return "the name of a limit, or a list of them";
    case Argument::item_to_place:
        return "a map from a part to its place";
    case Argument::setting_to_state:
        return "a map from a setting to its state";
    case Argument::consumable:
        return "the name of a consumable";
    case Argument::text:
        return "a text";
    case Argument::time:
        return "a time";
    case Argument::procedure:
        return "the name of a procedure";
    }
    return "a value";
}

std::string_view says(StepSort sort) {
    switch (sort) {
    case StepSort::verb:
        return "a verb";
    case StepSort::plain:
        return "`say` alone";
    case StepSort::section:
        return "`section`";
    case StepSort::ask:
        return "`ask`";
    case StepSort::decide:
        return "`decide`";
    case StepSort::if_answered:
        return "`if-answered`";
    case StepSort::again:
        return "`again`";
    case StepSort::stop:
        return "`stop`";
    }
    return "a step";
}

// "`apply` and `fill`", "a verb, `ask` and `decide`".
std::string says(const GoesWith& with) {
    std::vector<std::string> parts;
    for (std::size_t i = 0; i < step_sort_count; ++i)
        if (with.has(static_cast<StepSort>(i))) parts.emplace_back(says(static_cast<StepSort>(i)));
    for (const Verb& verb : all_verbs())
        if (with.has(verb.name)) parts.push_back(fmt::format("`{}`", verb.word));
    return base::join_and(parts);
}

// What a key that says what a step is makes of it.
std::optional<StepSort> step_sort_of(std::string_view key) {
    if (key == "section") return StepSort::section;
    if (key == "ask") return StepSort::ask;
    if (key == "decide") return StepSort::decide;
    if (key == "if-answered") return StepSort::if_answered;
    if (key == "again") return StepSort::again;
    if (key == "stop") return StepSort::stop;
    return std::nullopt;
}

const Verb* find_verb(std::string_view word) {
    const auto verbs = all_verbs();
    const auto found = std::find_if(verbs.begin(), verbs.end(), [word](const Verb& verb) { return verb.word == word; });
    return found == verbs.end() ? nullptr : &*found;
}

const std::vector<std::string_view>& verb_words() {
    static const std::vector<std::string_view> words = [] {
        std::vector<std::string_view> all;
        for (const Verb& verb : all_verbs()) all.push_back(verb.word);
        return all;
    }();
    return words;
}

void append_names(const Table& table, std::vector<std::string_view>& to) {
    for (const Row& row : table.rows)
        if (std::find(to.begin(), to.end(), row.says->name) == to.end()) to.push_back(row.says->name);
}

std::vector<std::string_view> names_of(const Table& table) {
    std::vector<std::string_view> names;
    append_names(table, names);
    return names;
}

// A language, perhaps with script and region: `en`, `pt-BR`, `sr-Latn-RS` (the usual part of BCP 47).
bool is_language_tag(std::string_view text) {
    const auto letters = [](std::string_view part) {
        return std::all_of(part.begin(), part.end(),
                           [](char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); });
    };
    const auto parts = base::split(text, '-');
    if (parts.size() > 3 || !letters(parts[0]) || parts[0].size() < 2 || parts[0].size() > 3) return false;
    std::size_t next = 1;
    if (next < parts.size() && parts[next].size() == 4 && letters(parts[next])) ++next;
    if (next < parts.size() && parts[next].size() == 2 && letters(parts[next])) ++next;
    return next == parts.size();
}

bool all_digits(std::string_view text) {
    return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

// Names without a catalogue before them: what no other file declares.
constexpr bool is_local(Refers to) {
    return to == Refers::free || to == Refers::place || to == Refers::axis || to == Refers::feature ||
           to == Refers::step || to == Refers::catalogue || to == Refers::procedure || to == Refers::vehicle;
}

bool is_reference(std::string_view text, bool local) {
    const std::size_t slash = text.find('/');
    if (slash == std::string_view::npos || local) return base::is_kebab_case(text);
    return base::is_kebab_case(text.substr(0, slash)) && base::is_kebab_case(text.substr(slash + 1));
}

constexpr std::int32_t whole_picture = 10'000; // hundredths of a percent
constexpr std::size_t most_marks = 20;

// "35 %" or "35.5%" at the front of the text, in hundredths of a percent, taken off it.
std::optional<std::int32_t> take_percentage(std::string_view& text) {
    const auto digits = [&text] {
        std::size_t count = 0;
        while (count < text.size() && text[count] >= '0' && text[count] <= '9') ++count;
        return count;
    };
    const auto take = [&text](std::size_t count) {
        std::int32_t value = 0;
        for (const char digit : text.substr(0, count)) value = value * 10 + (digit - '0');
        text.remove_prefix(count);
        return value;
    };
    const std::size_t whole = digits();
    if (whole == 0 || whole > 3) return std::nullopt;
    std::int32_t hundredths = take(whole) * 100;
    if (text.starts_with('.')) {
        text.remove_prefix(1);
        const std::size_t decimals = digits();
        if (decimals == 0 || decimals > 2) return std::nullopt;
        hundredths += take(decimals) * (decimals == 1 ? 10 : 1);
    }
    text = base::trimmed(text);
    if (!text.starts_with('%')) return std::nullopt;
    text = base::trimmed(text.substr(1));
    return hundredths;
}

std::optional<Spot> spot_of(std::string_view text) {
    Spot spot;
    const auto two = [&text](std::int32_t& across, std::int32_t& down) {
        const auto first = take_percentage(text);
        const auto second = first ? take_percentage(text) : std::nullopt;
        if (!second) return false;
        across = *first;
        down = *second;
        return true;
    };
    if (!two(spot.across, spot.down)) return std::nullopt;
    if (text.empty()) return spot;
    if (!text.starts_with("from ")) return std::nullopt;
    text = base::trimmed(text.substr(5));
    spot.apart = true;
    if (!two(spot.number_across, spot.number_down) || !text.empty()) return std::nullopt;
    return spot;
}

// One file on its way. `read(node, value)` reads a value of any member's type and says whether it is good; what is bad
// was reported.
constexpr std::size_t most_digits = 6; // of a whole number

class Reader {
public:
    Reader(const syntax::Syntax& syntax, const source::Sources& sources, messages::Messages& out)
        : syntax_(syntax), sources_(sources), out_(&out) {}

    void file(Model& into);
    bool read_as_its_kind(Model& into); // false: nothing came of the file

private:
    // What is being read, for messages.
    struct Now {
        const Row* row = nullptr;
        const Verb* verb = nullptr;
        Span key;
    };

    Span span(NodeId node) const { return syntax_.at(node).span; }
    SyntaxKind kind(NodeId node) const { return syntax_.at(node).kind; }
    std::string_view text(NodeId node) const { return syntax_.at(node).text; }

    Expected expected() const {
        if (now_.verb != nullptr) return {now_.verb->word, now_.key, says(now_.verb->takes), now_.verb->example};
        return {now_.row->says->name, now_.key, model::says(*now_.row), now_.row->says->example};
    }

    // `[]` and `{}` name nothing. A vehicle may say so, where what the catalogue names is not on it, and a part of a place for which nothing
    // has to be off.
    bool says_nothing(NodeId node) const {
        const bool list = kind(node) == SyntaxKind::list || kind(node) == SyntaxKind::map;
        return list && syntax_.at(node).children == 0 && !may_be_empty_;
    }

    bool refuse(NodeId node) {
        if (kind(node) == SyntaxKind::empty || says_nothing(node))
            found::empty_value(*out_, expected());
        else if (kind(node) != SyntaxKind::hole)
            found::wrong_form(*out_, span(node), says(kind(node)), expected());
        return false;
    }

    // The text of a scalar that says something.
    bool scalar(NodeId node, std::string_view& into) {
        if (kind(node) != SyntaxKind::scalar) return refuse(node);
        into = base::trimmed(text(node));
        if (!base::shows_nothing(into)) return true;
        found::empty_value(*out_, expected());
        return false;
    }

    Span within(NodeId node, std::size_t begin, std::size_t end) const {
        return model::within(syntax_.at(node), sources_, begin, end);
    }

    // -- Values -------------------------------------------------------------------------------------------------------
    bool read(NodeId node, std::string& into) {
        std::string_view written;
        if (!scalar(node, written)) return false;
        const KeySays* says = now_.row == nullptr ? nullptr : now_.row->says;
        if (says != nullptr && says->spelling == Spelling::words) {
            const auto word = one_of(node, written, says->words);
            if (word) into = says->words[*word];
            return word.has_value();
        }
        if (says != nullptr && says->spelling != Spelling::free && !spelled(node, written, *says)) return false;
        into = written;
        return true;
    }

    bool spelled(NodeId node, std::string_view written, const KeySays& says) {
        switch (says.spelling) {
        case Spelling::free:
            return true;
        case Spelling::lower_word:
            if (base::is_kebab_case(written)) return true;
            found::bad_name(*out_, span(node), written);
            return false;
        case Spelling::words: // by `one_of`
            return true;
        case Spelling::unit: {
            const auto unit = units::find_unit(written);
            if (!unit)
                found::unknown_unit(*out_, span(node), written, says.unit_of);
            else if (!units::fits(*unit, says.unit_of))
                found::wrong_dimension(*out_, span(node), written, says.unit_of);
            else
                return true;
            return false;
        }
        case Spelling::factor:
            return factor(node, written);
        case Spelling::language:
            if (is_language_tag(written)) return true;
            found::bad_language_tag(*out_, span(node), written);
            return false;
        case Spelling::date:
            if (calendar_day(written)) return true;
            found::bad_date(*out_, span(node), written);
            return false;
        }
        return false;
    }

    bool factor(NodeId node, std::string_view written) {
        const std::size_t mark = written.find_first_of(".,");
        const std::string_view whole = written.substr(0, mark);
        const std::string_view rest = mark == std::string_view::npos ? "0" : written.substr(mark + 1);
        if (!all_digits(whole) || !all_digits(rest) || whole.size() > 4 || rest.size() > 6)
            found::bad_number(*out_, span(node), written, "a plain number, for instance `1.25`");
        else if (mark != std::string_view::npos && written[mark] == ',')
            found::decimal_comma(*out_, within(node, mark, mark + 1), written);
        else if (whole.find_first_not_of('0') == std::string_view::npos)
            found::out_of_range(*out_, span(node), fmt::format("`{}` is less than 1", now_.row->says->name),
                                "less than 1 would let a part wear past its limit before the next service");
        else
            return true;
        return false;
    }

    std::optional<std::size_t> one_of(NodeId node, std::string_view written, std::span<const std::string_view> words) {
        const auto at = std::find(words.begin(), words.end(), written);
        if (at != words.end()) return static_cast<std::size_t>(at - words.begin());
        leave_out_twice_said(found::unknown_word(*out_, span(node), written, expected().key, words));
        // From then on it is read as the one that was meant.
        const auto meant = std::find_if(words.begin(), words.end(),
                                        [&](std::string_view word) { return base::is_slip(written, word); });
        return meant == words.end() ? std::nullopt : std::optional(static_cast<std::size_t>(meant - words.begin()));
    }

    bool read(NodeId node, bool& into) { return truth(node, into, truth_words); }
    // In a map of answers it is the answer.
    bool read(NodeId node, Spanned<bool>& into) {
        into.span = span(node);
        return truth(node, into.value, answer_words);
    }
    bool truth(NodeId node, bool& into, std::span<const std::string_view> words) {
        std::string_view written;
        if (!scalar(node, written)) return false;
        const auto index = one_of(node, written, words);
        into = index == std::size_t{0};
        return index.has_value();
    }

    bool read(NodeId node, std::int64_t& into) {
        std::string_view written;
        if (!scalar(node, written)) return false;
        const bool whole = all_digits(written) && (written.size() == 1 || written.front() != '0');
        if (!whole) {
            found::bad_number(*out_, span(node), written, "a whole number");
            return false;
        }
        if (written.size() > most_digits) {
            found::out_of_range(*out_, span(node), fmt::format("`{}` is more than 999999", expected().key),
                                fmt::format("no such number is met in a shop; for instance `{}`", expected().example));
            return false;
        }
        std::from_chars(written.data(), written.data() + written.size(), into);
        if (into >= 1) return true;
        found::out_of_range(*out_, span(node), fmt::format("`{}` is less than 1", expected().key),
                            fmt::format("write `{}`", expected().example));
        return false;
    }

    bool read(NodeId node, std::chrono::year_month_day& into) {
        std::string_view written;
        if (!scalar(node, written)) return false;
        const auto day = calendar_day(written);
        if (!day)
            found::bad_date(*out_, span(node), written);
        else
            into = *day;
        return day.has_value();
    }

    template <Worded E>
    bool read(NodeId node, E& into) {
        std::string_view written;
        if (!scalar(node, written)) return false;
        const auto index = one_of(node, written, Words<E>::all);
        if (index) into = static_cast<E>(*index);
        return index.has_value();
    }

    template <Refers to>
    bool read(NodeId node, Ref<to>& into) {
        return name(node, is_local(to), into.name, into.span);
    }
    bool name(NodeId node, bool local, std::string& into, Span& at) {
        std::string_view written;
        if (!scalar(node, written)) return false;
        at = span(node);
        into = written;
        if (is_reference(written, local)) return true;
        leave_out_twice_said(found::bad_name(*out_, at, written));
        return false;
    }
    // A fix of a key that would say a key twice in its map is none. Whoever writes a thousand keys into one map does so with a program.
    void leave_out_twice_said(messages::Message& message) const {
        constexpr std::uint32_t most_keys = 1000;
        if (!map_of_key_.known() || message.fixes.empty()) return;
        const messages::Edit& edit = message.fixes.front().edits.front();
        const Span key = message.labels.front().span;
        std::string meant(sources_.text({key.file, key.begin, edit.span.begin}));
        meant += edit.text;
        if (meant.ends_with(':')) meant.pop_back();
        if (syntax_.at(map_of_key_).children > 2 * most_keys || syntax_.value_of(map_of_key_, meant).known())
            message.fixes.clear();
    }
    template <class K>
    bool read_key(NodeId map, NodeId key, K& into) {
        const NodeId outer = std::exchange(map_of_key_, map);
        const bool good = read(key, into);
        map_of_key_ = outer;
        return good;
    }

    // A figure; the place of what is wrong with it is counted from the start of its text.
    template <class T>
    bool figure(NodeId node, units::Parsed<T> parsed, T& into) {
        if (auto* error = std::get_if<units::ParseError>(&parsed)) {
            // `scalar` trimmed the text in front, so the count starts there.
            const std::size_t skipped = static_cast<std::size_t>(base::trimmed(text(node)).data() - text(node).data());
            found::figure(*out_, within(node, skipped + error->begin, skipped + error->end), *error);
            return false;
        }
        into = std::move(*std::get_if<T>(&parsed));
        return true;
    }
    bool large_enough(NodeId node, const units::Quantity& quantity) {
        const Least least =
            now_.row == nullptr ? Least::above_zero : now_.row->says->least; // a verb's own figure is a time to wait
        if (least == Least::any || quantity.digits > 0 || (least == Least::zero && quantity.digits == 0)) return true;
        const Expected wanted = expected();
        found::out_of_range(*out_, span(node),
                            fmt::format("`{}` is {} zero", wanted.key, quantity.digits == 0 ? "not above" : "below"),
                            fmt::format("write how much it is, as in `{}`", wanted.example));
        return false;
    }
    template <units::Wanted wanted>
    bool read(NodeId node, Measure<wanted>& into) {
        std::string_view written;
        return scalar(node, written) && figure(node, units::parse_quantity(written, wanted), into.quantity) &&
               large_enough(node, into.quantity);
    }
    template <units::Wanted wanted>
    bool read(NodeId node, MeasureRange<wanted>& into) {
        std::string_view written;
        return scalar(node, written) && figure(node, units::parse_range(written, wanted), into.range);
    }
    bool read(NodeId node, units::Thread& into) {
        std::string_view written;
        return scalar(node, written) && figure(node, units::parse_thread(written), into);
    }
    bool read(NodeId node, units::Tightening& into) {
        std::vector<NodeId> nodes;
        std::vector<std::string_view> stages;
        for (const NodeId one : one_or_list(node)) {
            std::string_view written;
            if (!scalar(one, written)) return false;
            nodes.push_back(one);
            stages.push_back(written);
        }
        if (stages.empty()) {
            found::empty_value(*out_, expected());
            return false;
        }
        auto parsed = units::parse_tightening(stages);
        if (auto* error = std::get_if<units::TighteningError>(&parsed)) {
            units::Tightening none;
            return figure<units::Tightening>(nodes[error->stage], std::move(error->error), none);
        }
        into = std::move(*std::get_if<units::Tightening>(&parsed));
        return true;
    }

    // -- Lists and maps -----------------------------------------------------------------------------------------------
    // What was written as a list, or the one thing that stands for a list of one.
    std::vector<NodeId> one_or_list(NodeId node) const {
        std::vector<NodeId> all;
        if (kind(node) != SyntaxKind::list) return {node};
        for (const NodeId one : syntax_.children(node)) all.push_back(one);
        return all;
    }

    // `f(key, value)` for each pair of a map.
    template <class F>
    void pairs(NodeId map, F f) const {
        NodeId key;
        for (const NodeId node : syntax_.children(map)) {
            if (!key.known()) {
                key = node;
                continue;
            }
            f(key, node);
            key = NodeId();
        }
    }

    template <class T>
    bool read(NodeId node, Spanned<T>& into) {
        into.span = span(node);
        return read(node, into.value);
    }

    // What is good in a list is kept.
    template <class T>
    bool read(NodeId node, std::vector<T>& into) {
        if (kind(node) == SyntaxKind::empty || kind(node) == SyntaxKind::hole || says_nothing(node))
            return refuse(node);
        bool good = kind(node) == SyntaxKind::list;
        for (const NodeId one : one_or_list(node)) {
            T value{};
            bool bad = false;
            if constexpr (requires {
                              value.name;
                              value.span;
                          })
                bad = comma_missing(one);
            if (bad || !read(one, value)) {
                // Without it, what the others of them leave or have would seem to be all.
                if constexpr (std::is_same_v<T, Ref<Refers::procedure>> || std::is_same_v<T, Ref<Refers::catalogue>>)
                    into.push_back({{}, span(one)});
                if constexpr (std::is_same_v<T, Ref<Refers::catalogue>>) good = true; // none is another matter
                if constexpr (std::is_same_v<T, Spanned<std::string>>)
                    if (now_.row != nullptr && now_.row->says->spelling == Spelling::words) {
                        into.push_back({{}, span(one)});
                        good = true;
                    }
                continue;
            }
            into.push_back(std::move(value));
            good = true;
        }
        return good;
    }

    // Boxes of a card: those that were left blank say nothing.
    bool read(NodeId node, Entries<Spanned<std::string>, Spanned<std::string>>& into) {
        if (kind(node) != SyntaxKind::map) return refuse(node);
        pairs(node, [&](NodeId key, NodeId value) {
            if (kind(value) == SyntaxKind::empty) return;
            if (kind(value) == SyntaxKind::scalar && base::shows_nothing(base::trimmed(text(value)))) return;
            Entry<Spanned<std::string>, Spanned<std::string>> entry{};
            if (read(key, entry.key) && read(value, entry.value)) into.push_back(std::move(entry));
        });
        return true;
    }

    template <class K, class V>
    bool read(NodeId node, Entries<K, V>& into) {
        if (kind(node) != SyntaxKind::map || says_nothing(node)) return refuse(node);
        pairs(node, [&](NodeId key, NodeId value) {
            Entry<K, V> entry{};
            if (now_.row->says->by_verb && find_verb(text(key)) == nullptr && kind(key) == SyntaxKind::scalar) {
                // Only the outer map is keyed by verbs.
                if constexpr (std::is_same_v<Entries<K, V>, WhileOf>) {
                    map_of_key_ = node;
                    leave_out_twice_said(
                        found::unknown_word(*out_, span(key), text(key), now_.row->says->name, verb_words()));
                    map_of_key_ = {};
                    return;
                }
            }
            const bool outer = may_be_empty_;
            may_be_empty_ = outer || std::is_same_v<V, Refs<Refers::fastener>>;
            if (read_key(node, key, entry.key) && read(value, entry.value)) into.push_back(std::move(entry));
            may_be_empty_ = outer;
        });
        return true;
    }

    // A thing with keys of its own, below the key that is being read.
    template <Keyed T>
    bool read(NodeId node, T& into) {
        if (kind(node) != SyntaxKind::map) return refuse(node);
        keys(node, {Keys<T>::called, {}, now_.key}, into, false);
        return true;
    }

    // "35 % 40 %", or "35 % 40 % from 10 % 20 %".
    bool read(NodeId node, Spot& into) {
        std::string_view written;
        if (!scalar(node, written)) return false;
        const std::optional<Spot> spot = spot_of(written);
        if (!spot) {
            found::bad_number(*out_, span(node), written,
                              "how far it is from the left and from the top of the picture, for instance `35 % 40 %`");
            return false;
        }
        into = *spot;
        for (const std::int32_t part : {into.across, into.down, into.number_across, into.number_down}) {
            if (part <= whole_picture) continue;
            found::out_of_range(*out_, span(node), "more than 100 % lies off the picture",
                                "count from its left and its upper edge: the middle is `50 % 50 %`");
            return false;
        }
        return true;
    }

    bool read(NodeId node, Marks& into) {
        if (!read<Spanned<std::string>, std::vector<Spanned<Spot>>>(node, into)) return false;
        if (into.size() <= most_marks) return true;
        found::out_of_range(*out_, into[most_marks].key.span,
                            fmt::format("more than {} marks on one picture", most_marks),
                            "nobody finds his way among so many: make two pictures of it, each with its step");
        return false;
    }

    bool read(NodeId node, Entering& into) {
        if (kind(node) == SyntaxKind::map) {
            keys(node, {Keys<Entering>::called, {}, span(node)}, into, false);
            return true;
        }
        Ref<Refers::place> place;
        if (!read(node, place)) return false;
        into.place = Spanned<std::string>{std::move(place.name), place.span};
        return true;
    }

    // Things by name; one that needs only a name may be a text.
    template <class T>
    bool read(NodeId node, std::vector<Named<T>>& into) {
        if (kind(node) != SyntaxKind::map) return refuse(node);
        const Now outer = now_;
        const bool in_part = now_.row->says->part;
        pairs(node, [&](NodeId key, NodeId value) {
            now_ = outer;
            Named<T> thing;
            Ref<Refers::free> id;
            if (kind(key) == SyntaxKind::hole) return;
            // A thing with a bad name is kept, so that what calls it by that name is not reported as well.
            // Figures and differences stand under the name of an item, which may lie in another catalogue.
            map_of_key_ = node;
            name(key, !in_part && !std::is_same_v<T, Torque>, id.name, id.span);
            map_of_key_ = {};
            thing.id = {id.name, span(key)};
            thing.whole = {span(key).file, span(key).begin, std::max(span(key).end, span(value).end)};
            now_.key = span(key);
            body(value, thing, in_part);
            into.push_back(std::move(thing));
        });
        now_ = outer;
        return true;
    }

    template <class T>
    void body(NodeId node, Named<T>& thing, bool in_part) {
        const Thing says{called<T>(), thing.id.value, thing.id.span};
        if (kind(node) == SyntaxKind::map) {
            if constexpr (std::is_same_v<T, ItemDifference>)
                item_keys(node, says, thing.value);
            else
                keys(node, says, thing.value, in_part);
            return;
        }
        if constexpr (std::is_same_v<T, ItemDifference> || std::is_same_v<T, Torque> || std::is_same_v<T, Caution> ||
                      std::is_same_v<T, Limit>) {
            refuse_body(node, thing.id, called<T>(), false);
        } else {
            if (kind(node) != SyntaxKind::scalar || base::shows_nothing(text(node))) {
                refuse_body(node, thing.id, called<T>(), true);
                return;
            }
            thing.value.name = Spanned<std::string>{std::string(base::trimmed(text(node))), span(node)};
            lacking(table_of<T>(), says, {"name"}, in_part);
        }
    }

    template <class T>
    static constexpr std::string_view called() {
        if constexpr (std::is_same_v<T, ItemDifference>)
            return "item";
        else
            return Keys<T>::called;
    }

    void refuse_body(NodeId node, const Spanned<std::string>& id, std::string_view called, bool name_will_do) {
        if (kind(node) == SyntaxKind::hole) return;
        Expected wanted{id.value, id.span,
                        fmt::format("{}the keys of {} {}", name_will_do ? "a name, or " : "",
                                    called == "item" || called == "adjustment" ? "an" : "a", called),
                        now_.row->says->example};
        if (kind(node) == SyntaxKind::list || (kind(node) == SyntaxKind::scalar && !base::shows_nothing(text(node))))
            found::wrong_form(*out_, span(node), says(kind(node)), wanted);
        else
            found::empty_value(*out_, wanted);
    }

    // -- Keys ---------------------------------------------------------------------------------------------------------
    template <class Owner, class T>
    void member(NodeId node, Owner& into, const Key<Owner, Given<T>>& key) {
        Spanned<T> value{};
        value.span = span(node);
        const bool good = read(node, value.value);
        if (!good) unread(into);
        if constexpr (std::is_same_v<T, Steps>) {
            if (!good) value.value = steps_unread(node);
        } else if (!good) {
            return;
        }
        into.*key.member = std::move(value);
    }
    // What these steps do, nobody knows.
    Steps steps_unread(NodeId node) const {
        Steps steps;
        steps.emplace_back().hole = true;
        steps.front().span = span(node);
        return steps;
    }
    // Later stages do not miss in it what could not be read.
    template <class T>
    static void unread(T& thing) {
        if constexpr (requires { thing.unread; }) thing.unread = true;
    }
    template <class Owner, class A, class B>
    void member(NodeId node, Owner& into, const EitherKey<Owner, Given<A>, Given<B>>& key) {
        if (key.is_second(syntax_, node)) {
            Spanned<B> value{};
            value.span = span(node);
            if (read(node, value.value))
                into.*key.second = std::move(value);
            else
                unread(into);
            return;
        }
        Spanned<A> value{};
        value.span = span(node);
        if (read(node, value.value))
            into.*key.first = std::move(value);
        else
            unread(into);
    }

    // The key as it is written, or as it was meant where it is misspelt.
    std::string_view key_of(NodeId key) const {
        const auto meant = meant_.find(key.index());
        return meant == meant_.end() ? text(key) : meant->second;
    }
    // Says that nothing declares the key. From then on it is read as the one that was meant, so that nothing else seems to lack that.
    found::MeantKey guess(NodeId map, NodeId key, const Thing& thing, std::span<const std::string_view> known) {
        std::vector<std::string_view> beside;
        pairs(map, [&](NodeId other, NodeId) {
            if (other != key) beside.push_back(key_of(other));
        });
        std::string_view line = std::string_view(sources_.file(syntax_.file).text).substr(span(key).begin);
        line = line.substr(0, line.find_first_of("\r\n"));
        const found::MeantKey meant = found::unknown_key(*out_, span(key), text(key), line, thing, known, beside);
        if (meant.sure) meant_[key.index()] = meant.key;
        return meant;
    }

    // Reads the value of `key_node` if its text is a key of T.
    template <class T>
    bool known_key(NodeId key_node, NodeId node, T& into) {
        const Table& table = table_of<T>();
        const Now outer = now_;
        const std::string_view name = key_of(key_node);
        std::size_t index = 0;
        bool known = false;
        for_each_key<T>([&](const auto& key) {
            const std::size_t mine = index++;
            if (known || key.name != name) return;
            known = true;
            now_ = {&table.rows[mine], nullptr, span(key_node)};
            member(node, into, key);
        });
        now_ = outer;
        return known;
    }

    template <class T>
    void keys(NodeId map, const Thing& thing, T& into, bool in_part, NodeId first = NodeId()) {
        std::vector<std::string_view> seen;
        pairs(map, [&](NodeId key, NodeId value) {
            if (key == first || kind(key) != SyntaxKind::scalar) return;
            seen.push_back(text(key));
            if (known_key(key, value, into)) return;
            // A misspelt key is not missing as well.
            const found::MeantKey meant = guess(map, key, thing, names_of(table_of<T>()));
            seen.push_back(meant.key);
            if (meant.key.empty()) {
                unread(into);
                return;
            }
            // What is said of the value of a key that is only guessed may not be true.
            messages::Messages unsaid;
            messages::Messages* const loud = out_;
            if (!meant.sure) out_ = &unsaid;
            meant_[key.index()] = meant.key;
            known_key(key, value, into);
            out_ = loud;
        });
        excluded(map, table_of<T>());
        lacking(table_of<T>(), thing, seen, in_part);
    }

    // Keys that another key of the same thing excludes.
    void excluded(NodeId map, const Table& table) {
        pairs(map, [&](NodeId key, NodeId) {
            const Row* row = table.find(key_of(key));
            if (row == nullptr || row->says->not_with.key.empty()) return;
            const NotWith& not_with = row->says->not_with;
            pairs(map, [&](NodeId other, NodeId value) {
                if (text(other) != not_with.key) return;
                if (!not_with.word.empty() && base::trimmed(text(value)) != not_with.word) return;
                const std::string with = not_with.word.empty() ? fmt::format("`{}`", not_with.key)
                                                               : fmt::format("`{}: {}`", not_with.key, not_with.word);
                found::key_does_not_go(
                    *out_, span(key), fmt::format("`{}` does not go with {}", text(key), with), span(other),
                    "this excludes it",
                    fmt::format("take out the one or the other; `{}` is {}", text(key), row->says->help));
            });
        });
    }

    void lacking(const Table& table, const Thing& thing, const std::vector<std::string_view>& seen, bool in_part) {
        if (in_part) return;
        for (const Row& row : table.rows)
            if (row.says->needed && std::find(seen.begin(), seen.end(), row.says->name) == seen.end())
                found::missing_key(*out_, thing, row.says->name, row.says->help, row.says->example);
    }

    // What differs about an item whose sort only its name tells: a key of any sort will do here.
    void item_keys(NodeId map, const Thing& thing, ItemDifference& into) {
        may_be_empty_ = true;
        pairs(map, [&](NodeId key, NodeId value) {
            if (kind(key) != SyntaxKind::scalar) return;
            bool known = false;
            messages::Messages once_is_enough;
            messages::Messages* const loud = out_;
            const auto read_into = [&](auto& sort) {
                out_ = known ? &once_is_enough : loud;
                known = known_key(key, value, sort) || known;
            };
            read_into(into.part);
            read_into(into.fastener);
            read_into(into.circuit);
            read_into(into.setting);
            read_into(into.adjustment);
            out_ = loud;
            if (known) {
                into.keys.push_back({std::string(text(key)), span(key)});
                return;
            }
            std::vector<std::string_view> names;
            for (const Table* table : {&table_of<Part>(), &table_of<Fastener>(), &table_of<Circuit>(),
                                       &table_of<Setting>(), &table_of<Adjustment>()})
                append_names(*table, names);
            guess(map, key, thing, names);
        });
        may_be_empty_ = false;
    }

    // -- Steps --------------------------------------------------------------------------------------------------------
    bool read(NodeId node, Steps& into) {
        if (kind(node) == SyntaxKind::empty || kind(node) == SyntaxKind::hole) return refuse(node);
        if (kind(node) == SyntaxKind::list && syntax_.at(node).children == 0) {
            found::empty_value(*out_, expected());
            return false;
        }
        const Now outer = now_;
        ++lists_of_steps_;
        if (kind(node) == SyntaxKind::list) into.reserve(syntax_.at(node).children);
        for (const NodeId one : one_or_list(node)) {
            into.push_back(step(one));
            now_ = outer;
        }
        --lists_of_steps_;
        return true;
    }

    // `- measure:lining` is a text to YAML, and was meant as a verb.
    bool verb_without_blank(NodeId node) {
        const std::string_view written = text(node);
        const std::size_t colon = written.find(':');
        if (colon == std::string_view::npos || colon + 1 >= written.size()) return false;
        const std::string_view word = written.substr(0, colon);
        if (find_verb(word) == nullptr && !step_sort_of(word)) return false;
        if (sources_.text(span(node)) != written) return false; // in quotes: a text that was meant as one
        found::no_blank_after_verb(*out_, span(node), written, colon);
        return true;
    }

    Step step(NodeId node) {
        Step made;
        made.span = span(node);
        switch (kind(node)) {
        case SyntaxKind::scalar:
            if (base::shows_nothing(text(node))) break;
            if (verb_without_blank(node)) {
                made.hole = true;
                return made;
            }
            made.plain = Spanned<std::string>{std::string(base::trimmed(text(node))), span(node)};
            return made;
        case SyntaxKind::map:
            step_of_map(node, made);
            return made;
        case SyntaxKind::list:
            found::wrong_form(*out_, span(node), says(SyntaxKind::list), a_step());
            break;
        case SyntaxKind::empty:
            found::step_does_nothing(*out_, span(node));
            break;
        case SyntaxKind::hole:
            break;
        }
        if (kind(node) == SyntaxKind::scalar) found::step_does_nothing(*out_, span(node));
        made.hole = true;
        return made;
    }

    Expected a_step() const { return {"steps", now_.key, "a text, or a map with one verb", "- remove: front-wheel"}; }

    // What an entry is: its sort, its verb, and the key that says so.
    struct What {
        StepSort sort = StepSort::plain;
        const Verb* verb = nullptr;
        NodeId key;
        NodeId value;
    };

    static bool of_a_repeat(std::string_view key) {
        const Table& table = table_of<Again>();
        return table.find(key) != nullptr && table_of<Step>().find(key) == nullptr;
    }
    // `again:` with nothing after it, and its keys beside it: one mistake, told as one.
    bool again_not_set_in(NodeId map) {
        NodeId again;
        NodeId beside;
        pairs(map, [&](NodeId key, NodeId value) {
            if (kind(key) != SyntaxKind::scalar) return;
            if (text(key) == "again" && kind(value) == SyntaxKind::empty) again = key;
            if (!beside.known() && of_a_repeat(text(key))) beside = key;
        });
        if (!again.known() || !beside.known()) return false;
        found::not_set_in(*out_, span(again), span(beside), "again");
        return true;
    }

    void step_of_map(NodeId map, Step& into) {
        if (again_not_set_in(map)) {
            into.hole = true;
            return;
        }
        const Table& table = table_of<Step>();
        bool unknown = false;
        bool torque = false;
        bool worded = false;
        std::vector<What> whats;
        pairs(map, [&](NodeId key, NodeId) { torque = torque || text(key) == "torque"; });
        static const std::vector<std::string_view> names = [&table] {
            std::vector<std::string_view> all = verb_words();
            append_names(table, all);
            return all;
        }();
        pairs(map, [&](NodeId key, NodeId value) {
            const auto known = [&table](std::string_view name) {
                return find_verb(name) != nullptr || step_sort_of(name) || table.find(name) != nullptr;
            };
            if (kind(key) == SyntaxKind::scalar && !known(text(key)))
                unknown = !guess(map, key, {Keys<Step>::called, {}, into.span}, names).sure || unknown;
            const std::string_view name = key_of(key);
            const Verb* verb = find_verb(name);
            // `record` is a verb, and beside `torque` a key of that verb.
            if (verb != nullptr && verb->name == VerbName::record && torque) verb = nullptr;
            if (verb != nullptr)
                whats.push_back({StepSort::verb, verb, key, value});
            else if (const auto sort = step_sort_of(name))
                whats.push_back({*sort, nullptr, key, value});
            else if (kind(key) != SyntaxKind::scalar)
                unknown = true;
            worded = worded || name == "say";
        });
        if (whats.size() > 1) {
            found::two_in_one_step(*out_, span(whats[0].key), key_of(whats[0].key), span(whats[1].key),
                                   key_of(whats[1].key));
            into.hole = true;
            return;
        }
        // What a step with an unknown key does beside its text is not known.
        if (whats.empty() && (unknown || !worded)) {
            if (!unknown) found::step_does_nothing(*out_, syntax_.at(map).children == 0 ? span(map) : first_key(map));
            into.hole = true;
            return;
        }
        const What what = whats.empty() ? What{} : whats.front();
        if (what.sort == StepSort::section && lists_of_steps_ > 1) {
            found::section_inside(*out_, span(what.key));
            into.hole = true;
            return;
        }
        note_question(map, what, unknown);
        if (what.verb != nullptr && !verb_use(what, into)) into.hole = true;
        step_keys(map, what, into);
        if (what.sort == StepSort::plain && into.say) into.plain = into.say;
        // An unknown key may have said when, where or how it is done.
        if (unknown) into.hole = true;
    }

    Span first_key(NodeId map) const {
        for (const NodeId key : syntax_.children(map)) return span(key);
        return span(map);
    }

    void step_keys(NodeId map, const What& what, Step& into) {
        const Table& table = table_of<Step>();
        const Span at = what.key.known() ? span(what.key) : first_key(map);
        const std::string_view word = what.verb != nullptr ? what.verb->word : says(what.sort);
        const bool self = what.verb == nullptr && what.key.known();
        std::vector<std::string_view> seen;
        pairs(map, [&](NodeId key, NodeId value) {
            const Row* row = table.find(key_of(key));
            if (row == nullptr || (what.verb != nullptr && key == what.key)) return;
            seen.push_back(row->says->name);
            const GoesWith& with = row->says->with;
            // A call has no row of its own on the card, so that there is nothing to hang a picture beside.
            if (what.verb != nullptr && what.verb->name == VerbName::do_procedure && row->says->name == "picture") {
                found::key_does_not_go(*out_, span(key), "`picture` does not go with `do`", at, "this step is `do`",
                                       "put it beside a step of the procedure that is called");
                return;
            }
            const bool goes = with.any() || with.has(what.sort) || (what.verb != nullptr && with.has(what.verb->name));
            if (!goes) {
                const std::string here = what.verb != nullptr ? fmt::format("`{}`", word) : std::string(word);
                found::key_does_not_go(*out_, span(key), fmt::format("`{}` does not go with {}", key_of(key), here), at,
                                       self || what.verb != nullptr ? fmt::format("this step is {}", here)
                                                                    : "this step has no verb",
                                       fmt::format("`{}` goes with {}: {}", key_of(key), says(with), row->says->help));
                return;
            }
            known_key(key, value, into);
        });
        const Thing thing{Keys<Step>::called, what.key.known() ? key_of(what.key) : std::string_view("say"), at};
        for (const Row& row : table.rows) {
            const bool by_verb =
                what.verb != nullptr && (row.says->needed_by >> static_cast<unsigned>(what.verb->name) & 1U) != 0;
            const bool by_sort = (row.says->needed_by_sort >> static_cast<unsigned>(what.sort) & 1U) != 0;
            if ((by_verb || by_sort) && std::find(seen.begin(), seen.end(), row.says->name) == seen.end())
                found::missing_key(*out_, thing, row.says->name, row.says->help, row.says->example);
        }
    }

    bool verb_use(const What& what, Step& into) {
        const Now outer = now_;
        now_ = {nullptr, what.verb, span(what.key)};
        VerbUse use;
        use.verb = what.verb->name;
        use.key = span(what.key);
        bool good = false;
        switch (what.verb->takes) {
        case Argument::items:
        case Argument::fasteners:
        case Argument::parts:
        case Argument::circuits:
        case Argument::adjustments:
        case Argument::limits:
            good = targets(what.value, false, use.targets);
            break;
        case Argument::item_to_place:
        case Argument::setting_to_state:
            good = placed_targets(what.value, use.targets);
            break;
        case Argument::consumable:
            good = one_target(what.value, false, use.targets);
            break;
        case Argument::procedure:
            good = one_target(what.value, true, use.targets);
            break;
        case Argument::text: {
            Spanned<std::string> value;
            good = read(what.value, value);
            use.text = std::move(value);
            break;
        }
        case Argument::time: {
            Spanned<Measure<units::Wanted::time>> value;
            good = read(what.value, value);
            use.time = value;
            break;
        }
        }
        now_ = outer;
        if (good) into.verb = std::move(use);
        return good;
    }

    // `[inner-pad outer-pad]`: names with blanks between them are one text, and so are two lines of a list of which the second has no dash.
    bool comma_missing(NodeId node) {
        if (kind(node) != SyntaxKind::scalar || syntax_.at(node).style != syntax::Style::plain) return false;
        const std::string_view written = base::trimmed(text(node));
        // `wheel-look, wheel-bush`, or with one bracket of two
        std::string_view inside = written;
        if (inside.starts_with('[')) inside.remove_prefix(1);
        if (inside.ends_with(']')) inside.remove_suffix(1);
        std::vector<std::string_view> names;
        for (const std::string_view part : base::split(inside, ',')) names.push_back(base::trimmed(part));
        if (names.size() > 1 &&
            std::all_of(names.begin(), names.end(), [](std::string_view name) { return base::is_kebab_case(name); })) {
            found::brackets_missing(*out_, span(node), written, names);
            return true;
        }
        const auto parts = base::split(written, ' ');
        if (parts.size() < 2) return false;
        if (!std::all_of(parts.begin(), parts.end(), [](std::string_view part) { return base::is_kebab_case(part); }))
            return false;
        const bool over_lines = sources_.text(span(node)).find('\n') != std::string_view::npos;
        found::comma_missing(*out_, span(node), written, over_lines);
        return true;
    }

    bool one_target(NodeId node, bool local, std::vector<Target>& into) {
        Target target;
        if (!name(node, local, target.name, target.span)) return false;
        into.push_back(std::move(target));
        return true;
    }
    bool targets(NodeId node, bool local, std::vector<Target>& into) {
        if (kind(node) == SyntaxKind::list && syntax_.at(node).children == 0) {
            found::empty_value(*out_, expected());
            return false;
        }
        bool good = true;
        for (const NodeId one : one_or_list(node)) good = !comma_missing(one) && one_target(one, local, into) && good;
        return good;
    }
    bool placed_targets(NodeId node, std::vector<Target>& into) {
        if (kind(node) != SyntaxKind::map) return refuse(node);
        bool good = true;
        pairs(node, [&](NodeId key, NodeId value) {
            if (!one_target(key, false, into)) {
                good = false;
                return;
            }
            Spanned<std::string> place;
            good = name(value, true, place.value, place.span) && good;
            into.back().place = std::move(place);
        });
        if (into.empty() && good) {
            found::empty_value(*out_, expected());
            return false;
        }
        return good;
    }

    // A question that has no steps of its own must be asked about later. Both are noted while steps are read, so that
    // an answer whose steps could not be read is not reported a second time.
    struct Question {
        Span asked;
        std::string_view key;
        std::string_view id;
    };
    void note_question(NodeId map, const What& what, bool unknown) {
        if (what.sort == StepSort::if_answered && kind(what.value) == SyntaxKind::map)
            pairs(what.value, [&](NodeId key, NodeId) { answered_.push_back(text(key)); });
        if (what.sort != StepSort::ask && what.sort != StepSort::decide) return;
        Question question{span(what.value), key_of(what.key), {}};
        // A key that nothing declares may be the way that is missing.
        bool ways = unknown || kind(what.value) == SyntaxKind::hole || kind(what.value) == SyntaxKind::empty;
        pairs(map, [&](NodeId key, NodeId value) {
            ways = ways || key_of(key) == "if-so" || key_of(key) == "if-not" || kind(key) == SyntaxKind::hole;
            if (key_of(key) == "id") question.id = base::trimmed(text(value));
        });
        if (!ways) open_questions_.push_back(question);
    }
    void judge_questions() {
        for (const Question& question : open_questions_)
            if (question.id.empty() || std::find(answered_.begin(), answered_.end(), question.id) == answered_.end())
                found::leads_nowhere(*out_, question.asked, question.key, question.id);
    }

    // -- The file -----------------------------------------------------------------------------------------------------
    template <class T>
    void whole(NodeId first_key, NodeId first_value, Kind of, std::vector<T>& into) {
        T made;
        const Row kind_row{&kind_says(of), &kind_shape(), nullptr};
        now_ = {&kind_row, nullptr, span(first_key)};
        made.id.span = span(first_key);
        if (name(first_value, true, made.id.value, made.id.span)) place_of_file(first_key, of, made.id);
        const Thing thing{word(of), made.id.value, made.id.span};
        keys(syntax_.root, thing, made, false, first_key);
        judge_questions();
        if constexpr (std::is_same_v<T, Procedure>)
            if (!made.steps) made.steps = Spanned<Steps>{steps_unread(first_key), span(first_key)};
        into.push_back(std::move(made));
    }

    static const Shape& kind_shape() {
        static const Shape shape{Shape::Form::name};
        return shape;
    }
    static const KeySays& kind_says(Kind of) {
        static const std::array<KeySays, kind_words.size()> all = [] {
            constexpr std::array<std::string_view, kind_words.size()> examples = {
                "shop: fernhollow-works",   "catalogue: disc-brake",
                "vehicle: ostrel-haul-300", "procedure: front-disc-service",
                "job: 2026-0412",           "record: 2026-0412",
                "answers: 2026-0412",       "approval: front-disc-service-c79cdbd6207d76a9-ab"};
            std::array<KeySays, kind_words.size()> made{};
            for (std::size_t i = 0; i < made.size(); ++i) {
                made[i].name = kind_words[i];
                made[i].help = "names the kind of file and the thing; has to stand first";
                made[i].example = examples[i];
            }
            return made;
        }();
        return all[static_cast<std::size_t>(of)];
    }

    void place_of_file(NodeId key, Kind of, const Spanned<std::string>& id) {
        const std::string_view path = sources_.file(syntax_.file).path;
        const auto parts = base::split(path, '/');
        const std::string_view file = parts.back();
        const std::string_view stem = file.substr(0, file.rfind('.'));
        if (of == Kind::shop || file == "shop.yaml") {
            if (of != Kind::shop)
                found::wrong_folder(*out_, span(key), word(of), "any other file; `shop.yaml` holds the shop");
            else if (file != "shop.yaml")
                found::wrong_folder(*out_, span(key), word(of), "the file `shop.yaml` at the root of the shop");
            return;
        }
        if (stem != id.value) found::name_not_file(*out_, id.span, word(of), id.value, stem);
        // The innermost folder that belongs to a kind decides.
        Kind wanted = Kind::procedure;
        for (std::size_t i = 0; i + 1 < parts.size(); ++i)
            for (const Kind kind :
                 {Kind::catalogue, Kind::vehicle, Kind::job, Kind::record, Kind::answers, Kind::approval})
                if (parts[i] == folder(kind)) wanted = kind;
        // What was done at one shop's vehicles is nobody else's: it does not lie in a folder that is shared.
        const bool kept = of == Kind::record || of == Kind::answers;
        if (wanted == of && kept && parts.front() != folder(of))
            found::wrong_folder(*out_, span(key), word(of),
                                fmt::format("the folder `{}` at the root of the shop", folder(of)));
        if (wanted == of) return;
        found::wrong_folder(*out_, span(key), word(of),
                            of == Kind::procedure ? "a folder named after a system of the vehicle, such as `brakes`"
                                                  : fmt::format("the folder `{}`", folder(of)));
    }

    const syntax::Syntax& syntax_;
    const source::Sources& sources_;
    messages::Messages* out_;
    Now now_;
    NodeId map_of_key_; // while a key is read that is a name or a word: whose it is
    bool may_be_empty_ = false;
    int lists_of_steps_ = 0;
    std::unordered_map<std::size_t, std::string_view> meant_; // misspelt keys
    std::vector<Question> open_questions_;
    std::vector<std::string_view> answered_;
};

void Reader::file(Model& into) {
    if (read_as_its_kind(into)) return;
    const std::string_view path = sources_.file(syntax_.file).path;
    const std::string_view file = path.substr(path.rfind('/') + 1);
    into.unread.emplace_back(file.substr(0, file.rfind('.')));
    for (const std::string_view part : base::split(path, '/'))
        if (part == folder(Kind::catalogue) || part == folder(Kind::vehicle) || part == "shop.yaml")
            into.unread_shared = true;
}

bool Reader::read_as_its_kind(Model& into) {
    const NodeId root = syntax_.root;
    if (!root.known() || kind(root) == SyntaxKind::hole || kind(root) == SyntaxKind::empty)
        return false; // was reported
    NodeId key;
    NodeId value;
    if (kind(root) == SyntaxKind::map)
        for (const NodeId node : syntax_.children(root)) {
            if (key.known()) {
                value = node;
                break;
            }
            key = node;
        }
    if (!key.known()) {
        found::unknown_kind(*out_, span(root), {});
        return false;
    }
    const auto of = kind_of(text(key));
    if (!of) {
        if (kind(key) != SyntaxKind::scalar) return false;
        map_of_key_ = root;
        leave_out_twice_said(found::unknown_kind(*out_, span(key), text(key)));
        return false;
    }
    std::vector<Shop> of_others; // read for their mistakes alone
    switch (*of) {
    case Kind::shop:
        // One further in is that of a shared folder, which is checked by it on its own. Its wrenches and margin are not this shop's.
        whole(key, value, *of, sources_.file(syntax_.file).path.ends_with("/shop.yaml") ? of_others : into.shops);
        break;
    case Kind::catalogue:
        whole(key, value, *of, into.catalogues);
        break;
    case Kind::vehicle:
        whole(key, value, *of, into.vehicles);
        break;
    case Kind::procedure:
        whole(key, value, *of, into.procedures);
        break;
    case Kind::job:
        whole(key, value, *of, into.jobs);
        break;
    case Kind::record:
        whole(key, value, *of, into.records);
        break;
    case Kind::answers:
        whole(key, value, *of, into.answers);
        break;
    case Kind::approval:
        whole(key, value, *of, into.approvals);
        break;
    }
    return true;
}

} // namespace

bool is_map(const syntax::Syntax& syntax, NodeId node) {
    return syntax.at(node).kind == SyntaxKind::map;
}

bool is_name_or_list(const syntax::Syntax& syntax, NodeId node) {
    return syntax.at(node).kind == SyntaxKind::list || base::is_kebab_case(base::trimmed(syntax.at(node).text));
}

void read(const syntax::Syntax& syntax, const source::Sources& sources, Model& into, messages::Messages& messages) {
    Reader(syntax, sources, messages).file(into);
}

void append(Model from, Model& to) {
    const auto move = [](auto& these, auto& behind) {
        if (behind.empty())
            behind = std::move(these);
        else
            behind.insert(behind.end(), std::make_move_iterator(these.begin()), std::make_move_iterator(these.end()));
    };
    move(from.shops, to.shops);
    move(from.catalogues, to.catalogues);
    move(from.vehicles, to.vehicles);
    move(from.procedures, to.procedures);
    move(from.jobs, to.jobs);
    move(from.records, to.records);
    move(from.answers, to.answers);
    move(from.approvals, to.approvals);
    move(from.unread, to.unread);
    to.unread_shared = to.unread_shared || from.unread_shared;
}

} // namespace benchleaf::model
