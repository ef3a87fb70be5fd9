// How a card puts things: names, figures and lists in the card's language. Private to card/. A `Speaker` holds what every part of a
// card's making needs, so that it is passed around as one.
#pragma once

#include "card/unfold.h"
#include "labels/labels.h"
#include "messages/message.h"
#include "proof/proved.h"

#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::card {

using labels::Key;

struct Speaker {
    const fitted::Fit& fit;
    const linked::Linked& linked;
    const model::Shop& shop;
    const model::Job* job; // nullptr: a blank card
    const labels::Labels& labels;
    messages::Messages& messages;

    std::string word(Key key) const { return std::string(labels.text(key)); }
    std::string fill(Key key, std::initializer_list<std::string_view> values) const {
        return labels::fill(labels, key, values);
    }
    std::string join(const std::vector<std::string>& parts) const { return labels::join(labels, parts); }
    std::string listed(const std::vector<std::string>& parts) const; // with commas alone

    // Figures, with the language's decimal mark and its word for what is counted.
    units::PrintOptions print_options() const;
    std::string say(const units::Quantity& quantity) const;
    std::string say(const units::Range& range) const;
    std::string say(const units::Figure& figure) const; // with its tolerance
    std::string number(const units::Quantity& quantity) const { return units::print_number(quantity, print_options()); }
    std::string unit(units::Unit unit) const;

    const linked::Item& item(linked::ItemId id) const { return fit.items[id.index()].is; }
    bool present(linked::ItemId id) const { return id.known() && fit.items[id.index()].present; }
    const std::string& name(linked::ItemId id) const { return item(id).name; }
    std::string place(linked::ItemId id, linked::Place place) const; // "off", "on stands"

    // The author's text, `{item}` replaced by the item's name.
    std::string text(const std::string& written, const linked::Step* step) const;

    // Values of an item's axis on this vehicle; empty when the axis has but one, so that it goes without saying. `only` narrows.
    std::vector<fitted::AxisValue> values(linked::ItemId id, const std::vector<fitted::AxisValue>& only = {}) const;
    std::string sides(linked::AxisId axis, const std::vector<fitted::AxisValue>& values) const; // "left and right"
    labels::AxisWord axis_word(linked::AxisId axis, fitted::AxisValue value) const;
    std::string with_sides(std::string text, linked::ItemId id) const; // "front wheel, left and right"
};

// The names of a list of things, each once, in order.
void add_once(std::vector<std::string>& to, std::string text);

// An author's text behind a colon: "Cracks, glaze." -> "Cracks, glaze". Its first letter stays as it is: he may write German.
std::string without_full_stop(std::string text);

// Who may do a second check, in this shop: somebody else, or the same person later.
bool checks_later(const Speaker& speaker);
std::string second_check_rule(const Speaker& speaker);
std::string check_rule(const Speaker& speaker); // the same, with what it is the rule of before it

// The sum of the shop's words for an `owes` of bits, "bleed, level".
std::string owed(const Speaker& speaker, std::uint64_t debts);

} // namespace benchleaf::card
