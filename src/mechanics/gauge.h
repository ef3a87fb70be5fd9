// A limit as its gauge shows it, in exact fractions of the limit's unit. For the files of this folder alone.
#pragma once

#include "mechanics/wear.h"

#include <boost/multiprecision/cpp_int.hpp>

namespace benchleaf::mechanics {

struct Gauge {
    using Number = boost::multiprecision::cpp_rational;
    Number limit;
    Number step;
    Number uncertainty;
    Number guarded; // the limit and its guard band
    bool minimum = true;
};

std::optional<Gauge::Number> number_in(const units::Quantity& quantity, units::Unit unit);
std::variant<Gauge, NoKeepFigure> reckon_gauge(const WearLimit& limit);
// To whole steps of the gauge, a minimum up and a maximum down.
std::variant<units::Quantity, NoKeepFigure> on_the_scale(const Gauge::Number& value, const Gauge& gauge,
                                                         const WearLimit& limit);

} // namespace benchleaf::mechanics
