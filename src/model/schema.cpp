#include "model/schema.h"

#include "model/tables.h"
#include "model/verbs.h"
#include "model/words.h"

#include "base/require.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace benchleaf::model {

namespace {

using Json = nlohmann::ordered_json;
using Form = Shape::Form;

constexpr std::string_view name_pattern = "^[a-z0-9]+(-[a-z0-9]+)*$";
constexpr std::string_view reference_pattern = "^([a-z0-9]+(-[a-z0-9]+)*/)?[a-z0-9]+(-[a-z0-9]+)*$";

template <class Range>
Json texts(const Range& range) {
    Json all = Json::array();
    for (const std::string_view one : range) all.push_back(std::string(one));
    return all;
}

// Builds one schema; what several places use is put under `definitions` once.
class Builder {
public:
    Json definitions = Json::object();

    Json of(const Row& row) {
        Json made = of(*row.shape, *row.says);
        if (row.or_shape != nullptr)
            made = either(std::move(made), of(*row.or_shape, *row.says), says(*row.or_shape, *row.says));
        return described(std::move(made), row.says->name, row.says->help, row.says->example);
    }

    // The help above the key as the editor shows it, with an example as it would stand in the file.
    static Json described(Json made, std::string_view key, std::string_view help, std::string_view example) {
        made["description"] = fmt::format("{}{} Example: {}", help, help.ends_with('.') ? "" : ".", example);
        head(made, std::string(key), fmt::format("{}\n\n```yaml\n{}\n```", help, example));
        return made;
    }

    // What has no title of its own an editor heads with that of the file; of what is written in two ways it shows the one that
    // stands there, and takes two of one title for the same.
    static void head(Json& made, const std::string& title, const std::string& help) {
        const std::string besides = made.value("title", "");
        made["title"] = besides.empty() ? title : fmt::format("{}: {}", title, besides);
        made["markdownDescription"] = help;
        if (made.contains("anyOf"))
            for (Json& each : made["anyOf"]) head(each, title, help);
    }

    Json object_of(const Table& table, bool in_part, std::string_view first = {}) {
        Json properties = Json::object();
        Json required = Json::array();
        if (!first.empty()) {
            properties[std::string(first)] =
                described(name(Refers::free), first, fmt::format("names the {}; stands first", first),
                          fmt::format("{}: a-name", first));
            required.push_back(std::string(first));
        }
        for (const Row& row : table.rows) {
            properties[std::string(row.says->name)] = of(row);
            if (row.says->needed && !in_part) required.push_back(std::string(row.says->name));
        }
        Json made = {{"type", "object"}, {"description", std::string(table.about)}};
        made["properties"] = std::move(properties);
        if (!required.empty()) made["required"] = std::move(required);
        made["additionalProperties"] = false;
        return made;
    }

private:
    // A value that is no map. `errorMessage` is no word of JSON Schema: editors that know it show it in place of a pattern.
    // The type is a list even of one: of a plain one they make their own message where a value may be written in two ways.
    static Json scalar(Json types, std::string pattern, std::string_view what) {
        Json made = {{"type", types.is_array() ? std::move(types) : Json::array({std::move(types)})}};
        if (!pattern.empty()) made["pattern"] = std::move(pattern);
        made["errorMessage"] = fmt::format("This has to be {}.", what);
        return made;
    }
    static Json text() { return scalar(Json::array({"string", "number", "boolean"}), "", "a text"); }
    static Json name(Refers refers) {
        const bool of_catalogue = refers == Refers::item || refers == Refers::part || refers == Refers::fastener ||
                                  refers == Refers::circuit || refers == Refers::setting ||
                                  refers == Refers::adjustment || refers == Refers::limit || refers == Refers::torque ||
                                  refers == Refers::consumable || refers == Refers::tool ||
                                  refers == Refers::tool_or_consumable || refers == Refers::caution ||
                                  refers == Refers::limit_or_step;
        const std::string what = refers == Refers::free ? "a name" : fmt::format("the name of {}", says(refers));
        return scalar(Json::array({"string", "integer"}), std::string(of_catalogue ? reference_pattern : name_pattern),
                      fmt::format("{}: small letters, digits, and single hyphens between them{}", what,
                                  of_catalogue ? ", with its catalogue before it where two have it" : ""));
    }
    // A number and its unit. Which spellings of a unit are read no pattern says; the sign of a unit that cannot stand here is known.
    static Json figure(units::Wanted wanted, std::string_view what, bool stages = false) {
        std::string wrong;
        for (const units::Unit unit : units::all_units())
            if (!units::fits(unit, wanted) && unit != units::Unit::percent && // that of a tolerance
                !(stages && units::fits(unit, units::Wanted::angle)))
                wrong += fmt::format("{}{}", wrong.empty() ? "" : "|", units::symbol(unit));
        std::string pattern = wrong.empty() ? "" : fmt::format("(?!.*[0-9][ \u00A0\u202F]?({})$)", wrong);
        pattern += ".*[0-9].*[^-+0-9., \u00A0\u202F±/]";
        return scalar("string", fmt::format("^({}{})", stages ? "contact$|next[- ]slot$|" : "", pattern),
                      fmt::format("{}: a number and its unit", what));
    }
    static Json words(std::span<const std::string_view> these) { return {{"enum", texts(these)}}; }

