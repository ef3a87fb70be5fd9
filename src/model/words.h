// How the closed sets of values are written in a file: one row of words an enumeration, in the order of its values.
#pragma once

#include "model/model.h"

#include <array>
#include <span>
#include <string_view>

namespace benchleaf::model {

template <class E>
struct Words;

template <>
struct Words<System> {
    static constexpr std::array<std::string_view, 11> all = {"brake",      "wheel", "steering", "suspension",
                                                             "engine",     "fuel",  "cooling",  "driveline",
                                                             "electrical", "body",  "frame"};
};
template <>
struct Words<Surface> {
    static constexpr std::array<std::string_view, 5> all = {"friction", "sliding", "contact", "sealing", "bearing"};
};
template <>
struct Words<Duty> {
    static constexpr std::array<std::string_view, 5> all = {"clamp", "seal", "adjust", "hollow", "pinch"};
};
template <>
struct Words<Hand> {
    static constexpr std::array<std::string_view, 2> all = {"right", "left"};
};
template <>
struct Words<SecuredBy> {
    static constexpr std::array<std::string_view, 2> all = {"torque", "fit"};
};
template <>
struct Words<Pattern> {
    static constexpr std::array<std::string_view, 2> all = {"none", "star"};
};
template <>
struct Words<Reuse> {
    static constexpr std::array<std::string_view, 2> all = {"allowed", "never"};
};
template <>
struct Words<CircuitSort> {
    static constexpr std::array<std::string_view, 5> all = {"hydraulic", "engine-oil", "coolant", "gear-oil", "fuel"};
};
template <>
struct Words<ThreadState> {
    static constexpr std::array<std::string_view, 4> all = {"dry", "oiled", "thread-locked", "paste"};
};
template <>
struct Words<ConsumableSort> {
    static constexpr std::array<std::string_view, 7> all = {"lubricant", "solvent", "thread-locker", "fluid",
                                                            "sealant",   "cleaner", "other"};
};
template <>
struct Words<CautionLevel> {
    static constexpr std::array<std::string_view, 4> all = {"danger", "warning", "caution", "notice"};
};
template <>
struct Words<Rest> {
    static constexpr std::array<std::string_view, 2> all = {"first", "any"};
};
template <>
struct Words<Paper> {
    static constexpr std::array<std::string_view, 3> all = {"a4", "letter", "a5"};
};
template <>
struct Words<SecondCheck> {
    static constexpr std::array<std::string_view, 2> all = {"other", "same-person-later"};
};

template <>
struct Words<Outcome> {
    static constexpr std::array<std::string_view, 3> all = {"finished", "stopped", "not-to-be-driven"};
};
template <>
struct Words<Grade> {
    static constexpr std::array<std::string_view, 3> all = {"good", "advise", "act-now"};
};
template <>
struct Words<Held> {
    static constexpr std::array<std::string_view, 4> all = {"within", "not-to-next-service", "doubtful", "past"};
};

template <class E>
concept Worded = requires {
    Words<E>::all;
};

template <Worded E>
constexpr std::string_view word(E value) {
    return Words<E>::all[static_cast<std::size_t>(value)];
}

// Sets of words that the model keeps as text.
inline constexpr std::array<std::string_view, 2> truth_words = {"true", "false"};
inline constexpr std::array<std::string_view, 2> answer_words = {"yes", "no"};
inline constexpr std::array<std::string_view, 3> meter_words = {"km", "mi", "h"};
inline constexpr std::array<std::string_view, 1> value_words = {"value"};
inline constexpr std::array<std::string_view, 12> debt_words = {"locker",     "degrease", "lubricant", "fill",
                                                                "bleed",      "prime",    "circulate", "level",
                                                                "leak-check", "adjust",   "prove",     "renew"};

} // namespace benchleaf::model
