#include "labels/labels.h"

#include <algorithm>
#include <cstdlib>
#include <vector>

namespace benchleaf::labels {

const Labels* find(std::string_view language) {
    const std::string_view tag = language.substr(0, language.find('-'));
    for (const Labels& each : languages()) {
        if (each.language == tag) return &each;
    }
    return nullptr;
}

std::string fill(std::string_view pattern, std::initializer_list<std::string_view> values) {
    std::string text;
    std::size_t next = 0;
    for (std::size_t i = 0; i < pattern.size(); ++i) {
        const std::string_view rest = pattern.substr(i);
        if (rest.starts_with("{}") && next < values.size()) {
            text += values.begin()[next++];
            i += 1;
        } else if (rest.size() >= 3 && rest[0] == '{' && rest[2] == '}' && rest[1] >= '1' && rest[1] <= '9' &&
                   static_cast<std::size_t>(rest[1] - '1') < values.size()) {
            text += values.begin()[rest[1] - '1'];
            i += 2;
        } else {
            text += pattern[i];
        }
    }
    return text;
}

std::string fill(const Labels& labels, Key key, std::initializer_list<std::string_view> values) {
    return fill(labels.text(key), values);
}

std::string join(const Labels& labels, std::span<const std::string> parts) {
    if (parts.empty()) return {};
    if (parts.size() == 1) return parts.front();
    std::string text = parts.front();
    for (std::size_t i = 1; i + 1 < parts.size(); ++i) text += std::string(labels.text(Key::list_comma)) + parts[i];
    return fill(labels, Key::list_and, {text, parts.back()});
}

namespace {

std::string_view form(std::string_view forms, std::size_t index) {
    for (; index > 0; --index) forms.remove_prefix(forms.find(" | ") + 3);
    return forms.substr(0, forms.find(" | "));
}

std::size_t plural(PluralRule rule, std::int64_t digits, unsigned decimals) {
    std::uint64_t whole = digits < 0 ? 0 - static_cast<std::uint64_t>(digits) : static_cast<std::uint64_t>(digits);
    for (unsigned i = 0; i < decimals; ++i) whole /= 10;
    switch (rule) {
    case PluralRule::one_other:
        return whole == 1 && decimals == 0 ? 0 : 1;
    case PluralRule::french:
        return whole < 2 ? 0 : 1;
    case PluralRule::polish:
        if (decimals > 0) return 3;
        if (whole == 1) return 0;
        return whole % 10 >= 2 && whole % 10 <= 4 && (whole % 100 < 12 || whole % 100 > 14) ? 1 : 2;
    }
    return 0;
}

} // namespace

std::string_view counted(const Labels& labels, Key unit, std::int64_t digits, unsigned decimals) {
    return form(labels.text(unit), plural(labels.rule, digits, decimals));
}

std::string_view counted(const Labels& labels, std::string_view symbol, std::int64_t digits, unsigned decimals) {
    static constexpr std::pair<std::string_view, Key> known[] = {
        {"click", Key::unit_click}, {"drop", Key::unit_drop},     {"piece", Key::unit_piece},
        {"notch", Key::unit_notch}, {"stroke", Key::unit_stroke}, {"tooth", Key::unit_tooth},
        {"turn", Key::unit_turn},   {"day", Key::unit_day},
    };
    for (const auto& [name, key] : known)
        if (name == symbol) return counted(labels, key, digits, decimals);
    return {};
}

AxisWord axis_word(const Labels& labels, std::string_view value) {
    static constexpr std::pair<std::string_view, Key> known[] = {
        {"left", Key::axis_left},   {"right", Key::axis_right},   {"front", Key::axis_front},
        {"rear", Key::axis_rear},   {"middle", Key::axis_middle}, {"upper", Key::axis_upper},
        {"lower", Key::axis_lower}, {"inner", Key::axis_inner},   {"outer", Key::axis_outer},
    };
    for (const auto& [name, key] : known) {
        if (name == value) return {form(labels.text(key), 0), form(labels.text(key), 1)};
    }
    return {value, value};
}

} // namespace benchleaf::labels
