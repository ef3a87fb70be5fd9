#include "report/words.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace benchleaf::report {

units::PrintOptions Words::options() const {
    units::PrintOptions made;
    made.decimal_mark = labels_.decimal_mark();
    return made;
}

std::string Words::say(const units::Quantity& quantity) const {
    const std::string_view word =
        labels::counted(labels_, units::symbol(quantity.unit), quantity.digits, quantity.decimals);
    if (word.empty()) return units::print(quantity, options());
    return number(quantity) + "\u00a0" + std::string(word);
}

std::string Words::rounded(double number) const {
    if (!std::isfinite(number)) return "–";
    if (number == 0) return "0";
    const int whole = static_cast<int>(std::floor(std::log10(std::abs(number)))) + 1;
    const int places = std::clamp(3 - whole, 0, 9);
    const double scale = std::pow(10.0, places);
    units::Quantity shown{static_cast<std::int64_t>(std::llround(std::clamp(number, -1e9, 1e9) * scale)),
                          static_cast<std::uint8_t>(places), false, units::Unit::millimetre};
    while (shown.decimals > 0 && shown.digits % 10 == 0) {
        shown.digits /= 10;
        --shown.decimals;
    }
    return this->number(shown);
}

std::string Words::say_written(const std::string& text) const {
    const auto read = units::parse_quantity(text);
    const auto* quantity = std::get_if<units::Quantity>(&read);
    return quantity != nullptr ? say(*quantity) : text;
}

std::string Words::item(std::string_view name) const {
    std::string found = shop_.item ? shop_.item(name) : std::string();
    return found.empty() ? std::string(name) : found;
}

std::string Words::with_side(std::string name, std::string_view at) const {
    if (!at.empty()) name += word(Key::list_comma) + side(at);
    return name;
}

std::string Words::verdict(model::Held held) const {
    switch (held) {
    case model::Held::within:
        return word(Key::held_within);
    case model::Held::not_to_next_service:
        return word(Key::held_not_to_next);
    case model::Held::doubtful:
        return word(Key::held_doubtful);
    case model::Held::past:
        return word(Key::held_past);
    }
    return {};
}

std::string Words::grade(model::Grade grade) const {
    switch (grade) {
    case model::Grade::good:
        return word(Key::grade_good);
    case model::Grade::advise:
        return word(Key::grade_advise);
    case model::Grade::act_now:
        return word(Key::grade_act_now);
    }
    return {};
}

std::string Words::limit(const model::ReadFigure& figure) const {
    if (figure.within) {
        const units::Range& range = figure.within->value.range;
        return fill(Key::limit_within, {number(range.lower) + "–" + say(range.upper)});
    }
    if (figure.minimum && figure.maximum)
        return fill(Key::limit_within,
                    {number(figure.minimum->value.quantity) + "–" + say(figure.maximum->value.quantity)});
    if (figure.minimum) return fill(Key::at_least, {say(figure.minimum->value.quantity)});
    if (figure.maximum) return fill(Key::at_most, {say(figure.maximum->value.quantity)});
    return {};
}

std::string Words::next_service(const model::Record& record) const {
    std::string text;
    if (record.next_service) text = fill(Key::next_service_at, {say(record.next_service->value.quantity)});
    if (!record.next_service_date) return text;
    const std::string& day = record.next_service_date->value;
    return text.empty() ? fill(Key::next_service_on, {day}) : fill(Key::next_service_or, {text, day});
}

void Words::frame(const model::Record& record, Report& to) const {
    to.language = labels_.language;
    card::Head& head = to.head;
    head.shop = shop_.name;
    head.vehicle = record.name ? record.name->value : record.vehicle ? record.vehicle->value.name : std::string();
    if (record.identity)
        for (const auto& each : record.identity->value) {
            if (head.known_by.empty()) {
                head.known_by = each.value.value;
                continue;
            }
            std::string label = each.key.name;
            if (label == "registration")
                label = word(Key::identity_registration);
            else if (label == "frame")
                label = word(Key::identity_frame);
            else if (label == "engine")
                label = word(Key::identity_engine);
            else
                std::replace(label.begin(), label.end(), '-', ' ');
            head.identity.push_back(label + " " + each.value.value);
        }
    if (record.meter) head.meter = say(record.meter->value.quantity);
    if (record.date) head.date = mechanics::print(record.date->value);
    to.foot.text = word(Key::foot);
    to.foot.own = shop_.foot;
    card::Words& words = to.words;
    words.page_of = word(Key::page_of);
    words.sheet_of = word(Key::sheet_of);
    words.card_of = word(Key::card_of);
    words.job = word(Key::record);
    words.continued = word(Key::continued);
    words.none = word(Key::none);
}

} // namespace benchleaf::report
