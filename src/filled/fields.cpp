#include "filled/fields.h"

#include "base/text.h"
#include "filled/libqpdf.h"
#include "filled/text.h"

#include <fmt/format.h>

#include <optional>
#include <set>
#include <utility>

namespace benchleaf::filled {

namespace {

constexpr int most_deep = 32;                     // /Kids of /Kids
constexpr std::size_t most_looked_at = 1'000'000; // fields, and their widgets on the pages
constexpr std::size_t most_in_a_name = 1000;      // characters
constexpr std::size_t most_text = 8U << 20U;      // bytes in all boxes: many a field may point to one and the same text
constexpr long long push_button = 1LL << 16U;     // 12.7.4.2.1: a button that keeps no value
constexpr const char* on_by_custom[] = {"Yes", "On"}; // 12.7.4.2.3

// What a field has of those above it (12.7.3.1).
struct From {
    std::string name;
    std::string kind; // "/Tx", "/Btn", …
    long long flags = 0;
    QPDFObjectHandle value;
};

// A field with the widgets by which it stands on one page or on several.
struct Field {
    From is;
    std::vector<QPDFObjectHandle> values; // its own, and those that a program put into a widget
    std::vector<std::string> states;      // of its widgets
    std::set<std::string> can_be;         // what a widget has a look for, but Off
};

class Walk {
public:
    explicit Walk(Filled& into) : into_(into) {}

    std::string wrong; // empty while nothing is

    void fields(QPDFObjectHandle array, const From& from, Field* of, int depth, bool* all_named = nullptr) {
        const int size = array.getArrayNItems();
        for (int i = 0; i < size && wrong.empty(); ++i) {
            QPDFObjectHandle kid = array.getArrayItem(i);
            const bool named = kid.isDictionary() && kid.hasKey("/T");
            if (all_named != nullptr && !named) *all_named = false;
            node(kid, from, named ? nullptr : of, depth);
        }
    }

    void finish() {
        for (const std::string& name : into_.fields) {
            auto& said = said_.find(name)->second;
            if (said && !said->empty()) into_.boxes.emplace(name, std::move(*said));
        }
    }

private:
    // `of`: the field that a node without a name of its own is a part of.
    void node(QPDFObjectHandle dictionary, const From& from, Field* of, int depth) {
        if (++looked_at_ > most_looked_at) return say("its form has more fields than a card has");
        if (depth > most_deep) return say("damaged: its form has fields in fields without end");
        if (!dictionary.isDictionary()) return say("damaged: a field of its form is missing");
        // A ring ends here, too. Some programs enter a field once more with each time that it is saved.
        if (dictionary.isIndirect() && !seen_.insert(dictionary.getObjGen()).second) return;
        QPDFObjectHandle kids = dictionary.getKey("/Kids");
        if (of != nullptr) {
            take(dictionary, *of);
            if (kids.isArray()) fields(kids, of->is, of, depth + 1);
            return;
        }
        Field field{from, {}, {}, {}};
        if (dictionary.hasKey("/T") && !add_name(dictionary.getKey("/T"), field.is.name)) return;
        take(dictionary, field);
        if (field.values.empty() && from.value.isInitialized()) field.values.push_back(from.value);
        if (!field.values.empty()) field.is.value = field.values.front();
        bool above = false; // it is no field itself and only has some
        if (kids.isArray() && kids.getArrayNItems() > 0) {
            above = true;
            fields(kids, field.is, &field, depth + 1, &above);
        }
        if (!above && wrong.empty()) settle(field);
    }

    bool add_name(const QPDFObjectHandle& part, std::string& name) {
        const auto text = text_in(part, most_in_a_name);
        if (!text || name.size() > most_in_a_name) {
            say("damaged: a field of its form has no name that can be read");
            return false;
        }
        if (!name.empty()) name += '.';
        name += text.value();
        return true;
    }

    static void take(QPDFObjectHandle from, Field& into) {
        if (QPDFObjectHandle kind = from.getKey("/FT"); kind.isName()) into.is.kind = kind.getName();
        if (QPDFObjectHandle flags = from.getKey("/Ff"); flags.isInteger()) into.is.flags = flags.getIntValue();
        if (QPDFObjectHandle value = from.getKey("/V"); !value.isNull()) into.values.push_back(value);
        if (QPDFObjectHandle state = from.getKey("/AS"); state.isName()) into.states.push_back(state.getName());
        QPDFObjectHandle looks = from.getKey("/AP").getKeyIfDict("/N");
        if (looks.isDictionary())
            for (const std::string& key : looks.getKeys()) into.can_be.insert(key.substr(1));
    }

