#include "model/dump.h"

#include "model/date.h"
#include "model/keys.h"
#include "model/kind.h"
#include "model/verbs.h"

#include "base/text.h"

#include <fmt/format.h>

#include <utility>

namespace benchleaf::model {

namespace {

constexpr units::PrintOptions as_source{.plain_spaces = true, .decimal_mark = '.', .two_dots = true};

// A piece of YAML before it is laid out.
struct Child;
struct Yaml {
    enum class Form : std::uint8_t { text, list, map };
    Form form = Form::text;
    std::string text;
    std::vector<Child> children; // of a list, without keys
    bool in_one_line = false;    // however long
};
struct Child {
    Child(std::string key, Yaml value) : first(std::move(key)), second(std::move(value)) {}
    std::string first;
    Yaml second;
};

Yaml text(std::string value) {
    return {Yaml::Form::text, std::move(value), {}, false};
}
Yaml map() {
    return {Yaml::Form::map, {}, {}, false};
}
Yaml list() {
    return {Yaml::Form::list, {}, {}, false};
}

// One overload a type of member, as in the reader.
struct Writer {
    static Yaml write(const std::string& value) { return text(value); }
    static Yaml write(std::int64_t value) { return text(std::to_string(value)); }
    static Yaml write(bool value) { return text(std::string(truth_words[value ? 0 : 1])); }
    static Yaml write(const Spanned<bool>& value) { return text(std::string(answer_words[value.value ? 0 : 1])); }
    static Yaml write(std::chrono::year_month_day value) { return text(print(value)); }
    static Yaml write(const units::Thread& value) { return text(value.designation); }
    static Yaml write(const units::Tightening& value) {
        Yaml made = list();
        for (const units::Stage& stage : value.stages)
            made.children.emplace_back("", text(units::print(stage, as_source)));
        return alone(std::move(made));
    }
    template <Worded E>
    static Yaml write(E value) {
        return text(std::string(word(value)));
    }
    template <Refers to>
    static Yaml write(const Ref<to>& value) {
        return text(value.name);
    }
    template <units::Wanted wanted>
    static Yaml write(const Measure<wanted>& value) {
        return text(units::print(value.quantity, as_source));
    }
    template <units::Wanted wanted>
    static Yaml write(const MeasureRange<wanted>& value) {
        return text(units::print(value.range, as_source));
    }
    template <class T>
    static Yaml write(const Spanned<T>& value) {
        return write(value.value);
    }
    template <class T>
    static Yaml write(const std::vector<T>& values) {
        Yaml made = list();
        for (const T& value : values) made.children.emplace_back("", write(value));
        return alone(std::move(made));
    }
    // A list of one is written as the thing itself.
    static Yaml alone(Yaml made) {
        if (made.children.size() != 1 || made.children.front().second.form == Yaml::Form::list) return made;
        return std::move(made.children.front().second);
    }
    static Yaml write(const Steps& steps) {
        Yaml made = list();
        for (const Step& step : steps)
            if (!step.hole) made.children.emplace_back("", write(step));
        return made;
    }
    template <class K, class V>
    static Yaml write(const Entries<K, V>& entries) {
        Yaml made = map();
        for (const auto& entry : entries) made.children.emplace_back(write(entry.key).text, write(entry.value));
        return made;
    }
    template <class T>
    static Yaml write(const std::vector<Named<T>>& things) {
        Yaml made = map();
        for (const Named<T>& thing : things) {
            Yaml body = write(thing.value);
            const bool name_alone = body.children.size() == 1 && body.children.front().first == "name" &&
                                    !std::is_same_v<T, Limit> && !std::is_same_v<T, ItemDifference>;
            made.children.emplace_back(thing.id.value, name_alone ? body.children.front().second : body);
        }
        return made;
    }
    static std::string percentage(std::int32_t hundredths) {
        return hundredths % 100 == 0 ? fmt::format("{} %", hundredths / 100)
                                     : fmt::format("{}.{:02} %", hundredths / 100, hundredths % 100);
    }
    static Yaml write(const Spot& value) {
        std::string spot = percentage(value.across) + " " + percentage(value.down);
        if (value.apart) spot += " from " + percentage(value.number_across) + " " + percentage(value.number_down);
        return text(std::move(spot));
    }
    static Yaml write(const Entering& value) {
        if (value.place && !value.owes) return write(value.place->value);
        Yaml made = map();
        add_keys(value, made);
        return made;
    }
    static Yaml write(const ItemDifference& value) {
        Yaml made = map();
        for (const auto& key : value.keys) {
            const std::size_t before = made.children.size();
            const auto from = [&](const auto& sort) {
                if (made.children.size() == before) add_keys(sort, made, key.value);
            };
            from(value.part);
            from(value.fastener);
            from(value.circuit);
            from(value.setting);
            from(value.adjustment);
        }
        return made;
    }
    static Yaml write(const Step& step) {
        if (step.plain && !step.say) return write(step.plain->value);
        Yaml made = map();
        if (step.verb) made.children.emplace_back(std::string(verb(step.verb->verb).word), argument(*step.verb));
        add_keys(step, made);
        return made;
    }
    static Yaml argument(const VerbUse& use) {
        if (use.text) return write(use.text->value);
        if (use.time) return write(use.time->value);
        Yaml names = list();
        Yaml places = map();
        for (const Target& target : use.targets)
            if (target.place)
                places.children.emplace_back(target.name, text(target.place->value));
            else
                names.children.emplace_back("", text(target.name));
        return places.children.empty() ? alone(std::move(names)) : places;
    }
    template <Keyed T>
    static Yaml write(const T& value) {
        Yaml made = map();
        if constexpr (requires { Keys<T>::in_one_line; }) made.in_one_line = true;
        add_keys(value, made);
        return made;
    }

