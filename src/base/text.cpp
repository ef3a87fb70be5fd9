#include "base/text.h"

#include <algorithm>
#include <cstring>
#include <numeric>

namespace benchleaf::base {

namespace {

struct Lead {
    unsigned length;
    std::uint32_t bits;
    std::uint32_t least; // smaller values would be an overlong form
};

Lead lead_of(unsigned char byte) {
    if (byte < 0x80) return {1, byte, 0};
    if (byte >= 0xC2 && byte <= 0xDF) return {2, byte & 0x1FU, 0x80};
    if (byte >= 0xE0 && byte <= 0xEF) return {3, byte & 0x0FU, 0x800};
    if (byte >= 0xF0 && byte <= 0xF4) return {4, byte & 0x07U, 0x10000};
    return {0, 0, 0};
}

// Eight bytes at a time.
std::size_t ascii_end(std::string_view text, std::size_t at) {
    constexpr std::uint64_t high_bits = 0x8080'8080'8080'8080;
    for (std::uint64_t bytes = 0; at + sizeof(bytes) <= text.size(); at += sizeof(bytes)) {
        std::memcpy(&bytes, text.data() + at, sizeof(bytes));
        if ((bytes & high_bits) != 0) break;
    }
    while (at < text.size() && static_cast<unsigned char>(text[at]) < 0x80) ++at;
    return at;
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before(b.size() + 1);
    std::vector<std::size_t> previous(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(previous.begin(), previous.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t change = a[i - 1] == b[j - 1] ? 0 : 1;
            row[j] = std::min({previous[j] + 1, row[j - 1] + 1, previous[j - 1] + change});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                row[j] = std::min(row[j], before[j - 2] + 1);
        }
        std::swap(before, previous);
        std::swap(previous, row);
    }
    return previous[b.size()];
}

} // namespace

std::optional<std::size_t> first_bad_utf8(std::string_view text) {
    std::size_t at = 0;
    while ((at = ascii_end(text, at)) < text.size()) {
        const Lead lead = lead_of(static_cast<unsigned char>(text[at]));
        if (lead.length == 0 || at + lead.length > text.size()) return at;
        std::uint32_t value = lead.bits;
        for (unsigned i = 1; i < lead.length; ++i) {
            const auto next = static_cast<unsigned char>(text[at + i]);
            if ((next & 0xC0U) != 0x80U) return at;
            value = value << 6U | (next & 0x3FU);
        }
        const bool surrogate = value >= 0xD800 && value <= 0xDFFF;
        if (value < lead.least || value > 0x10FFFF || surrogate) return at;
        at += lead.length;
    }
    return std::nullopt;
}

CodePoint code_point_at(std::string_view text, std::size_t at) {
    const Lead lead = lead_of(static_cast<unsigned char>(text[at]));
    if (lead.length == 0 || at + lead.length > text.size()) return {0xFFFD, 1};
    std::uint32_t value = lead.bits;
    for (unsigned i = 1; i < lead.length; ++i) value = value << 6U | (static_cast<unsigned char>(text[at + i]) & 0x3FU);
    return {static_cast<char32_t>(value), lead.length};
}

std::size_t plain_ascii_end(std::string_view text, std::size_t at) {
    const auto plain = [](char c) { return (c >= ' ' && c <= '~') || c == '\n' || c == '\t'; };
    while (at < text.size() && plain(text[at])) ++at;
    return at;
}

void append_utf8(std::string& to, char32_t code_point) {
    const auto c = static_cast<std::uint32_t>(code_point);
    const auto put = [&to](std::uint32_t byte) { to.push_back(static_cast<char>(static_cast<unsigned char>(byte))); };
    if (c < 0x80) {
        put(c);
    } else if (c < 0x800) {
        put(0xC0U | c >> 6U);
        put(0x80U | (c & 0x3FU));
    } else if (c < 0x10000) {
        put(0xE0U | c >> 12U);
        put(0x80U | (c >> 6U & 0x3FU));
        put(0x80U | (c & 0x3FU));
    } else {
        put(0xF0U | c >> 18U);
        put(0x80U | (c >> 12U & 0x3FU));
        put(0x80U | (c >> 6U & 0x3FU));
        put(0x80U | (c & 0x3FU));
    }
}

std::size_t code_points(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

std::vector<std::string_view> split(std::string_view text, char at) {
    std::vector<std::string_view> parts;
    for (;;) {
        const std::size_t found = text.find(at);
        parts.push_back(text.substr(0, found));
        if (found == std::string_view::npos) return parts;
        text.remove_prefix(found + 1);
    }
}

std::string_view trimmed(std::string_view text) {
    const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; };
    while (!text.empty() && blank(text.front())) text.remove_prefix(1);
    while (!text.empty() && blank(text.back())) text.remove_suffix(1);
    return text;
}

bool shows_nothing(std::string_view text) {
    // Unicode's blanks, and what has no ink: soft hyphen, joiners, direction marks, the fillers of Hangul and of Braille, variation selectors.
    const auto inkless = [](char32_t c) {
        return c <= 0x20 || c == 0xA0 || c == 0xAD || c == 0x34F || c == 0x61C || c == 0x115F || c == 0x1160 ||
               c == 0x1680 || c == 0x180E || (c >= 0x2000 && c <= 0x200F) || (c >= 0x2028 && c <= 0x202F) ||
               (c >= 0x205F && c <= 0x206F) || c == 0x2800 || c == 0x3000 || c == 0x3164 ||
               (c >= 0xFE00 && c <= 0xFE0F) || c == 0xFEFF || c == 0xFFA0;
    };
    for (std::size_t at = 0; at < text.size();) {
        const CodePoint c = code_point_at(text, at);
        if (!inkless(c.value)) return false;
        at += c.bytes;
    }
    return true;
}

std::string_view nearest(std::string_view word, std::span<const std::string_view> candidates) {
    // A word beyond any sensible name is no misspelling, and measuring it would take time without bound.
    if (word.size() > 100) return {};
    std::string_view best;
    bool tie = false;
    std::size_t least = std::max<std::size_t>(1, word.size() / 3) + 1;
    for (const std::string_view candidate : candidates) {
        const std::size_t longer = std::max(word.size(), candidate.size());
        const std::size_t shorter = std::min(word.size(), candidate.size());
        if (longer - shorter > least) continue;
        const std::size_t distance = edit_distance(word, candidate);
        if (distance < least) {
            least = distance;
            best = candidate;
            tie = false;
        } else if (distance == least && candidate != best) {
            tie = true;
        }
    }
    return tie ? std::string_view() : best;
}

std::string small_letters(std::string_view text) {
    std::string to(text);
    for (char& c : to)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return to;
}

std::string kebab_case(std::string_view text) {
    std::string to = small_letters(text);
    for (char& c : to)
        if (c == '_' || c == ' ') c = '-';
    return to;
}

bool is_slip(std::string_view word, std::string_view meant) {
    if (meant.empty()) return false;
    const std::string plain = kebab_case(word);
    if (plain == meant) return true;
    const auto in_one_word = [](std::string text) {
        text.erase(std::remove(text.begin(), text.end(), '-'), text.end());
        return text;
    };
    if (in_one_word(plain) == in_one_word(std::string(meant))) return true;
    const std::size_t shorter = std::min(plain.size(), meant.size());
    std::size_t front = 0;
    while (front < shorter && plain[front] == meant[front]) ++front;
    std::size_t back = 0;
    while (back < shorter - front && plain[plain.size() - 1 - back] == meant[meant.size() - 1 - back]) ++back;
    const std::string_view wrote = std::string_view(plain).substr(front, plain.size() - front - back);
    const std::string_view wants = meant.substr(front, meant.size() - front - back);
    const bool swapped = wrote.size() == 2 && wants.size() == 2 && wrote[0] == wants[1] && wrote[1] == wants[0];
    if (!swapped && (wrote.size() > 1 || wants.size() > 1)) return false;
    const auto is_letter = [](char c) { return c >= 'a' && c <= 'z'; };
    if (!std::all_of(wrote.begin(), wrote.end(), is_letter) || !std::all_of(wants.begin(), wants.end(), is_letter))
        return false;
    // The word between hyphens that the slip is in.
    const std::size_t at = std::min(front, meant.size() - 1);
    std::size_t begin = at;
    while (begin > 0 && meant[begin - 1] != '-') --begin;
    const std::size_t end = std::min(meant.find('-', begin), meant.size());
    return end >= begin + 4 && front > begin;
}

bool is_kebab_case(std::string_view name) {
    bool after_hyphen = true;
    for (const char c : name) {
        if (c == '-') {
            if (after_hyphen) return false;
            after_hyphen = true;
        } else if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) {
            after_hyphen = false;
        } else {
            return false;
        }
    }
    return !after_hyphen;
}

std::string join_and(std::span<const std::string> parts) {
    std::string joined;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (i > 0) joined += i + 1 == parts.size() ? " and " : ", ";
        joined += parts[i];
    }
    return joined;
}

} // namespace benchleaf::base
