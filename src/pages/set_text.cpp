#include "pages/set_text.h"

#include "base/require.h"
#include "base/text.h"
#include "pages/check.h"

#include <fmt/format.h>
extern "C" {
#include <linebreak.h>
}
#include <utf8proc.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <memory>

namespace benchleaf::pages {

namespace {

// Whether the text is in NFC as it is and has nothing invisible: true of all that is made of these letters and signs, none
// of which combines or stands for another (DerivedNormalizationProps.txt of the Unicode Character Database).
bool plain(std::string_view text) {
    for (std::size_t at = 0; at < text.size();) {
        const base::CodePoint point = base::code_point_at(text, at);
        const char32_t c = point.value;
        const bool known = (c >= 0x20 && c < 0x300 && c != 0xAD) || (c >= 0x388 && c <= 0x482) ||
                           (c >= 0x48A && c <= 0x52F) || (c >= 0x2010 && c <= 0x2027) || c == 0x202F ||
                           (c >= 0x2190 && c <= 0x22FF);
        if (!known) return false;
        at += point.bytes;
    }
    return true;
}

bool invisible(char32_t c) {
    return c == 0x00AD || c == 0x200B || c == 0x2060 || c == 0xFEFF;
}

// Normalised, with tabs as spaces and without what cannot be seen; line ends stay and break the line.
void append_clean(std::string& to, std::string_view text) {
    if (plain(text)) {
        to += text;
        return;
    }
    utf8proc_uint8_t* normal = nullptr;
    const auto length =
        utf8proc_map(reinterpret_cast<const utf8proc_uint8_t*>(text.data()), static_cast<utf8proc_ssize_t>(text.size()),
                     &normal, static_cast<utf8proc_option_t>(UTF8PROC_STABLE | UTF8PROC_COMPOSE));
    base::require(length >= 0, "a text of the card is not valid UTF-8");
    const std::unique_ptr<utf8proc_uint8_t, decltype(&std::free)> owner(normal, &std::free);
    const std::string_view clean(reinterpret_cast<const char*>(normal), static_cast<std::size_t>(length));
    for (std::size_t at = 0; at < clean.size();) {
        const base::CodePoint point = base::code_point_at(clean, at);
        if (point.value == '\t')
            to += ' ';
        else if (point.value != '\r' && !invisible(point.value))
            to += clean.substr(at, point.bytes);
        at += point.bytes;
    }
}

bool digit(char c) {
    return c >= '0' && c <= '9';
}

// What may follow a number after a space and belongs to it. Unit symbols are those of the SI brochure and of the trade.
bool unit(std::string_view word) {
    constexpr auto symbols = std::to_array<std::string_view>(
        {"N·m", "Nm", "lbf·ft", "lbf·in", "kgf·m", "mm",  "cm",  "m",   "km",    "mi",   "in",
         "µm",  "g",  "kg",     "mL",     "L",     "mm²", "bar", "kPa", "MPa",   "psi",  "V",
         "A",   "Ah", "W",      "Ω",      "°",     "°C",  "°F",  "%",   "h",     "min",  "s",
         "×",   "N",  "kN",     "lbf",    "lb",    "oz",  "ft",  "hex", "drops", "drop", "clicks"});
    while (!word.empty() && std::string_view(".,;:)").find(word.back()) != std::string_view::npos)
        word.remove_suffix(1);
    return std::find(symbols.begin(), symbols.end(), word) != symbols.end();
}

bool ends_with_sign(std::string_view before) {
    for (const std::string_view sign : {"→", "≥", "≤", "±", "×", "≈", "~"})
        if (before.ends_with(sign)) return true;
    return false;
}

// Whether the space at `at` binds: 24 N·m, 12 460, ± 2, → 9, 2 × 4.
bool binds(std::string_view text, std::size_t at) {
    const std::string_view before = text.substr(0, at);
    const std::string_view after = text.substr(at + 1);
    if (before.empty() || after.empty()) return false;
    if (ends_with_sign(before)) return true;
    const std::string_view word = after.substr(0, std::min(after.find_first_of(" \n"), after.size()));
    // What divides ends a line and does not start one; a tolerance stays with its value.
    if (word == "·" || word == "–" || word.starts_with("±")) return true;
    if (!digit(before.back())) return false;
    const bool thousands =
        word.size() >= 3 && digit(word[0]) && digit(word[1]) && digit(word[2]) && (word.size() == 3 || !digit(word[3]));
    return thousands || unit(word) || word.starts_with("×");
}

void forbid_trade_breaks(std::string_view text, std::vector<char>& breaks) {
    // Inside a word with a figure in it (a part number, a thread, a date) there is no break at hyphen or slash.
    for (std::size_t begin = 0; begin < text.size();) {
        const std::size_t end = std::min(text.find_first_of(" \n", begin), text.size());
        const std::string_view word = text.substr(begin, end - begin);
        if (std::any_of(word.begin(), word.end(), digit))
            for (std::size_t i = begin; i + 1 < end; ++i)
                if (breaks[i] == LINEBREAK_ALLOWBREAK) breaks[i] = LINEBREAK_NOBREAK;
        if (end < text.size() && text[end] == ' ' && breaks[end] == LINEBREAK_ALLOWBREAK && binds(text, end))
            breaks[end] = LINEBREAK_NOBREAK;
        begin = end + 1;
    }
}

Length lengths(std::int64_t units, Length size) {
    return static_cast<Length>((units * size + fonts::units_per_em - 1) / fonts::units_per_em);
}

} // namespace

Length cap_height(Length size) {
    return static_cast<Length>(static_cast<std::int64_t>(fonts::heights().cap_height) * size / fonts::units_per_em);
}

Setter::Setter(std::string language, messages::Messages& out) : language_(std::move(language)), out_(out) {
    [[maybe_unused]] static const bool ready = (init_linebreak(), true); // once a run; the library wants it
}

void Setter::report(char32_t character) {
    std::string sign;
    base::append_utf8(sign, character);
    const std::string_view script = fonts::script_of(character);
    std::string key = fmt::format("{}|{}", place_, script);
    if (std::find(reported_.begin(), reported_.end(), key) != reported_.end()) return;
    reported_.push_back(std::move(key));
    const auto number = static_cast<std::uint32_t>(character);
    const bool shown = number >= 0x20 && !(number >= 0x7F && number < 0xA0);
    messages::Message message;
    message.rule = &checks::no_glyph.rule;
    message.text =
        shown ? fmt::format("{} holds “{}” (U+{:04X}): the fonts cannot print {}", place_, sign, number, script)
              : fmt::format("{} holds U+{:04X}: the fonts cannot print {}", place_, number, script);
    message.help = "write it in Latin, Greek or Cyrillic letters";
    out_.add(std::move(message));
}

void Setter::gather(const std::vector<Run>& runs) {
    all_.clear();
    parts_.clear();
    for (const Run& run : runs) {
        const std::size_t begin = all_.size();
        append_clean(all_, run.text);
        if (all_.size() > begin) parts_.push_back({begin, all_.size(), run.face});
    }
}

std::int64_t Setter::units(std::size_t begin, std::size_t end) const {
    std::int64_t sum = 0;
    for (const Part& part : parts_) {
        const std::size_t from = std::max(begin, part.begin);
        const std::size_t to = std::min(end, part.end);
        if (from < to) sum += fonts::width(part.face, std::string_view(all_).substr(from, to - from));
    }
    return sum;
}

void Setter::break_into_lines(std::int64_t limit) {
    lines_.clear();
    const std::string_view text = all_;
    // One pass for the whole width, for characters without a glyph, and for line ends.
    std::int64_t whole = 0;
    bool several = false;
    for (const Part& part : parts_) {
        for (std::size_t at = part.begin; at < part.end;) {
            const base::CodePoint point = base::code_point_at(text, at);
            const std::int32_t advance = fonts::advance(part.face, point.value);
            if (point.value == '\n')
                several = true;
            else if (advance == 0)
                report(point.value);
            whole += advance;
            at += point.bytes;
        }
    }
    if (!several && whole <= limit) { // most texts of a card
        const std::size_t last = text.find_last_not_of(' ');
        lines_.push_back({0, last == std::string_view::npos ? 0 : last + 1});
        return;
    }
    breaks_.resize(text.size());
    set_linebreaks_utf8(reinterpret_cast<const utf8_t*>(text.data()), text.size(), language_.c_str(), breaks_.data());
    forbid_trade_breaks(text, breaks_);

    std::size_t line = 0;      // where the line starts
    std::size_t fits = 0;      // the last place in it where it may break, if beyond `line`
    std::int64_t with_end = 0; // its width up to here, with the spaces at its end
    std::int64_t at_fits = 0;  // with_end at `fits`
    utf8proc_int32_t state = 0;
    char32_t before = 0;
    std::size_t part = 0;
    const auto close = [&](std::size_t end) {
        std::size_t last = end;
        while (last > line && (text[last - 1] == ' ' || text[last - 1] == '\n')) --last;
        lines_.push_back({line, last});
        line = end;
    };
    for (std::size_t at = 0; at < text.size();) {
        while (at >= parts_[part].end) ++part;
        const base::CodePoint point = base::code_point_at(text, at);
        const std::int64_t advance = fonts::advance(parts_[part].face, point.value);
        const bool space = point.value == ' ' || point.value == '\n';
        if (!space && with_end + advance > limit && at > line) {
            if (fits > line) {
                close(fits);
                with_end -= at_fits;
            }
            // Still too long: one word is wider than the line and breaks between two letters, wherever it must.
            if (with_end + advance > limit && at > line &&
                utf8proc_grapheme_break_stateful(static_cast<utf8proc_int32_t>(before),
                                                 static_cast<utf8proc_int32_t>(point.value), &state)) {
                close(at);
                with_end = 0;
            }
        }
        with_end += advance;
        before = point.value;
        at += point.bytes;
        const char rule = breaks_[at - 1];
        if (rule == LINEBREAK_MUSTBREAK && point.value == '\n') {
            close(at);
            with_end = 0;
        } else if (rule == LINEBREAK_ALLOWBREAK) {
            fits = at;
            at_fits = with_end;
        }
    }
    if (line < text.size()) close(text.size());
}

Length Setter::width(std::string_view text, fonts::Face face, Length size) {
    gather({{text, face}});
    return lengths(units(0, all_.size()), size);
}

Piece Setter::paragraph(const std::vector<Run>& runs, Length width, const Manner& manner) {
    gather(runs);
    Piece piece;
    if (all_.empty()) return piece;
    const Length rounding = static_cast<Length>(parts_.size()); // each part's width is rounded up by less than 1
    break_into_lines((static_cast<std::int64_t>(width) - rounding) * fonts::units_per_em / manner.size);

    const Length pitch = line_height(manner.size);
    Length y = 0;
    for (const Line& line : lines_) {
        const std::size_t first = piece.boxes.size();
        Length x = 0;
        for (const Part& part : parts_) {
            const std::size_t begin = std::max(line.begin, part.begin);
            const std::size_t end = std::min(line.end, part.end);
            if (begin >= end) continue;
            std::string words = all_.substr(begin, end - begin);
            const Length wide = lengths(fonts::width(part.face, words), manner.size);
            Text text{std::move(words), part.face, manner.size, y + ascent(manner.size), manner.grey};
            put(piece, drawn(manner.role, {x, y, wide, pitch}, std::move(text)));
            x += wide;
        }
        const Length free = width - x;
        const Length shift = manner.align == Align::right ? free : manner.align == Align::centre ? free / 2 : 0;
        if (shift != 0)
            for (std::size_t i = first; i < piece.boxes.size(); ++i) move_by(piece.boxes[i], shift, 0);
        y += pitch;
    }
    piece.height = y;
    if (manner.align != Align::left) piece.width = width;
    if (piece.boxes.empty()) return {}; // nothing but spaces
    if (piece.boxes.size() == 1) return piece;
    Length left = width; // the parent holds its lines and no more
    Length right = 0;
    for (const Box& box : piece.boxes) {
        left = std::min(left, box.at.x);
        right = std::max(right, box.at.right());
    }
    const Length whole = piece.width;
    Box parent = drawn(manner.role, {left, 0, right - left, y}, {});
    parent.children = std::move(piece.boxes);
    Piece grouped = piece_of(std::move(parent));
    grouped.width = std::max(whole, grouped.width);
    return grouped;
}

std::string in_one_piece(std::string_view text) {
    std::string made;
    for (const char c : text) made += c == ' ' ? "\u00a0" : std::string(1, c);
    return made;
}

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        if (end > at) words.emplace_back(text.substr(at, end - at));
        at = end + 1;
    }
    return words;
}

} // namespace benchleaf::pages
