#include "linked/reports.h"

#include <fmt/format.h>

namespace benchleaf::linked {

namespace {

void find_source_of_no_figure(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::source_of_no_figure = {
    {"source-of-no-figure", messages::Level::error,
     "a vehicle, procedure or job gives a source or a state of threads, and no figure of it"},
    find_source_of_no_figure};

namespace {

void report(const Check& self, Messages& out, const std::string& name, std::string_view what, const std::string& who,
            std::string_view gives, Span at) {
    messages::Message& message = out.add(
        self.rule, at, fmt::format("{} gives {} for the {}, and no {} of it", who, gives, name, what), "of which?");
    message.help =
        fmt::format("add the {} that stands there, also where it is the catalogue's own; or take this out", what);
}

// Does a catalogue have the torque for threads in another state?
bool is_for_others(const Linked& linked, ItemId fastener, model::ThreadState threads) {
    for (const Catalogue& catalogue : linked.catalogues)
        for (const Torque& torque : catalogue.torques)
            if (torque.fastener == fastener && torque.figures.threads && torque.figures.threads->value != threads)
                return true;
    return false;
}

void look_at(const Linked& linked, const Check& self, Messages& out, const std::string& who,
             const std::vector<Torque>& torques, const std::vector<LimitDifference>& limits) {
    for (const Torque& each : torques) {
        const model::Torque& is = each.figures;
        if (!each.fastener.known() || is.value || is.unread) continue;
        if (!is.source && !(is.threads && is_for_others(linked, each.fastener, is.threads->value))) continue;
        report(self, out, linked.items[each.fastener.index()].name, "torque", who,
               is.source ? "a source" : "the state of the threads", is.source ? is.source->span : is.threads->span);
    }
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
               "figure", who, "a source", is.source->span);
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
