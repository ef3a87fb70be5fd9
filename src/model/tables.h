// The declared keys as plain tables: what the reader's messages, the JSON Schema and the reference page need to know of
// a key and of how its value is written, without its member. Made once from keys.h.
#pragma once

#include "model/key.h"

#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::model {

struct Table;

// How a value is written; it follows from the C++ type of the member.
struct Shape {
    enum class Form : std::uint8_t {
        text,
        whole_number, // from 1
        truth,        // true, false
        answer,       // yes, no
        word,         // one of `words`
        name,         // what `refers` says
        quantity,     // of the sort `wanted`
        range,
        tightening,
        thread,
        date,
        spot,    // on a picture
        list,    // of `value`; one alone may stand for itself
        entries, // { `key`: `value` }
        keys,    // a map with the keys of `table`
        things,  // { name: … }, each with the keys of `table`, or a text where a name alone will do
        caution, // a caution written out, or a list of them
        steps,
        contract_entry, // a place, or the keys of `table`
        difference      // { name: … }, each with any key of an item
    };
    Form form = Form::text;
    Refers refers = Refers::free;
    units::Wanted wanted = units::Wanted::anything;
    std::span<const std::string_view> words{};
    const Shape& (*key)() = nullptr;
    const Shape& (*value)() = nullptr;
    const Table& (*table)() = nullptr;
};

struct Row {
    const KeySays* says = nullptr;
    const Shape* shape = nullptr;
    const Shape* or_shape = nullptr; // of a key that may be written in two ways
};

struct Table {
    std::string_view called;
    std::string_view about;
    std::vector<Row> rows; // in the order of declaration

    const Row* find(std::string_view name) const;
};

template <class T>
const Table& table_of();

// Every table, each once, in the order of the reference page.
std::span<const Table* const> all_tables();

// "the name of a fastener, or a list of them", "a torque, for instance `24 N·m`".
std::string says(const Shape& shape, const KeySays& key);
std::string says(const Row& row);

std::string_view says(Refers refers); // "a fastener"

} // namespace benchleaf::model
