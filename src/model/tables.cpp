#include "model/tables.h"

#include "model/keys.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace benchleaf::model {

namespace {

using Form = Shape::Form;

// One overload a sort of member; the parameter only carries the type.
template <class T>
struct Of {};

template <class T>
const Shape& shape_of();

Shape make(Of<std::string>) {
    return {Form::text};
}
Shape make(Of<std::int64_t>) {
    return {Form::whole_number};
}
Shape make(Of<bool>) {
    return {Form::truth};
}
Shape make(Of<Spanned<bool>>) {
    return {Form::answer};
}
Shape make(Of<units::Thread>) {
    return {Form::thread};
}
Shape make(Of<units::Tightening>) {
    return {Form::tightening};
}
Shape make(Of<std::chrono::year_month_day>) {
    return {Form::date};
}
Shape make(Of<Spot>) {
    return {Form::spot};
}
Shape make(Of<Steps>) {
    return {Form::steps};
}
Shape make(Of<std::vector<Named<ItemDifference>>>) {
    return {Form::difference};
}

template <Worded E>
Shape make(Of<E>) {
    Shape shape{Form::word};
    shape.words = Words<E>::all;
    return shape;
}
template <Refers to>
Shape make(Of<Ref<to>>) {
    Shape shape{Form::name};
    shape.refers = to;
    return shape;
}
template <units::Wanted wanted>
Shape make(Of<Measure<wanted>>) {
    Shape shape{Form::quantity};
    shape.wanted = wanted;
    return shape;
}
template <units::Wanted wanted>
Shape make(Of<MeasureRange<wanted>>) {
    Shape shape{Form::range};
    shape.wanted = wanted;
    return shape;
}
template <Keyed T>
Shape make(Of<T>) {
    Shape shape{Form::keys};
    shape.table = &table_of<T>;
    return shape;
}
template <class T>
Shape make(Of<Spanned<T>>) {
    return make(Of<T>{});
}
template <class T>
Shape make(Of<std::vector<T>>) {
    Shape shape{Form::list};
    shape.value = &shape_of<T>;
    return shape;
}
Shape make(Of<std::vector<Caution>>) {
    Shape shape{Form::caution};
    shape.table = &table_of<Caution>;
    return shape;
}
template <class T>
Shape make(Of<std::vector<Named<T>>>) {
    Shape shape{Form::things};
    shape.table = &table_of<T>;
    return shape;
}
template <class K, class V>
Shape make(Of<Entries<K, V>>) {
    Shape shape{Form::entries};
    shape.key = &shape_of<K>;
    shape.value = &shape_of<V>;
    return shape;
}
Shape make(Of<Entering>) {
    Shape shape{Form::contract_entry};
    shape.table = &table_of<Entering>;
    return shape;
}

template <class T>
const Shape& shape_of() {
    static const Shape shape = make(Of<T>{});
    return shape;
}

template <class M>
struct Inside; // the value inside a Given
template <class T>
struct Inside<Given<T>> {
    using type = T;
};

template <class Owner, class M>
Row row_of(const Key<Owner, M>& key) {
    return {&key, &shape_of<typename Inside<M>::type>(), nullptr};
}
template <class Owner, class A, class B>
Row row_of(const EitherKey<Owner, A, B>& key) {
    return {&key, &shape_of<typename Inside<A>::type>(), &shape_of<typename Inside<B>::type>()};
}

} // namespace

template <class T>
const Table& table_of() {
    static const Table table = [] {
        Table made{Keys<T>::called, Keys<T>::about, {}};
        for_each_key<T>([&made](const auto& key) { made.rows.push_back(row_of(key)); });
        return made;
    }();
    return table;
}

template const Table& table_of<Shop>();
template const Table& table_of<Prints>();
template const Table& table_of<Wrench>();
template const Table& table_of<Catalogue>();
template const Table& table_of<Part>();
template const Table& table_of<Fastener>();
template const Table& table_of<Circuit>();
template const Table& table_of<Setting>();
template const Table& table_of<Adjustment>();
template const Table& table_of<Torque>();
template const Table& table_of<Limit>();
template const Table& table_of<Difference>();
template const Table& table_of<Consumable>();
template const Table& table_of<Tool>();
template const Table& table_of<Caution>();
template const Table& table_of<Vehicle>();
template const Table& table_of<Procedure>();
template const Table& table_of<Entering>();
template const Table& table_of<Step>();
template const Table& table_of<Again>();
template const Table& table_of<Picture>();
template const Table& table_of<Job>();
template const Table& table_of<Record>();
template const Table& table_of<Answers>();
template const Table& table_of<Approval>();
template const Table& table_of<RecordedCard>();
template const Table& table_of<ReadFigure>();
template const Table& table_of<FoundThing>();
template const Table& table_of<Answered>();
template const Table& table_of<Tightened>();
template const Table& table_of<Checked>();
template const Table& table_of<Renewed>();
template const Table& table_of<Written>();
template const Table& table_of<FromEarlier>();
template const Table& table_of<StoppedAt>();
template const Table& table_of<Used>();

