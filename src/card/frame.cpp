#include "card/frame.h"

#include "mechanics/date.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::card {

Head head_of_visit(const Speaker& s) {
    Head head;
    head.shop = s.shop.name ? s.shop.name->value : s.shop.id.value;
    if (s.fit.vehicle.known()) {
        const model::Vehicle& vehicle = *s.linked.vehicles[s.fit.vehicle.index()].source;
        head.vehicle = vehicle.name ? vehicle.name->value : vehicle.id.value;
    }
    if (s.job == nullptr) return head;
    head.job = s.job->id.value;
    if (s.job->identity) {
        for (const auto& entry : s.job->identity->value) {
            if (head.known_by.empty()) {
                head.known_by = entry.value.value;
                continue;
            }
            std::string label = entry.key.name;
            if (label == "registration")
                label = s.word(Key::identity_registration);
            else if (label == "frame")
                label = s.word(Key::identity_frame);
            else if (label == "engine")
                label = s.word(Key::identity_engine);
            else
                std::replace(label.begin(), label.end(), '-', ' ');
            head.identity.push_back(label + " " + entry.value.value);
        }
    }
    if (s.job->meter) head.meter = s.say(s.job->meter->value.quantity);
    if (s.job->date) head.date = mechanics::print(s.job->date->value);
    return head;
}

Foot make_foot(const Speaker& s) {
    Foot foot;
    foot.text = s.word(Key::foot) + " " + s.word(Key::foot_signals);
    if (s.shop.foot) foot.own = s.shop.foot->value;
    return foot;
}

Words make_words(const Speaker& s) {
    Words words;
    words.page_of = s.word(Key::page_of);
    words.sheet_of = s.word(Key::sheet_of);
    words.card_of = s.word(Key::card_of);
    words.job = s.word(Key::job);
    words.before = s.word(Key::before);
    words.states = s.word(Key::states);
    words.states_none = s.word(Key::states_none);
    words.protection = s.word(Key::protection);
    words.tools = s.word(Key::tools);
    words.consumables = s.word(Key::consumables);
    words.renew = s.word(Key::renew);
    words.may_need = s.word(Key::may_need);
    words.none = s.word(Key::none);
    words.minutes = s.word(Key::minutes);
    words.torques = s.word(Key::torques);
    words.initials = s.word(Key::initials);
    words.second_check = s.word(Key::second_check);
    words.order = s.word(Key::order);
    words.why = s.word(Key::why);
    words.continued = s.word(Key::continued);
    return words;
}

std::string title_of(const fitted::Procedure& procedure) {
    const model::Procedure& source = *procedure.source->source;
    return source.title ? source.title->value : source.id.value;
}

std::string numbered_stem(const Speaker& s, std::size_t number, std::string_view name) {
    const std::size_t digits = std::to_string(s.fit.sequence.size()).size();
    return fmt::format("{}-{:0{}}-{}", s.job->id.value, number, digits, name);
}

void seal(Head& head, std::string_view sha256_hex) {
    constexpr std::size_t shown = 16; // 64 bits, in four groups
    head.digest.clear();
    for (std::size_t i = 0; i < std::min(shown, sha256_hex.size()); ++i) {
        if (i > 0 && i % 4 == 0) head.digest += ' ';
        head.digest += sha256_hex[i];
    }
    head.code += " " + std::string(sha256_hex.substr(0, shown));
}

} // namespace benchleaf::card
