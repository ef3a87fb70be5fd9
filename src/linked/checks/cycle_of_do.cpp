#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::cycle_of_do = {
    {"cycle-of-do", messages::Level::error, "a procedure that, in the end, does itself"}};

void report_cycle_of_do(Messages& out, const std::vector<std::pair<std::string, Span>>& ring) {
    if (ring.size() == 1) {
        out.add(checks::cycle_of_do.rule, ring.front().second, "the procedure `" + ring.front().first + "` does itself",
                "and so would never end");
        return;
    }
    std::string text;
    for (const auto& [name, span] : ring) text += '`' + name + "` does ";
    // The last `do` closes the ring, so that one is the mistake to look at first.
    messages::Message message{&checks::cycle_of_do.rule, text + '`' + ring.front().first + "` again", {}, {}, {}};
    for (std::size_t i = ring.size(); i > 0; --i) {
        const auto& [name, span] = ring[i - 1];
        const std::string& next = ring[i % ring.size()].first;
        message.labels.push_back({span, '`' + name + "` does `" + next + '`'});
    }
    message.help = "take the steps that both need into a procedure of their own";
    out.add(std::move(message));
}

} // namespace benchleaf::linked
