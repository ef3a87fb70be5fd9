// How a report puts things, in the card's language. Private to report/.
#pragma once

#include "mechanics/date.h"
#include "report/report.h"

#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::report {

using labels::Key;

// What a key of the record names; empty where it is not given.
template <class T>
std::string name_of(const model::Given<T>& given) {
    return given ? given->value.name : std::string();
}

class Words {
public:
    explicit Words(const Shop& shop) : shop_(shop), labels_(*shop.labels) {}

    std::string word(Key key) const { return std::string(labels_.text(key)); }
    std::string fill(Key key, std::initializer_list<std::string_view> values) const {
        return labels::fill(labels_, key, values);
    }
    std::string join(const std::vector<std::string>& parts) const { return labels::join(labels_, parts); }

    units::PrintOptions options() const;
    std::string say(const units::Quantity& quantity) const;
    std::string number(const units::Quantity& quantity) const { return units::print_number(quantity, options()); }
    // Three figures of a number that was reckoned, no more than it is worth: "0.254".
    std::string rounded(double number) const;
    // A quantity that was written as text ("60 mL"), in the language; what is none as it is.
    std::string say_written(const std::string& text) const;

    std::string item(std::string_view name) const; // as printed
    std::string side(std::string_view at) const { return std::string(labels::axis_word(labels_, at).word); }
    std::string with_side(std::string name, std::string_view at) const;
    std::string verdict(model::Held held) const;
    std::string grade(model::Grade grade) const;
    // "at least 2.0 mm"
    std::string limit(const model::ReadFigure& figure) const;
    // "next service at 18 460 km or on 2027-11-25"; empty where nothing is said.
    std::string next_service(const model::Record& record) const;

    // What stands on every page of a report about that record's vehicle.
    void frame(const model::Record& record, Report& to) const;

private:
    const Shop& shop_;
    const labels::Labels& labels_;
};

} // namespace benchleaf::report