std::span<const Table* const> all_tables() {
    static const Table* const all[] = {
        &table_of<Shop>(),       &table_of<Prints>(),     &table_of<Wrench>(),   &table_of<Catalogue>(),
        &table_of<Part>(),       &table_of<Fastener>(),   &table_of<Circuit>(),  &table_of<Setting>(),
        &table_of<Adjustment>(), &table_of<Torque>(),     &table_of<Limit>(),    &table_of<Difference>(),
        &table_of<Consumable>(), &table_of<Tool>(),       &table_of<Caution>(),  &table_of<Vehicle>(),
        &table_of<Procedure>(),  &table_of<Entering>(),   &table_of<Step>(),     &table_of<Again>(),
        &table_of<Picture>(),    &table_of<Job>(),        &table_of<Record>(),   &table_of<RecordedCard>(),
        &table_of<ReadFigure>(), &table_of<FoundThing>(), &table_of<Answered>(), &table_of<Tightened>(),
        &table_of<Checked>(),    &table_of<Renewed>(),    &table_of<Written>(),  &table_of<FromEarlier>(),
        &table_of<StoppedAt>(),  &table_of<Used>(),       &table_of<Answers>(),  &table_of<Approval>()};
    return all;
}

const Row* Table::find(std::string_view name) const {
    const auto found =
        std::find_if(rows.begin(), rows.end(), [name](const Row& row) { return row.says->name == name; });
    return found == rows.end() ? nullptr : &*found;
}

std::string_view says(Refers refers) {
    switch (refers) {
    case Refers::item:
        return "an item";
    case Refers::part:
        return "a part";
    case Refers::fastener:
        return "a fastener";
    case Refers::circuit:
        return "a circuit";
    case Refers::setting:
        return "a setting";
    case Refers::adjustment:
        return "an adjustment";
    case Refers::limit:
        return "a limit";
    case Refers::torque:
        return "a torque";
    case Refers::consumable:
        return "a consumable";
    case Refers::tool:
        return "a tool";
    case Refers::tool_or_consumable:
        return "a tool or consumable";
    case Refers::caution:
        return "a caution";
    case Refers::catalogue:
        return "a catalogue";
    case Refers::procedure:
        return "a procedure";
    case Refers::vehicle:
        return "a vehicle";
    case Refers::step:
        return "a step";
    case Refers::limit_or_step:
        return "a limit, or the id of an inspection";
    case Refers::axis:
        return "an axis";
    case Refers::place:
        return "a place";
    case Refers::feature:
        return "a feature";
    case Refers::free:
        return "something";
    }
    return "something";
}

std::string says(const Shape& shape, const KeySays& key) {
    switch (shape.form) {
    case Form::text:
        switch (key.spelling) {
        case Spelling::free:
            return "a text";
        case Spelling::lower_word:
            return "a word in small letters";
        case Spelling::words:
            return fmt::format("{}", fmt::join(key.words, " or "));
        case Spelling::unit:
            return "the name of a unit";
        case Spelling::factor:
            return "a plain number of at least 1";
        case Spelling::language:
            return "a language tag";
        case Spelling::date:
            return "a date";
        }
        return "a text";
    case Form::whole_number:
        return "a whole number from 1";
    case Form::truth:
        return "true or false";
    case Form::answer:
        return "yes or no";
    case Form::word:
        return fmt::format("one of {}", fmt::join(shape.words, ", "));
    case Form::name:
        return shape.refers == Refers::free ? "a name" : fmt::format("the name of {}", says(shape.refers));
    case Form::quantity: {
        constexpr std::array<std::string_view, 3> least{"", ", zero or more", ", above zero"};
        return fmt::format("{}{}", units::says(shape.wanted), least[static_cast<std::size_t>(key.least)]);
    }
    case Form::range:
        return fmt::format("{}, from..to", units::says(shape.wanted));
    case Form::tightening:
        return "a torque, or a list of stages";
    case Form::thread:
        return "the designation of a thread";
    case Form::date:
        return "a date";
    case Form::spot:
        return "a place on the picture";
    case Form::list:
        return fmt::format("{}, or a list of such", says(shape.value(), key));
    case Form::entries:
        return key.by_verb && shape.value().form == Form::entries
                   ? fmt::format("a map from verbs to {}", says(shape.value(), key))
                   : fmt::format("a map from {} to {}", says(shape.key(), key), says(shape.value(), key));
    case Form::keys:
        return fmt::format("the keys of a {}", shape.table().called);
    case Form::things:
        return fmt::format("a map from names to {}s", shape.table().called);
    case Form::caution:
        return "a caution with its level, hazard and avoid, or a list of such";
    case Form::steps:
        return "a list of steps";
    case Form::contract_entry:
        return "a place, or a map with place and owes";
    case Form::difference:
        return "a map from items to the keys that differ";
    }
    return "a value";
}

std::string says(const Row& row) {
    std::string text = says(*row.shape, *row.says);
    if (row.or_shape != nullptr) text += ", or " + says(*row.or_shape, *row.says);
    return text;
}

} // namespace benchleaf::model
