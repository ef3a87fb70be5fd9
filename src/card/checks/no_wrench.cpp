#include "card/found.h"

#include "base/text.h"

#include "model/date.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::card {

namespace {

std::string day_of(const model::Job* job) {
    if (job == nullptr || !job->date) return "the day of the job";
    return fmt::format("{}, the day of job {}", model::print(job->date->value), job->id.value);
}

} // namespace

const Check checks::no_wrench = {{"no-wrench", messages::Level::error,
                                  "no torque wrench of the shop holds a torque, or none that is calibrated does"}};

void found::no_wrench(const model::Shop& shop, const model::Job* job, const linked::Item& fastener,
                      const fitted::Target& target, const units::Quantity& torque, const mechanics::NoWrench& why,
                      messages::Messages& out) {
    std::vector<std::string> holds;
    std::vector<std::string> expired;
    std::vector<std::string> never;
    std::string uncalibrated; // the first that would hold it
    const auto& wrenches = shop.wrenches->value;
    for (std::size_t i = 0; i < wrenches.size(); ++i) {
        const auto& wrench = wrenches[i].value;
        const std::string name = wrench.name ? wrench.name->value : wrenches[i].id.value;
        const auto is = i < why.why_not.size() ? why.why_not[i] : mechanics::WhyNot::no_length;
        if (is == mechanics::WhyNot::out_of_calibration)
            expired.push_back(fmt::format("{} (until {})", name, model::print(wrench.calibrated_until->value)));
        if (is == mechanics::WhyNot::no_calibration) never.push_back(name);
        if (uncalibrated.empty() &&
            (is == mechanics::WhyNot::out_of_calibration || is == mechanics::WhyNot::no_calibration))
            uncalibrated = "calibration of " + wrenches[i].id.value;
        if (wrench.range) {
            // What lies below 20 % of the greatest is not held, whatever the scale says (TM 1-1500-204-23-9).
            units::Range range = wrench.range->value.range;
            if (const auto fifth = units::multiply(range.upper, 2)) {
                units::Quantity least = *fifth;
                if (least.decimals < 18) {
                    ++least.decimals;
                    while (least.decimals > 0 && least.digits % 10 == 0) {
                        least.digits /= 10;
                        --least.decimals;
                    }
                    if (units::compare(least, range.lower) > 0) range.lower = least;
                }
            }
            holds.push_back(name + " " + units::print(range));
        }
    }
    const bool calibrated = expired.empty() && never.empty();
    messages::Message message;
    message.rule = &checks::no_wrench.rule;
    message.text = "no wrench of the shop holds " + units::print(torque) + " for the " + fastener.name +
                   (calibrated ? "" : " and is in calibration on " + day_of(job));
    message.labels.push_back({target.span, "torqued here"});
    if (target.torque && target.torque->declared.known())
        message.labels.push_back({target.torque->declared, "the torque is given here"});
    if (calibrated) {
        message.help = "what they hold, from 20 % of the greatest up: " + base::join_and(holds);
        message.cause = units::print(torque);
    } else {
        if (!expired.empty())
            message.help = "have it calibrated and write its new `calibrated-until`; out of calibration: " +
                           base::join_and(expired);
        if (!never.empty())
            message.help += (expired.empty() ? "" : "; ") + ("without `calibrated-until`: " + base::join_and(never));
        message.cause = uncalibrated;
    }
    out.add(std::move(message));
}

} // namespace benchleaf::card
