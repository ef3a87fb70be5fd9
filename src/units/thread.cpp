#include "units/thread.h"

#include "base/text.h"
#include "units/read.h"

#include <algorithm>

namespace benchleaf::units {
namespace {

// In thousandths of a millimetre. ISO 261 (coarse series): nominal diameter and coarse pitch.
struct Coarse {
    int diameter;
    int pitch;
};
constexpr Coarse coarse[] = {
    {1000, 250},   {1100, 250},   {1200, 250},   {1400, 300},   {1600, 350},   {1800, 350},   {2000, 400},
    {2200, 450},   {2500, 450},   {3000, 500},   {3500, 600},   {4000, 700},   {4500, 750},   {5000, 800},
    {6000, 1000},  {7000, 1000},  {8000, 1250},  {9000, 1250},  {10000, 1500}, {11000, 1500}, {12000, 1750},
    {14000, 2000}, {16000, 2000}, {18000, 2500}, {20000, 2500}, {22000, 2500}, {24000, 3000}, {27000, 3000},
    {30000, 3500}, {33000, 3500}, {36000, 4000}, {39000, 4000}, {42000, 4500}, {45000, 4500}, {48000, 5000},
    {52000, 5000}, {56000, 5500}, {60000, 5500}, {64000, 6000},
};
// All pitches that ISO 261 uses.
constexpr int pitches[] = {200,  250,  300,  350,  400,  450,  500,  600,  700,  750,  800,  1000, 1250,
                           1500, 1750, 2000, 2500, 3000, 3500, 4000, 4500, 5000, 5500, 6000, 8000};

// ASME B1.1: size, threads per inch of the coarse (UNC) and fine (UNF) series; 0: none.
struct Unified {
    std::string_view size;
    std::int64_t digits; // of the nominal diameter in inches
    std::uint8_t decimals;
    int unc;
    int unf;
};
constexpr Unified unified[] = {
    {"#2", 86, 3, 56, 64},     {"#3", 99, 3, 48, 56},     {"#4", 112, 3, 40, 48},    {"#5", 125, 3, 40, 44},
    {"#6", 138, 3, 32, 40},    {"#8", 164, 3, 32, 36},    {"#10", 190, 3, 24, 32},   {"#12", 216, 3, 24, 28},
    {"1/4", 25, 2, 20, 28},    {"5/16", 3125, 4, 18, 24}, {"3/8", 375, 3, 16, 24},   {"7/16", 4375, 4, 14, 20},
    {"1/2", 5, 1, 13, 20},     {"9/16", 5625, 4, 12, 18}, {"5/8", 625, 3, 11, 18},   {"3/4", 75, 2, 10, 16},
    {"7/8", 875, 3, 9, 14},    {"1", 1, 0, 8, 12},        {"1-1/8", 1125, 3, 7, 12}, {"1-1/4", 125, 2, 7, 12},
    {"1-3/8", 1375, 3, 6, 12}, {"1-1/2", 15, 1, 6, 12},
};

ParseError not_a_thread(Bounds at, std::string sentence, std::string help = {}) {
    return {at.begin, at.end, bad_thread, std::move(sentence), std::move(help), std::nullopt};
}

// `1.25` in thousandths; nullopt unless it is a plain decimal from 0.001 to 999.
std::optional<int> thousandths(std::string_view text) {
    std::size_t at = 0;
    int value = 0;
    while (at < text.size() && at < 3 && base::is_digit(text[at])) value = value * 10 + (text[at++] - '0');
    if (at == 0 || (at > 1 && text[0] == '0')) return std::nullopt;
    int places = 0;
    if (at < text.size() && text[at] == '.') {
        ++at;
        while (at < text.size() && places < 3 && base::is_digit(text[at])) {
            value = value * 10 + (text[at++] - '0');
            ++places;
        }
        if (places == 0) return std::nullopt;
    }
    if (at != text.size()) return std::nullopt;
    for (; places < 3; ++places) value *= 10;
    return value > 0 ? std::optional(value) : std::nullopt;
}

Quantity millimetres(int thousandth) {
    Quantity quantity{thousandth, 3, false, Unit::millimetre};
    while (quantity.decimals > 0 && quantity.digits % 10 == 0) {
        quantity.digits /= 10;
        --quantity.decimals;
    }
    return quantity;
}

const Coarse* coarse_of(int diameter) {
    const auto* found =
        std::find_if(std::begin(coarse), std::end(coarse), [&](const Coarse& row) { return row.diameter == diameter; });
    return found == std::end(coarse) ? nullptr : found;
}

// The coarse one, and how the right one is found; the coarse one need not be it.
std::string pitch_help(const Quantity& diameter, const Coarse* row) {
    const std::string size = "M" + print_number(diameter, {.plain_spaces = true});
    if (row == nullptr) return "write the pitch behind an `x`, as in `M8x1.25`; a thread gauge shows it";
    return "the coarse one is `" + size + "x" + print_number(millimetres(row->pitch), {.plain_spaces = true}) +
           "`; a thread gauge shows which it is";
}

Parsed<Thread> read_metric(std::string_view text, Bounds at) {
    const std::string_view inner = text.substr(at.begin + 1, at.end - at.begin - 1); // without its M
    std::size_t size = 0;
    while (size < inner.size() && (base::is_digit(inner[size]) || inner[size] == '.')) ++size;
    const Bounds diameter_at = trimmed(text, {at.begin, at.begin + 1 + size});
    const std::optional<int> diameter = thousandths(inner.substr(0, size));
    if (!diameter) return not_a_thread(diameter_at, "a metric thread starts with its diameter", "write `M8x1.25`");
    const Coarse* row = coarse_of(*diameter);

    Thread thread;
    thread.diameter = millimetres(*diameter);
    Bounds rest = trimmed(text, {at.begin + 1 + size, at.end});
    int pitch = 0;
    if (rest.begin == rest.end) {
        if (row == nullptr)
            return not_a_thread(at, "this diameter has no coarse pitch", "write its pitch, as in `M8x1.25`");
        pitch = row->pitch;
    } else {
        const std::string_view tail = text.substr(rest.begin, rest.end - rest.begin);
        std::size_t sign = 0;
        for (const std::string_view times : {"x", "X", "×", "*"}) {
            if (tail.starts_with(times)) sign = times.size();
        }
        rest = trimmed(text, {rest.begin + sign, rest.end});
        const std::optional<int> read =
            sign == 0 ? std::nullopt : thousandths(text.substr(rest.begin, rest.end - rest.begin));
        if (!read)
            return not_a_thread(rest.begin < rest.end ? rest : at, "the pitch of this thread cannot be read",
                                pitch_help(thread.diameter, row));
        pitch = *read;
        if (std::find(std::begin(pitches), std::end(pitches), pitch) == std::end(pitches))
            return not_a_thread(rest, "ISO 261 has no thread with this pitch", pitch_help(thread.diameter, row));
        // No standard thread is coarser than the coarse series; between its sizes a third of the diameter is far above
        // all.
        const int most = row != nullptr ? row->pitch : *diameter / 3;
        if (pitch > most) {
            std::string help = pitch_help(thread.diameter, row);
            if (row != nullptr)
                help = "M" + print_number(thread.diameter, {.plain_spaces = true}) + " is at most " +
                       print(millimetres(most));
            return not_a_thread(rest, "the pitch is too coarse for this diameter", help);
        }
        if (pitch * 100 < *diameter)
            return not_a_thread(rest, "the pitch is too fine for this diameter", pitch_help(thread.diameter, row));
    }
    thread.pitch = millimetres(pitch);
    thread.designation = "M" + print_number(thread.diameter) + "×" + print_number(thread.pitch);
    return thread;
}

Parsed<Thread> read_unified(std::string_view text, Bounds at) {
    const std::string_view inner = text.substr(at.begin, at.end - at.begin);
    const Unified* row = nullptr;
    std::size_t used = 0;                 // bytes of the size
    for (const Unified& each : unified) { // the longest that fits: `1-1/8-7` is no `1`
        // `10-32 UNF` is `#10-32 UNF`; the numbers stop where the inches begin, but for `1`, which is here an inch.
        std::string_view size = each.size;
        if (size.starts_with("#") && !inner.starts_with("#")) size.remove_prefix(1);
        const bool begins = inner.starts_with(size) && inner.substr(size.size()).starts_with("-");
        if (begins && (row == nullptr || size.size() > used)) {
            row = &each;
            used = size.size();
        }
    }
    if (row == nullptr)
        return not_a_thread(at, "this is no thread that is known here",
                            "write a metric thread as `M8x1.25`, a unified one as `1/4-28 UNF`");
    ++used; // the hyphen
    const std::size_t number_begin = used;
    int threads = 0;
    while (used < inner.size() && used < number_begin + 3 && base::is_digit(inner[used]))
        threads = threads * 10 + (inner[used++] - '0');
    const Bounds number_at{at.begin + number_begin, at.begin + std::max(used, number_begin)};
    if (threads < 4 || threads > 80)
        return not_a_thread(number_at.begin < number_at.end ? number_at : at,
                            "the number of threads per inch cannot be read", "write `1/4-28 UNF`");
    const Bounds series_at = trimmed(text, {at.begin + used, at.end});
    const std::string_view series = text.substr(series_at.begin, series_at.end - series_at.begin);

    Thread thread;
    thread.series = Thread::Series::unified;
    thread.diameter = {row->digits, row->decimals, false, Unit::inch};
    thread.pitch = {0, 0, false, Unit::inch};
    thread.threads_per_inch = threads;
    std::string_view name = threads == row->unc ? "UNC" : threads == row->unf ? "UNF" : "";
    if (!series.empty()) {
        if (series != "UNC" && series != "UNF" && series != "UNEF" && series != "UN" && series != "UNS")
            return not_a_thread(series_at, "this is no series of unified threads",
                                "the series are UNC, UNF, UNEF, UN and UNS");
        const int right = series == "UNC" ? row->unc : series == "UNF" ? row->unf : threads;
        if (right != threads)
            return not_a_thread(number_at, "this size has another number of threads in that series",
                                "write `" + std::string(row->size) + "-" + std::to_string(right) + " " +
                                    std::string(series) + "`");
        name = series;
    } else if (name.empty()) {
        return not_a_thread(number_at, "neither UNC nor UNF has this number of threads at this size",
                            "write the series, as in `1/4-32 UNEF`");
    }
    thread.designation = std::string(row->size) + "-" + std::to_string(threads) + "\u00A0" + std::string(name);
    return thread;
}

} // namespace

Parsed<Thread> parse_thread(std::string_view text) {
    Bounds at = trimmed(text, {0, text.size()});
    if (at.begin == at.end)
        return not_a_thread({0, text.size()}, "nothing is written here", "write a thread as `M8x1.25`");
    bool left_hand = false;
    std::string_view inner = text.substr(at.begin, at.end - at.begin);
    if (inner.ends_with("LH")) { // ISO 965-1 writes `-LH`
        left_hand = true;
        at = trimmed(text, {at.begin, at.end - 2});
        if (at.begin < at.end && text[at.end - 1] == '-') at = trimmed(text, {at.begin, at.end - 1});
        if (at.begin == at.end)
            return not_a_thread(trimmed(text, {0, text.size()}), "the thread itself is missing", "write `M14x1.5 LH`");
    }
    auto result = text[at.begin] == 'M' ? read_metric(text, at) : read_unified(text, at);
    if (auto* thread = std::get_if<Thread>(&result)) {
        thread->left_hand = left_hand;
        if (left_hand) thread->designation += "\u00A0LH";
    }
    return result;
}

double diameter_mm(const Thread& thread) {
    return value_in(thread.diameter, Unit::millimetre);
}

double pitch_mm(const Thread& thread) {
    return thread.series == Thread::Series::metric ? value_in(thread.pitch, Unit::millimetre)
                                                   : 25.4 / thread.threads_per_inch;
}

std::optional<double> coarse_pitch_mm(double diameter_mm) {
    for (const Coarse& row : coarse) {
        if (row.diameter == diameter_mm * 1000) return row.pitch / 1000.0;
    }
    return std::nullopt;
}

} // namespace benchleaf::units
