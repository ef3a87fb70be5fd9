#include "card/found.h"

namespace benchleaf::card {

const Check checks::service_too_far = {{"service-too-far", messages::Level::warning,
                                        "a next service so far ahead that not even a new part would reach it"}};

void found::service_too_far(const model::Job& job, const fitted::LimitFigure& limit, const units::Quantity& keep,
                            messages::Messages& out) {
    messages::Message message;
    message.rule = &checks::service_too_far.rule;
    message.text = "the next service is so far ahead that the " + limit.name + " would have to read " +
                   units::print(keep, {.plain_spaces = true}) + " today";
    message.labels.push_back({job.next_service->span, "with the wear up to now"});
    if (job.meter) message.labels.push_back({job.meter->span, "worn over this way"});
    message.labels.push_back({limit.figures.new_size->span, "and a new one measures this"});
    message.help = "look up the way to the next service and the meter; a part that was renewed has worn over less";
    out.add(std::move(message));
}

} // namespace benchleaf::card