    // All keys that are given, or `only` that one.
    template <class T>
    static void add_keys(const T& value, Yaml& made, std::string_view only = {}) {
        for_each_key<T>([&](const auto& key) {
            if (only.empty() || key.name == only) member(value, key, made);
        });
    }
    template <class T, class V>
    static void member(const T& value, const Key<T, Given<V>>& key, Yaml& made) {
        const Given<V>& given = value.*key.member;
        if (given) made.children.emplace_back(std::string(key.name), write(given->value));
    }
    template <class T, class A, class B>
    static void member(const T& value, const EitherKey<T, Given<A>, Given<B>>& key, Yaml& made) {
        if (value.*key.first)
            made.children.emplace_back(std::string(key.name), write((value.*key.first)->value));
        else if (value.*key.second)
            made.children.emplace_back(std::string(key.name), write((value.*key.second)->value));
    }
};

// -- Laying out -------------------------------------------------------------------------------------------------------
bool needs_quotes(std::string_view value) {
    if (value.empty() || value != base::trimmed(value)) return true;
    if (value.find_first_of(":#,?[]{}\"'\\\n\r\t&*!|>`@\x7F") != std::string_view::npos) return true;
    for (const char c : value)
        if (static_cast<unsigned char>(c) < 0x20) return true;
    return value.front() == '-' || value.front() == '%' || value.front() == '~' || value.front() == '=' ||
           value.front() == '.';
}

void put_scalar(const std::string& value, std::string& to) {
    if (!needs_quotes(value)) {
        to += value;
        return;
    }
    to += '"';
    for (const char c : value) {
        switch (c) {
        case '"':
            to += "\\\"";
            break;
        case '\\':
            to += "\\\\";
            break;
        case '\n':
            to += "\\n";
            break;
        case '\r':
            to += "\\r";
            break;
        case '\t':
            to += "\\t";
            break;
        default:
            if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F)
                to += fmt::format("\\x{:02X}", static_cast<unsigned>(c));
            else
                to += c;
        }
    }
    to += '"';
}

void put_flow(const Yaml& yaml, std::string& to) {
    if (yaml.form == Yaml::Form::text) {
        put_scalar(yaml.text, to);
        return;
    }
    const bool is_map = yaml.form == Yaml::Form::map;
    to += is_map ? "{" : "[";
    std::string_view between = is_map ? " " : "";
    for (const auto& [key, value] : yaml.children) {
        to += between;
        if (is_map) {
            put_scalar(key, to);
            to += ": ";
        }
        put_flow(value, to);
        between = ", ";
    }
    to += is_map ? (yaml.children.empty() ? "}" : " }") : "]";
}

// A list or map stands in one line when it is short and holds nothing but texts.
bool is_flat(const Yaml& yaml) {
    if (yaml.form == Yaml::Form::text || yaml.children.empty()) return true;
    for (const auto& [key, value] : yaml.children)
        if (value.form == Yaml::Form::map || (value.form == Yaml::Form::list && !is_flat(value))) return false;
    std::string line;
    put_flow(yaml, line);
    return line.size() <= 90;
}

void put_block(const Yaml& yaml, std::size_t indent, std::string& to, bool starts_in_line) {
    for (const auto& [key, value] : yaml.children) {
        if (!starts_in_line) to.append(indent, ' ');
        starts_in_line = false;
        const bool is_map = yaml.form == Yaml::Form::map;
        if (is_map) {
            put_scalar(key, to);
            to += ':';
        } else {
            to += '-';
        }
        // Steps and things are maps, and stand in full; only what lies inside them is written in one line.
        const bool flat = value.in_one_line || (is_flat(value) && !(value.form == Yaml::Form::map && !is_map));
        if (flat) {
            to += ' ';
            put_flow(value, to);
            to += '\n';
        } else if (is_map) {
            to += '\n';
            put_block(value, indent + 2, to, false);
        } else {
            to += ' ';
            put_block(value, indent + 2, to, true);
        }
    }
}

template <class T>
PrintedFile print_file(const T& value, Kind kind, std::string path) {
    Yaml made = map();
    made.children.emplace_back(std::string(word(kind)), text(value.id.value));
    Writer::add_keys(value, made);
    PrintedFile file{std::move(path), {}};
    put_block(made, 0, file.text, false);
    return file;
}

} // namespace

std::vector<PrintedFile> print(const Model& model) {
    std::vector<PrintedFile> files;
    for (const Shop& shop : model.shops) files.push_back(print_file(shop, Kind::shop, "shop.yaml"));
    const auto all = [&files](const auto& things, Kind kind, std::string_view in) {
        for (const auto& thing : things)
            files.push_back(print_file(thing, kind, fmt::format("{}/{}.yaml", in, thing.id.value)));
    };
    all(model.catalogues, Kind::catalogue, folder(Kind::catalogue));
    all(model.vehicles, Kind::vehicle, folder(Kind::vehicle));
    all(model.procedures, Kind::procedure, "procedures");
    all(model.jobs, Kind::job, folder(Kind::job));
    all(model.records, Kind::record, folder(Kind::record));
    all(model.answers, Kind::answers, folder(Kind::answers));
    return files;
}

std::string print(const Record& record) {
    return print_file(record, Kind::record, {}).text;
}

std::string dump(const Model& model) {
    std::string all;
    for (const PrintedFile& file : print(model)) all += fmt::format("# {}\n{}\n", file.path, file.text);
    return all;
}

} // namespace benchleaf::model
