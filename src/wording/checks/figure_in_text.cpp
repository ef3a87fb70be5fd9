#include "wording/check.h"

#include "base/text.h"
#include "units/quantity.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace benchleaf::wording {

namespace {

using std::string_view_literals::operator""sv;

// Units written out, besides the spellings that a figure may have.
constexpr std::array written_out = {
    "newton metres"sv, "newton meters"sv, "foot pounds"sv, "inch pounds"sv, "millimetre"sv, "millimetres"sv,
    "millimeter"sv,    "millimeters"sv,   "centimetres"sv, "centimeters"sv, "metre"sv,      "metres"sv,
    "meters"sv,        "kilometres"sv,    "kilometers"sv,  "miles"sv,       "inch"sv,       "inches"sv,
    "feet"sv,          "degree"sv,        "degrees"sv,     "second"sv,      "seconds"sv,    "minute"sv,
    "minutes"sv,       "hour"sv,          "hours"sv,       "litre"sv,       "litres"sv,     "liter"sv,
    "liters"sv,        "millilitres"sv,   "milliliters"sv, "gram"sv,        "grams"sv,      "kilograms"sv,
    "pounds"sv,        "volts"sv,         "ohms"sv,        "percent"sv,     "rpm"sv};

std::size_t blank_at(std::string_view text, std::size_t at) {
    if (at >= text.size()) return 0;
    if (text[at] == ' ' || text[at] == '-') return 1;
    const base::CodePoint c = base::code_point_at(text, at);
    return c.value == 0xA0 || c.value == 0x2009 || c.value == 0x202F ? c.bytes : 0;
}

bool of_unit(char32_t c) {
    return c > 0x7F ? c != 0xA0 && (c < 0x2009 || c > 0x206F)
                    : (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '%' || c == '/';
}

bool is_unit(std::string_view text) {
    return units::find_unit(text).has_value() ||
           std::find(written_out.begin(), written_out.end(), text) != written_out.end();
}

// The end of the longest unit that begins at `at` and is whole words; `at` where there is none. Up to three words: "US fl oz".
std::size_t unit_end(std::string_view text, std::size_t at) {
    std::size_t best = at;
    std::size_t end = at;
    for (int words = 0; words < 3; ++words) {
        const std::size_t begin = end;
        while (end < text.size()) {
            const base::CodePoint c = base::code_point_at(text, end);
            if (!of_unit(c.value)) break;
            end += c.bytes;
        }
        if (end == begin) break;
        // "4 in turn" is no length: an inch ends what is said of it.
        const std::string_view unit = text.substr(at, end - at);
        const bool preposition = unit == "in" && end + 1 < text.size() && text[end] == ' ';
        if (is_unit(unit) && !preposition && (end == text.size() || !base::is_digit(text[end]))) best = end;
        const std::size_t blank = blank_at(text, end);
        if (blank == 0) break;
        end += blank;
    }
    return best;
}

bool is_word_byte(char byte) {
    return base::is_digit(byte) || (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z');
}

void find_figure_in_text(const Wording& wording, const Check& self, messages::Messages& out) {
    for (const Text& text : wording.texts) {
        const std::string_view value = text.source->value;
        for (std::size_t at = 0; at < value.size();) {
            if (!base::is_digit(value[at])) {
                ++at;
                continue;
            }
            const std::size_t begin = at;
            while (at < value.size() &&
                   (base::is_digit(value[at]) ||
                    ((value[at] == '.' || value[at] == ',' || value[at] == '/' || value[at] == ' ') &&
                     at + 1 < value.size() && base::is_digit(value[at + 1]))))
                ++at;
            if (begin > 0 && is_word_byte(value[begin - 1])) continue; // P100, M8
            const std::size_t unit = at + blank_at(value, at);
            const std::size_t end = unit_end(value, unit);
            if (end == unit) continue;
            out.add(self.rule, part_of(wording, text, begin, end),
                    fmt::format("the figure {} stands in a text, where nothing compares, converts or updates it",
                                value.substr(begin, end - begin)))
                .help = "declare it: a torque, a limit, a setting, or the amount or time of a verb";
            at = end;
        }
    }
}

} // namespace

namespace checks {
extern const Check figure_in_text;
const Check figure_in_text = {
    {"figure-in-text", messages::Level::warning, "a figure with its unit, written into a text"}, find_figure_in_text};
} // namespace checks

} // namespace benchleaf::wording
