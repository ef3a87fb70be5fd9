// What the reader of the model can find wrong, one function a rule. Each is defined beside its rule in checks/, so that
// rule, level and wording stand in one file. What is wrong inside a figure is worded by units/; those rules share
// `found::figure`.
#pragma once

#include "model/check.h"
#include "model/tables.h"
#include "source/source.h"
#include "units/quantity.h"

#include <string>
#include <string_view>

namespace benchleaf::model {

// The thing whose keys are being read.
struct Thing {
    std::string_view called; // "fastener"
    std::string_view name;   // `wheel-nut`; empty where the thing has none
    source::Span span;       // of its name, or of the key that it stands under

    std::string says() const; // "the fastener `wheel-nut`"
};

// What was expected where something else stands.
struct Expected {
    std::string_view key;     // the key or verb, as written
    source::Span key_span;    //
    std::string what;         // "the name of a fastener, or a list of such"
    std::string_view example; // "held-by: [wheel-nut]"
};

namespace checks {
extern const Check bad_date, bad_language_tag, bad_name, bad_number, bad_stage, bad_thread, decimal_comma, empty_value,
    key_does_not_go, leads_nowhere, missing_key, name_not_file, out_of_range, quantity_without_unit, range_reversed,
    misspelt_feature, no_blank_after_verb, section_inside, step_does_nothing, two_in_one_step, unknown_key,
    unknown_kind, unknown_unit, tolerance_absurd, unknown_word, wrong_dimension, wrong_folder, wrong_form;
}

namespace found {

using messages::Messages;
using source::Span;

// The key that was probably meant; empty where there is none, or where it is there already.
struct MeantKey {
    std::string_view key;
    bool sure = false;
};
// `line`: from the key to the end of its line. `beside` are the other keys of the same map.
MeantKey unknown_key(Messages& out, Span at, std::string_view key, std::string_view line, const Thing& thing,
                     std::span<const std::string_view> known, std::span<const std::string_view> beside);
void missing_key(Messages& out, const Thing& thing, std::string_view key, std::string_view help,
                 std::string_view example);
// `goes`: "goes with `apply`"; `other` is what stands there instead, or what excludes the key.
void key_does_not_go(Messages& out, Span at, std::string text, Span other, std::string label, std::string help);
void two_in_one_step(Messages& out, Span first, std::string_view first_key, Span second, std::string_view second_key);
void step_does_nothing(Messages& out, Span at);
void no_blank_after_verb(Messages& out, Span at, std::string_view text, std::size_t colon);
void section_inside(Messages& out, Span at);
void leads_nowhere(Messages& out, Span at, std::string_view key, std::string_view id);

messages::Message& bad_name(Messages& out, Span at, std::string_view text);
// Between names in a list; or a dash, where they stand on lines of their own.
void comma_missing(Messages& out, Span at, std::string_view text, bool over_lines);
// Around names with commas between them.
void brackets_missing(Messages& out, Span at, std::string_view text, const std::vector<std::string_view>& names);
void wrong_form(Messages& out, Span at, std::string_view stands, const Expected& expected);
// The keys that go into what `word` begins stand beside it.
void not_set_in(Messages& out, Span key, Span first, std::string_view word);
void empty_value(Messages& out, const Expected& expected);
messages::Message& unknown_word(Messages& out, Span at, std::string_view text, std::string_view key,
                                std::span<const std::string_view> words);
void bad_date(Messages& out, Span at, std::string_view text);
void bad_language_tag(Messages& out, Span at, std::string_view text);
void bad_number(Messages& out, Span at, std::string_view text, std::string_view wanted);
void decimal_comma(Messages& out, Span at, std::string_view text);
void out_of_range(Messages& out, Span at, std::string text, std::string help);
void figure(Messages& out, Span at, const units::ParseError& error);
void unknown_unit(Messages& out, Span at, std::string_view text, units::Wanted wanted);
void wrong_dimension(Messages& out, Span at, std::string_view text, units::Wanted wanted);

// `text` says of what it is one spelling, `seen` where the other stands: surely the right one, where more than one place has that.
enum class Meant : std::uint8_t { surely, one_or_the_other };
void misspelt_feature(Messages& out, Span at, std::string text, std::string_view word, std::string_view meant,
                      Span seen, std::string label, Meant how);
messages::Message& unknown_kind(Messages& out, Span at, std::string_view key);
void name_not_file(Messages& out, Span at, std::string_view kind, std::string_view name, std::string_view stem);
void wrong_folder(Messages& out, Span at, std::string_view kind, std::string_view belongs);

} // namespace found
} // namespace benchleaf::model
