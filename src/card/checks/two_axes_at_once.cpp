#include "card/found.h"

namespace benchleaf::card {

const Check checks::two_axes_at_once = {
    {"two-axes-at-once", messages::Level::error,
     "a section worked side by side calls a procedure that is worked along another axis"}};

void found::two_axes_at_once(const linked::Linked& linked, const fitted::Procedure& outer,
                             const fitted::Procedure& called, messages::Messages& out) {
    const auto axis = [&](linked::AxisId id) { return id.known() ? linked.axes[id.index()].name : std::string(); };
    const auto& id = called.source->source->id;
    auto& message = out.add(checks::two_axes_at_once.rule, outer.source->source->id.span,
                            "a section worked for each " + axis(outer.axis) + " does `" + id.value +
                                "`, which is worked for each " + axis(called.axis),
                            "a row has one set of columns");
    message.labels.push_back({id.span, "called by it"});
    message.help = "call it from a section with `once: true`";
}

} // namespace benchleaf::card