    static Json either(Json one, Json other, std::string_view called) {
        other["title"] = std::string(called);
        return {{"anyOf", Json::array({std::move(one), std::move(other)})}};
    }
    static Json one_or_list(const Json& one) {
        return either(one, {{"type", "array"}, {"items", one}}, "a list of them");
    }

    Json reference(std::string_view called, Json (Builder::*make)(const Table&), const Table& table) {
        const std::string name(called);
        if (!definitions.contains(name)) {
            definitions[name] = Json(); // stands while the definition is made, which may refer to itself
            Json made = (this->*make)(table);
            definitions[name] = std::move(made);
        }
        return {{"$ref", "#/definitions/" + name}};
    }

    Json whole(const Table& table) { return object_of(table, false); }
    Json in_part(const Table& table) { return object_of(table, true); }
    // A text will do where nothing but a name is needed.
    Json whole_or_name(const Table& table) {
        Json made = object_of(table, false);
        const bool name_alone =
            table.find("name") != nullptr && std::all_of(table.rows.begin(), table.rows.end(), [](const Row& row) {
                return !row.says->needed || row.says->name == "name";
            });
        if (name_alone) made["type"] = Json::array({"object", "string"});
        return made;
    }

    // One object for all steps, with `additionalProperties: false`: an editor then says which key is wrong, instead of
    // which of forty alternatives did not match.
    Json step(const Table& table) {
        Json properties = Json::object();
        for (const Verb& verb : all_verbs()) {
            const Row* also = table.find(verb.word);
            Json made = argument(verb.takes);
            if (also != nullptr)
                made = either(std::move(made), of(*also->shape, *also->says), says(*also->shape, *also->says));
            properties[std::string(verb.word)] = described(std::move(made), verb.word, verb.help, verb.example);
        }
        for (const Row& row : table.rows)
            if (!properties.contains(std::string(row.says->name))) {
                properties[std::string(row.says->name)] = of(row);
            }
        Json made = {{"type", Json::array({"object", "string"})}, {"description", std::string(table.about)}};
        made["properties"] = std::move(properties);
        made["additionalProperties"] = false;
        return made;
    }

    static Json argument(Argument takes) {
        switch (takes) {
        case Argument::items:
            return one_or_list(name(Refers::item));
        case Argument::fasteners:
            return one_or_list(name(Refers::fastener));
        case Argument::parts:
            return one_or_list(name(Refers::part));
        case Argument::circuits:
            return one_or_list(name(Refers::circuit));
        case Argument::adjustments:
            return one_or_list(name(Refers::adjustment));
        case Argument::limits:
            return one_or_list(name(Refers::limit));
        case Argument::item_to_place:
            return map_of(name(Refers::item), name(Refers::place), "a map from a part to its place");
        case Argument::setting_to_state:
            return map_of(name(Refers::setting), name(Refers::place), "a map from a setting to its state");
        case Argument::consumable:
            return name(Refers::consumable);
        case Argument::text:
            return text();
        case Argument::time:
            return figure(units::Wanted::time, units::says(units::Wanted::time));
        case Argument::procedure:
            return name(Refers::procedure);
        }
        return Json::object();
    }

    static Json map_of(Json key, Json value, std::string_view what) {
        Json made = {{"type", "object"}, {"errorMessage", fmt::format("This has to be {}.", what)}};
        key.erase("type");                                    // the names of properties are texts
        if (key.contains("pattern")) key["title"] = "a-name"; // as it is offered, to be written over
        if (!key.empty()) made["propertyNames"] = std::move(key);
        made["additionalProperties"] = std::move(value);
        return made;
    }

