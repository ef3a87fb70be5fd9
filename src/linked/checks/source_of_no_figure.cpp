#include "linked/reports.h"

#include <fmt/format.h>

namespace benchleaf::linked {

namespace {

void find_source_of_no_figure(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::source_of_no_figure = {
    {"source-of-no-figure", messages::Level::error, "a vehicle, procedure or job gives a source, and no figure of it"},
    find_source_of_no_figure};

namespace {

void report(const Check& self, Messages& out, const std::string& name, std::string_view what, const std::string& who,
            Span source) {
    messages::Message& message = out.add(
        self.rule, source, fmt::format("{} gives a source for the {}, and no {} of it", who, name, what), "of which?");
    message.help =
        fmt::format("add the {} that stands there, also where it is the catalogue's own; or take the source out", what);
}

void look_at(const Linked& linked, const Check& self, Messages& out, const std::string& who,
             const std::vector<Torque>& torques, const std::vector<LimitDifference>& limits) {
    for (const Torque& each : torques)
        if (each.fastener.known() && each.figures.source && !each.figures.value && !each.figures.unread)
            report(self, out, linked.items[each.fastener.index()].name, "torque", who, each.figures.source->span);
    for (const LimitDifference& each : limits) {
        const model::Limit& is = each.figures;
        const bool bounds = is.new_size || is.minimum || is.maximum || is.within || is.difference;
        if (!each.limit.known() || !is.source || bounds || is.unread) continue;
        const Limit& limit = linked.limits[each.limit.index()];
        const bool named = limit.figures.name.has_value() || limit.of.empty() || !limit.of.front().known();
        report(self, out,
               !named               ? linked.items[limit.of.front().index()].name
               : limit.figures.name ? limit.figures.name->value
                                    : limit.id,
               "figure", who, is.source->span);
    }
}

// The catalogue's would be taken, and said to come from there.
void find_source_of_no_figure(const Linked& linked, const Check& self, Messages& out) {
    for (const Vehicle& each : linked.vehicles) look_at(linked, self, out, "the vehicle", each.torques, each.limits);
    for (const Procedure& each : linked.procedures)
        look_at(linked, self, out, "the procedure", each.torques, each.limits);
    for (const Job& each : linked.jobs) look_at(linked, self, out, "the job", each.torques, each.limits);
}

} // namespace
} // namespace benchleaf::linked
