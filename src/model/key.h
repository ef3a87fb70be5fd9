// One key of the language: its name, the member that it fills (whose type says how it is written), one line of help, an
// example, and what it goes with. The keys themselves are declared in keys.h with
//
//     key("held-by", &Part::held_by, "what has to be off …", "held-by: [wheel-nut]").needed()
#pragma once

#include "model/model.h"
#include "syntax/syntax.h"

#include <array>
#include <cstdint>
#include <span>
#include <string_view>

namespace benchleaf::model {

// What a text has to be, beyond being text.
enum class Spelling : std::uint8_t {
    free,
    lower_word, // one word in small letters: a rubber, a base
    words,      // one of the key's words
    unit,       // a unit's name, of the key's sort of quantity
    factor,     // a plain number, at least 1
    language,   // a language tag
    date
};

// What one entry of a list of steps is.
enum class StepSort : std::uint8_t { verb, plain, section, ask, decide, if_answered, again, stop };
inline constexpr std::size_t step_sort_count = 8;

// The least that a quantity may be where zero or less makes no sense.
enum class Least : std::uint8_t { any, zero, above_zero };

// With which entries of a list of steps a key goes. Empty: with any.
struct GoesWith {
    std::uint32_t sorts = 0; // bits by StepSort
    std::uint32_t verbs = 0; // bits by VerbName

    constexpr bool any() const { return sorts == 0 && verbs == 0; }
    constexpr bool has(StepSort sort) const { return (sorts >> static_cast<unsigned>(sort) & 1U) != 0; }
    constexpr bool has(VerbName verb) const { return (verbs >> static_cast<unsigned>(verb) & 1U) != 0; }
};

// A key that excludes this one, either by being there or by holding one word.
struct NotWith {
    std::string_view key;
    std::string_view word;
};

// All that can be said of a key without its member. The same rows serve the reader's messages, the schema and the
// reference page.
struct KeySays {
    std::string_view name;
    std::string_view help;    // one line, small letter, no full stop
    std::string_view example; // as it stands in a file
    bool needed = false;
    bool part = false; // what stands below it may be given in part
    Spelling spelling = Spelling::free;
    std::span<const std::string_view> words{};       // of Spelling::words
    units::Wanted unit_of = units::Wanted::anything; // of Spelling::unit
    Least least = Least::any;                        // of a quantity
    bool by_verb = false;                            // a map whose keys are verbs
    GoesWith with;                                   // of a step's keys
    std::uint32_t needed_by = 0;                     // bits by VerbName: the verbs that cannot do without it
    std::uint32_t needed_by_sort = 0;                // bits by StepSort
    NotWith not_with;
};

template <class Owner, class Member>
struct Key : KeySays {
    Member Owner::*member;

    constexpr Key needed() const {
        Key k = *this;
        k.KeySays::needed = true;
        return k;
    }
    constexpr Key in_part() const {
        Key k = *this;
        k.part = true;
        return k;
    }
    constexpr Key spelled(Spelling how) const {
        Key k = *this;
        k.spelling = how;
        return k;
    }
    constexpr Key one_of(std::span<const std::string_view> these) const {
        Key k = *this;
        k.spelling = Spelling::words;
        k.words = these;
        return k;
    }
    constexpr Key names_unit(units::Wanted of) const {
        Key k = *this;
        k.spelling = Spelling::unit;
        k.unit_of = of;
        return k;
    }
    constexpr Key at_least(Least what) const {
        Key k = *this;
        k.least = what;
        return k;
    }
    constexpr Key above_zero() const { return at_least(Least::above_zero); }
    constexpr Key keyed_by_verbs() const {
        Key k = *this;
        k.by_verb = true;
        return k;
    }
    constexpr Key goes_with(std::initializer_list<StepSort> sorts) const {
        Key k = *this;
        for (const StepSort sort : sorts) k.with.sorts |= 1U << static_cast<unsigned>(sort);
        return k;
    }
    constexpr Key goes_with(std::initializer_list<VerbName> verbs) const {
        Key k = *this;
        for (const VerbName verb : verbs) k.with.verbs |= 1U << static_cast<unsigned>(verb);
        return k;
    }
    constexpr Key goes_with(StepSort sort) const { return goes_with({sort}); }
    constexpr Key goes_with(VerbName verb) const { return goes_with({verb}); }
    constexpr Key needed_with(VerbName verb) const {
        Key k = goes_with({verb});
        k.needed_by |= 1U << static_cast<unsigned>(verb);
        return k;
    }
    constexpr Key needed_with(StepSort sort) const {
        Key k = goes_with({sort});
        k.needed_by_sort |= 1U << static_cast<unsigned>(sort);
        return k;
    }
    constexpr Key excluded_by(std::string_view other, std::string_view word = {}) const {
        Key k = *this;
        k.not_with = {other, word};
        return k;
    }
};

template <class Owner, class Member>
constexpr Key<Owner, Member> key(std::string_view name, Member Owner::*member, std::string_view help,
                                 std::string_view example) {
    Key<Owner, Member> made{};
    made.name = name;
    made.help = help;
    made.example = example;
    made.member = member;
    return made;
}

// One key that fills either of two members; `is_second` says which by looking at what is written.
template <class Owner, class First, class Second>
struct EitherKey : KeySays {
    First Owner::*first;
    Second Owner::*second;
    bool (*is_second)(const syntax::Syntax& syntax, syntax::NodeId node);

    constexpr EitherKey needed() const {
        EitherKey k = *this;
        k.KeySays::needed = true;
        return k;
    }
    constexpr EitherKey goes_with(std::initializer_list<StepSort> sorts) const {
        EitherKey k = *this;
        for (const StepSort sort : sorts) k.with.sorts |= 1U << static_cast<unsigned>(sort);
        return k;
    }
};

template <class Owner, class First, class Second>
constexpr EitherKey<Owner, First, Second> either_key(std::string_view name, First Owner::*first, Second Owner::*second,
                                                     bool (*is_second)(const syntax::Syntax&, syntax::NodeId),
                                                     std::string_view help, std::string_view example) {
    EitherKey<Owner, First, Second> made{};
    made.name = name;
    made.help = help;
    made.example = example;
    made.first = first;
    made.second = second;
    made.is_second = is_second;
    return made;
}

} // namespace benchleaf::model
