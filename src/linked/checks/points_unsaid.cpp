#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_points_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::points_unsaid = {
    {"points-unsaid", messages::Level::warning, "several of a thing are read, and the card has one box for them"},
    find_points_unsaid};

namespace {

void find_points_unsaid(const Linked& linked, const Check& self, Messages& out) {
    for (const Limit& limit : linked.limits) {
        const model::Limit& figures = limit.figures;
        if (figures.points || figures.within || figures.minimum.has_value() == figures.maximum.has_value()) continue;
        for (const ItemId of : limit.of) {
            if (!of.known() || linked.items[of.index()].count < 2) continue;
            const Item& item = linked.items[of.index()];
            const std::string count = std::to_string(item.count);
            messages::Message& message = out.add(self.rule, limit.declared,
                                                 "there are " + count + " of the " + item.name +
                                                     ", and the card has one box for what is read of them");
            message.labels.push_back({item.declared, "the " + item.name});
            message.help =
                "add `points: " + count + "` for a box each, or `points: 1` where the worst alone is written";
            break;
        }
    }
}

} // namespace
} // namespace benchleaf::linked
