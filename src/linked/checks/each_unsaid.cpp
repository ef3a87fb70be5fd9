#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::each_unsaid = {{"each-unsaid", messages::Level::error,
                                    "an item that is there once, and what belongs to it is there on each side"}};

namespace {

Span each_of(const Item& item) {
    return item.part.each         ? item.part.each->span
           : item.fastener.each   ? item.fastener.each->span
           : item.adjustment.each ? item.adjustment.each->span
                                  : item.declared;
}

} // namespace

void report_each_unsaid(Messages& out, const Linked& linked, const Item& item, std::string_view how, const Item& beside,
                        AxisId axis, Span worked) {
    const std::string& along = linked.axes[axis.index()].name;
    const std::string where = along == "side" ? "left and right" : "on each `" + along + "`";
    messages::Message& message = out.add(
        checks::each_unsaid.rule, item.declared,
        (item.count > 1 ? "there are " + std::to_string(item.count) + " of the " + item.name + " in all, and the "
                        : "the " + item.name + " is there once, and the ") +
            beside.name + " that " + std::string(how) + " is there " + where,
        "has no `each`");
    message.labels.push_back({each_of(beside), where});
    if (worked.known()) message.labels.push_back({worked, "taken off here, " + where});
    message.help = item.count > 1
                       ? "add `each: " + along + "`, and the `count` of one side"
                       : "add `each: " + along + "`" +
                             (worked.known() ? "; if there is really one, the section that takes it off is `once: true`"
                                             : ", or `count: 1` if there is really one");
}

} // namespace benchleaf::linked
