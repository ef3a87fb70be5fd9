#include "linked/reports.h"

#include "model/date.h"
#include "units/quantity.h"

namespace benchleaf::linked {

namespace {

void find_service_not_ahead(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::service_not_ahead = {{"service-not-ahead", messages::Level::error,
                                          "a next service that does not lie ahead, or counts otherwise than the meter"},
                                         find_service_not_ahead};

namespace {

void find_service_not_ahead(const model::Job& job, const Check& self, Messages& out) {
    if (!job.next_service) return;
    const units::Quantity next = job.next_service->value.quantity;
    const auto say = [&](const std::string& what, const std::string& help) {
        messages::Message& message = out.add(self.rule, job.next_service->span, what);
        if (job.meter) message.labels.push_back({job.meter->span, "the meter now"});
        message.help = help;
    };
    if (next.digits == 0 || (next.relative && next.digits < 0)) {
        say("the next service is no way ahead", "write how far it is, as in `+6 000 km`");
        return;
    }
    if (!job.meter) return;
    const units::Quantity meter = job.meter->value.quantity;
    if (!units::convertible(meter.unit, next.unit)) {
        say("the next service counts in " + std::string(units::symbol(next.unit)) + ", and the meter in " +
                std::string(units::symbol(meter.unit)),
            "write both in one unit");
        return;
    }
    if (!next.relative && units::compare(next, meter) != std::partial_ordering::greater)
        say("the next service is due before the meter of today",
            "write the figure that the meter will show, or a way ahead, as in `+" + units::print(next) + "`");
}

void judge_date(const model::Job& job, const Check& self, Messages& out) {
    if (!job.next_service_date || !job.date) return;
    const auto next = model::calendar_day(job.next_service_date->value);
    if (!next || *next > job.date->value) return;
    messages::Message& message =
        out.add(self.rule, job.next_service_date->span, "the day of the next service does not lie ahead");
    message.labels.push_back({job.date->span, "the day of the work"});
    message.help = "write the day on which it comes back, or correct the day of the work";
}

void find_service_not_ahead(const Linked& linked, const Check& self, Messages& out) {
    for (const Job& job : linked.jobs) {
        find_service_not_ahead(*job.source, self, out);
        judge_date(*job.source, self, out);
    }
}

} // namespace
} // namespace benchleaf::linked
