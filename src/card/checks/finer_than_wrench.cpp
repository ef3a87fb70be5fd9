#include "card/found.h"

namespace benchleaf::card {

const Check checks::finer_than_wrench = {{"finer-than-wrench", messages::Level::warning,
                                          "a torque whose tolerance is narrower than what its wrench may be off by"}};

void found::finer_than_wrench(const std::string& name, const model::Wrench& wrench, const linked::Item& fastener,
                              const fitted::Target& target, const units::Figure& torque, messages::Messages& out) {
    messages::Message message;
    message.rule = &checks::finer_than_wrench.rule;
    message.text = name + " cannot keep " + units::print(torque, {.plain_spaces = true}) + " for the " + fastener.name;
    message.labels.push_back({target.torque->declared, "narrower than what the wrench may be off by"});
    if (wrench.accuracy)
        message.labels.push_back(
            {wrench.accuracy->span, name + " may be off by " + units::print(wrench.accuracy->value.quantity)});
    message.labels.push_back({target.span, "torqued here"});
    message.help = "look the tolerance up once more, or get a wrench of that accuracy";
    out.add(std::move(message));
}

} // namespace benchleaf::card
