#include "card/wording.h"

#include "model/verbs.h"

#include <algorithm>
#include <utility>

namespace benchleaf::card {

std::string Speaker::listed(const std::vector<std::string>& parts) const {
    std::string text;
    for (const std::string& part : parts) {
        if (!text.empty()) text += labels.text(Key::list_comma);
        text += part;
    }
    return text;
}

units::PrintOptions Speaker::print_options() const {
    units::PrintOptions options;
    options.decimal_mark = labels.decimal_mark();
    return options;
}

std::string Speaker::say(const units::Quantity& quantity) const {
    const std::string_view word =
        labels::counted(labels, units::symbol(quantity.unit), quantity.digits, quantity.decimals);
    if (word.empty()) return units::print(quantity, print_options());
    return number(quantity) + "\u00a0" + std::string(word);
}

std::string Speaker::say(const units::Range& range) const {
    if (labels::counted(labels, units::symbol(range.upper.unit), 2).empty())
        return units::print(range, print_options());
    return number(range.lower) + "–" + say(range.upper);
}

std::string Speaker::say(const units::Figure& figure) const {
    return units::print(figure, print_options());
}

std::string Speaker::unit(units::Unit unit) const {
    const std::string_view word = labels::counted(labels, units::symbol(unit), 2);
    return std::string(word.empty() ? units::symbol(unit) : word);
}

std::string Speaker::place(linked::ItemId id, linked::Place place) const {
    const linked::Item& is = item(id);
    const std::size_t last = is.places.empty() ? 0 : is.places.size() - 1;
    switch (is.sort) {
    case linked::Sort::fastener: {
        static constexpr Key words[] = {Key::place_tight, Key::place_snug, Key::place_loose, Key::place_out};
        return word(words[std::min<std::size_t>(place, 3)]);
    }
    case linked::Sort::clip:
        return word(place == 0 ? Key::place_in : Key::place_out);
    case linked::Sort::part:
        if (place == 0) return word(Key::place_on);
        if (place >= last) return word(Key::place_off);
        break;
    case linked::Sort::circuit:
    case linked::Sort::adjustment:
        return word(Key::place_ready);
    case linked::Sort::setting:
        break;
    }
    // The author's own name of a place or state: "on-stands".
    std::string own = place < is.places.size() ? is.places[place].name : std::string();
    std::replace(own.begin(), own.end(), '-', ' ');
    return own;
}

std::string Speaker::text(const std::string& written, const linked::Step* step) const {
    if (step == nullptr || written.find('{') == std::string::npos) return written;
    std::string made;
    for (std::size_t i = 0; i < written.size(); ++i) {
        const std::size_t close = written[i] == '{' ? written.find('}', i) : std::string::npos;
        if (close != std::string::npos) {
            const std::string_view between = std::string_view(written).substr(i + 1, close - i - 1);
            const auto found = std::find_if(step->mentions.begin(), step->mentions.end(),
                                            [&](const linked::Mention& each) { return each.written == between; });
            if (found != step->mentions.end() && found->item.known()) {
                made += name(found->item);
                i = close;
                continue;
            }
        }
        made += written[i];
    }
    return made;
}

std::vector<fitted::AxisValue> Speaker::values(linked::ItemId id, const std::vector<fitted::AxisValue>& only) const {
    return values_of(fit, id, only);
}

labels::AxisWord Speaker::axis_word(linked::AxisId axis, fitted::AxisValue value) const {
    return labels::axis_word(labels, fit.axes[axis.index()].values[value]);
}

std::string Speaker::sides(linked::AxisId axis, const std::vector<fitted::AxisValue>& values) const {
    std::vector<std::string> words;
    for (const fitted::AxisValue value : values) words.emplace_back(axis_word(axis, value).word);
    return join(words);
}

std::string Speaker::with_sides(std::string text, linked::ItemId id) const {
    const auto on = values(id);
    if (on.empty()) return text;
    return text + word(Key::list_comma) + sides(item(id).axis, on);
}

void add_once(std::vector<std::string>& to, std::string text) {
    if (!text.empty() && std::find(to.begin(), to.end(), text) == to.end()) to.push_back(std::move(text));
}

std::string without_full_stop(std::string text) {
    while (!text.empty() && (text.back() == '.' || text.back() == ' ' || text.back() == '\n')) text.pop_back();
    return text;
}

std::string owed(const Speaker& speaker, std::uint64_t debts) {
    static constexpr std::pair<model::Debt, Key> words[] = {
        {model::Debt::locker, Key::owes_locker},         {model::Debt::degrease, Key::owes_degrease},
        {model::Debt::lubricant, Key::owes_lubricant},   {model::Debt::fill, Key::owes_fill},
        {model::Debt::bleed, Key::owes_bleed},           {model::Debt::prime, Key::owes_prime},
        {model::Debt::circulate, Key::owes_circulate},   {model::Debt::level, Key::owes_level},
        {model::Debt::leak_check, Key::owes_leak_check}, {model::Debt::adjust, Key::owes_adjust},
        {model::Debt::prove, Key::owes_prove},           {model::Debt::renew, Key::owes_renew},
    };
    std::vector<std::string> parts;
    for (const auto& [debt, key] : words)
        if ((debts & model::bit(debt)) != 0) parts.push_back(speaker.word(key));
    return speaker.listed(parts);
}

bool checks_later(const Speaker& s) {
    return s.shop.second_check && s.shop.second_check->value == model::SecondCheck::same_person_later;
}

std::string second_check_rule(const Speaker& s) {
    return s.word(checks_later(s) ? Key::second_check_later : Key::second_check_other);
}

std::string check_rule(const Speaker& s) {
    return s.fill(Key::where_so, {s.word(Key::second_check), second_check_rule(s)});
}

} // namespace benchleaf::card