    Json spelled(const KeySays& key) {
        switch (key.spelling) {
        case Spelling::free:
            return text();
        case Spelling::lower_word:
            return scalar(Json::array({"string", "integer"}), std::string(name_pattern), says(Shape{}, key));
        case Spelling::words:
            return words(key.words);
        case Spelling::unit: {
            std::vector<std::string_view> symbols;
            for (const units::Unit unit : units::all_units())
                if (units::fits(unit, key.unit_of)) symbols.push_back(units::symbol(unit));
            Json made = scalar("string", "", says(Shape{}, key));
            for (const std::string_view symbol : symbols)
                made["defaultSnippets"].push_back({{"label", symbol}, {"body", symbol}});
            return made;
        }
        case Spelling::factor:
            return {{"type", "number"}, {"minimum", 1}};
        case Spelling::language:
            return scalar("string", "^[A-Za-z]{2,3}(-[A-Za-z]{2,4}){0,2}$", "a language tag, as `en`");
        case Spelling::date:
            return date();
        }
        return text();
    }
    static Json date() { return scalar("string", "^[0-9]{4}-[0-9]{2}-[0-9]{2}$", "a date, as 2026-11-25"); }

    Json of(const Shape& shape, const KeySays& key) {
        switch (shape.form) {
        case Form::text:
            return spelled(key);
        case Form::whole_number: {
            Json made = scalar("integer", "", says(shape, key));
            made["minimum"] = 1;
            return made;
        }
        case Form::truth:
            return {{"type", "boolean"}};
        case Form::answer:
            return words(answer_words);
        case Form::word:
            return words(shape.words);
        case Form::name:
            return name(shape.refers);
        case Form::quantity:
        case Form::range:
            return figure(shape.wanted, says(shape, key));
        case Form::tightening:
            return one_or_list(figure(units::Wanted::torque, units::says(units::Wanted::torque), true));
        case Form::thread:
            return scalar("string", "", says(shape, key));
        case Form::date:
            return date();
        case Form::spot:
            return scalar("string", "^[0-9.]+ ?% *[0-9.]+ ?%( *from [0-9.]+ ?% *[0-9.]+ ?%)?$",
                          "a place on the picture, as `40 % 25 %`");
        case Form::list:
            return one_or_list(of(shape.value(), key));
        case Form::entries: {
            Json keys = of(shape.key(), key);
            if (key.by_verb && shape.value().form == Form::entries) {
                std::vector<std::string_view> verbs;
                for (const Verb& verb : all_verbs()) verbs.push_back(verb.word);
                keys = words(verbs);
            }
            return map_of(std::move(keys), of(shape.value(), key), says(shape, key));
        }
        case Form::keys:
            return reference(shape.table().called, &Builder::whole, shape.table());
        case Form::caution:
            return one_or_list(reference("caution", &Builder::whole, shape.table()));
        case Form::things: {
            Json value =
                key.part ? reference(fmt::format("{} in part", shape.table().called), &Builder::in_part, shape.table())
                         : reference(shape.table().called, &Builder::whole_or_name, shape.table());
            return map_of(name(key.part ? Refers::item : Refers::free), std::move(value), says(shape, key));
        }
        case Form::steps: {
            Json one = reference("step", &Builder::step, table_of<Step>());
            return {{"type", "array"}, {"minItems", 1}, {"items", std::move(one)}};
        }
        case Form::contract_entry: {
            Json made = whole(shape.table());
            made["type"] = Json::array({"object", "string"});
            return made;
        }
        case Form::difference:
            return map_of(name(Refers::item), item_difference(), says(shape, key));
        }
        return Json::object();
    }

    // Any key of any sort of item.
    Json item_difference() {
        Json made = object_of(table_of<Part>(), true);
        for (const Table* table :
             {&table_of<Fastener>(), &table_of<Circuit>(), &table_of<Setting>(), &table_of<Adjustment>()})
            for (const Row& row : table->rows)
                if (!made["properties"].contains(std::string(row.says->name)))
                    made["properties"][std::string(row.says->name)] = of(row);
        made["description"] = "what differs from the catalogue";
        return made;
    }
};

const Table& table(Kind kind) {
    switch (kind) {
    case Kind::shop:
        return table_of<Shop>();
    case Kind::catalogue:
        return table_of<Catalogue>();
    case Kind::vehicle:
        return table_of<Vehicle>();
    case Kind::procedure:
        return table_of<Procedure>();
    case Kind::job:
        return table_of<Job>();
    case Kind::record:
        return table_of<Record>();
    case Kind::answers:
        return table_of<Answers>();
    case Kind::approval:
        return table_of<Approval>();
    }
    base::broken("a kind without a table");
}

} // namespace

std::string schema(Kind kind) {
    Builder builder;
    Json made = {{"$schema", "http://json-schema.org/draft-07/schema#"},
                 {"$comment", "Made by benchleaf, which makes it again where it differs: see docs/editors.md."},
                 {"title", fmt::format("benchleaf: a {}", word(kind))}};
    const Json root = builder.object_of(table(kind), false, word(kind));
    for (const auto& [key, value] : root.items()) made[key] = value;
    if (!builder.definitions.empty()) made["definitions"] = builder.definitions;
    return made.dump(2) + "\n";
}

} // namespace benchleaf::model
