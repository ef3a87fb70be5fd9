#include "mechanics/wear.h"

#include <boost/multiprecision/cpp_int.hpp>
#include <limits>

namespace benchleaf::mechanics {
namespace {

using boost::multiprecision::cpp_int;
using boost::multiprecision::cpp_rational;
using units::Quantity;
using units::Unit;

cpp_rational over_ten(std::int64_t digits, std::uint8_t decimals) {
    return {cpp_int(digits), boost::multiprecision::pow(cpp_int(10), decimals)};
}

std::optional<cpp_rational> number_in(const Quantity& quantity, Unit unit) {
    const std::optional<Quantity> same = units::convert_exactly(quantity, unit);
    if (!same) return std::nullopt;
    return over_ten(same->digits, same->decimals);
}

struct Gauge {
    cpp_rational limit;
    cpp_rational step;
    cpp_rational uncertainty;
    cpp_rational guarded; // the limit and its guard band
    bool minimum = true;
};

std::variant<Gauge, NoKeepFigure> reckon_gauge(const WearLimit& limit) {
    const Unit unit = limit.limit.unit;
    const std::optional<cpp_rational> at = number_in(limit.limit, unit);
    const std::optional<cpp_rational> step = number_in(limit.reads_to, unit);
    const std::optional<cpp_rational> uncertainty =
        limit.uncertainty ? number_in(*limit.uncertainty, unit) : std::optional<cpp_rational>(0);
    if (!at || !step || !uncertainty) return NoKeepFigure::other_units;
    if (*step <= 0 || *uncertainty < 0) return NoKeepFigure::bad_gauge;
    const bool minimum = limit.sort == WearLimit::Sort::minimum;
    const cpp_rational guarded = minimum ? cpp_rational(*at + *uncertainty) : cpp_rational(*at - *uncertainty);
    return Gauge{*at, *step, *uncertainty, guarded, minimum};
}

// To whole steps of the gauge, a minimum up and a maximum down.
std::variant<Quantity, NoKeepFigure> on_the_scale(const cpp_rational& value, const Gauge& gauge,
                                                  const WearLimit& limit) {
    const cpp_rational steps = value / gauge.step;
    const cpp_int above = numerator(steps);
    const cpp_int below = denominator(steps);
    cpp_int whole = above / below; // towards zero
    if (above < 0 && whole * below != above) whole -= 1;
    if (gauge.minimum && whole * below != above) whole += 1;

    // The step in the limit's unit is a decimal, so whole steps are one too.
    const std::optional<Quantity> step = units::convert_exactly(limit.reads_to, limit.limit.unit);
    const cpp_int digits = whole * step->digits;
    if (digits > std::numeric_limits<std::int64_t>::max() || digits < -std::numeric_limits<std::int64_t>::max())
        return NoKeepFigure::too_large;
    return Quantity{static_cast<std::int64_t>(digits), step->decimals, false, limit.limit.unit};
}

} // namespace

std::variant<Quantity, NoKeepFigure> guarded_limit(const WearLimit& limit) {
    const auto gauge = reckon_gauge(limit);
    if (const auto* trouble = std::get_if<NoKeepFigure>(&gauge)) return *trouble;
    return on_the_scale(std::get<Gauge>(gauge).guarded, std::get<Gauge>(gauge), limit);
}

std::variant<Quantity, NoKeepFigure> keep_figure(const WearLimit& limit, const WearKnown& known) {
    const auto reckoned = reckon_gauge(limit);
    if (const auto* trouble = std::get_if<NoKeepFigure>(&reckoned)) return *trouble;
    const Gauge& gauge = std::get<Gauge>(reckoned);
    const std::optional<cpp_rational> as_new = number_in(known.as_new, limit.limit.unit);
    const std::optional<cpp_rational> run = number_in(known.run, known.run.unit);
    const std::optional<cpp_rational> interval = number_in(known.interval, known.run.unit);
    if (!as_new || !run || !interval) return NoKeepFigure::other_units;
    if (*run <= 0) return NoKeepFigure::no_run;
    if (*interval < 0) return NoKeepFigure::bad_interval;
    const cpp_rational margin = over_ten(known.margin.digits, known.margin.decimals);
    if (margin < 1) return NoKeepFigure::bad_margin;
    if (gauge.minimum ? gauge.guarded >= *as_new : gauge.guarded <= *as_new) return NoKeepFigure::new_beyond_limit;

    const cpp_rational q = margin * *interval / *run;
    return on_the_scale((gauge.guarded + q * *as_new) / (1 + q), gauge, limit);
}

std::variant<Quantity, NoKeepFigure> keep_figure(const WearLimit& limit, const Quantity& wear) {
    const auto reckoned = reckon_gauge(limit);
    if (const auto* trouble = std::get_if<NoKeepFigure>(&reckoned)) return *trouble;
    const Gauge& gauge = std::get<Gauge>(reckoned);
    const std::optional<cpp_rational> to_come = number_in(wear, limit.limit.unit);
    if (!to_come) return NoKeepFigure::other_units;
    if (*to_come < 0) return NoKeepFigure::bad_interval;
    return on_the_scale(gauge.minimum ? cpp_rational(gauge.guarded + *to_come) : cpp_rational(gauge.guarded - *to_come),
                        gauge, limit);
}

std::optional<Verdict> judge(const Quantity& reading, const WearLimit& limit, const std::optional<Quantity>& keep) {
    const auto reckoned = reckon_gauge(limit);
    if (!std::holds_alternative<Gauge>(reckoned)) return std::nullopt;
    const Gauge& gauge = std::get<Gauge>(reckoned);
    const std::optional<cpp_rational> read = number_in(reading, limit.limit.unit);
    const std::optional<cpp_rational> enough = keep ? number_in(*keep, limit.limit.unit) : read;
    if (!read || !enough) return std::nullopt;
    // Mirrored, a maximum is a minimum.
    const int sign = gauge.minimum ? 1 : -1;
    if (sign * *read < sign * gauge.limit - gauge.uncertainty) return Verdict::past;
    if (sign * *read < sign * gauge.guarded) return Verdict::doubtful;
    if (sign * *read < sign * *enough) return Verdict::within_not_to_next_service;
    return Verdict::within;
}

} // namespace benchleaf::mechanics