    void settle(const Field& field) {
        const std::string& name = field.is.name;
        if (name.empty()) return; // a stray; what nobody can ask for
        const auto [said, is_new] = said_.try_emplace(name);
        if (is_new) {
            if (said_.size() > most_fields)
                return say(fmt::format("its form has more than {} fields, which no card has", most_fields));
            into_.fields.push_back(name);
        }
        std::optional<std::string> now;
        if (field.is.kind == "/Tx")
            now = text(field);
        else if (field.is.kind == "/Btn" && (field.is.flags & push_button) == 0)
            now = tick(field);
        else if (field.is.kind.empty())
            return say(fmt::format("damaged: nothing says what sort of field `{}` is", clipped(name)));
        if (now) agree(name, said->second, std::move(*now));
    }

    // What is written in one place and empty in another where nobody ever wrote is no contradiction; what somebody took out again is.
    void agree(const std::string& name, std::optional<std::string>& said, std::string now) {
        if (!said)
            said = std::move(now);
        else if (*said != now && wrong.empty())
            say(fmt::format("box `{}` is {} in one place of the file and {} in another: write it anew, and save it",
                            clipped(name), quoted(*said), quoted(now)));
    }

    std::optional<std::string> text(const Field& field) {
        std::optional<std::string> said;
        for (const QPDFObjectHandle& value : field.values) {
            const auto read = text_in(value, most_characters);
            if (!read) {
                say(fmt::format("box `{}` {}", clipped(field.is.name), read.failure().what));
                return {};
            }
            text_ += read.value().size();
            if (text_ > most_text) {
                say("its boxes hold more text than a card has room for");
                return {};
            }
            agree(field.is.name, said, read.value());
        }
        return said;
    }

    // The field's /V says whether it is ticked, and so does the /AS of its widget, which is what one sees. Most programs write both, some only
    // one; and a card is printed with Off in both. So either is enough. It is taken for ticked even where one of them says Off, for to a program
    // that writes /V alone the old /AS says so, and the other way round; both taken for empty would lose what somebody ticked, and one
    // of them would do so for half of these programs. It is wrong only where one program ticks a box in both ways and another takes the tick away
    // in one of them.
    std::optional<std::string> tick(const Field& field) {
        std::optional<std::string> said;
        const auto look_at = [&](const std::string& state) {
            if (state.empty() || state == "Off") {
                if (!said) said.emplace();
            } else if (field.can_be.count(state) == 1 || state == on_by_custom[0] || state == on_by_custom[1]) {
                said = "x";
            } else {
                // `No`, `false`, …
                const bool plain = !base::first_bad_utf8(state);
                say(fmt::format("box `{}` is {}, which is neither ticked nor not: tick it anew, and save it",
                                clipped(field.is.name), plain ? quoted(one_line(state)) : "no word"));
            }
        };
        for (const std::string& state : field.states) look_at(state.substr(1));
        for (QPDFObjectHandle value : field.values) {
            if (value.isName()) {
                look_at(value.getName().substr(1));
                continue;
            }
            const auto read = text_in(value, most_in_a_name);
            if (read)
                look_at(read.value());
            else
                say(fmt::format("box `{}` {}", clipped(field.is.name), read.failure().what));
        }
        return said;
    }

    static std::string quoted(const std::string& text) {
        return text.empty() ? "empty" : fmt::format("`{}`", clipped(text));
    }

    void say(std::string what) {
        if (wrong.empty()) wrong = std::move(what);
    }

    Filled& into_;
    std::map<std::string, std::optional<std::string>, std::less<>> said_;
    std::set<QPDFObjGen> seen_;
    std::size_t looked_at_ = 0;
    std::size_t text_ = 0;
};

} // namespace

base::Result<std::string> text_in(const QPDFObjectHandle& string, std::size_t most) {
    QPDFObjectHandle object = string;
    if (object.isStream()) { // a long text may be one (table 222)
        const auto data = object.getStreamData();
        object = QPDFObjectHandle::newString({reinterpret_cast<const char*>(data->getBuffer()), data->getSize()});
    }
    if (object.isName()) object = QPDFObjectHandle::newString(object.getName().substr(1));
    if (!object.isString()) return base::Failure{"holds no text"};
    const std::string utf8 = object.getUTF8Value();
    if (base::first_bad_utf8(utf8)) return base::Failure{"holds text that cannot be read: write it anew"};
    if (base::code_points(utf8) > most) return base::Failure{fmt::format("holds more than {} characters", most)};
    return one_line(utf8);
}

base::Result<base::Done> read_fields(const QPDFObjectHandle& form, Filled& into) {
    Walk walk(into);
    QPDFObjectHandle fields = QPDFObjectHandle(form).getKeyIfDict("/Fields");
    if (fields.isArray()) walk.fields(fields, {}, nullptr, 0);
    if (!walk.wrong.empty()) return base::Failure{walk.wrong};
    walk.finish();
    return base::Done{};
}

} // namespace benchleaf::filled
