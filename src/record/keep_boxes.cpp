#include "record/asks.h"

namespace benchleaf::record {

namespace {

bool has_round(const std::set<std::string, std::less<>>& names, const std::string& row, std::string_view round) {
    for (auto at = names.lower_bound(row); at != names.end() && at->starts_with(row); ++at) {
        const std::size_t found = at->find(round);
        // "/again-1", not the beginning of "/again-12".
        if (found != std::string::npos && (found + round.size() == at->size() || (*at)[found + round.size()] == '/'))
            return true;
    }
    return false;
}

} // namespace

void keep_boxes(card::Card& card, const std::set<std::string, std::less<>>& names) {
    for (card::Section& section : card.sections)
        for (card::Row& row : section.rows) {
            auto* step = std::get_if<card::Step>(&row.what);
            if (step == nullptr || step->again.boxes == 0) continue;
            if (has_round(names, row.name + "/", "/again-2")) continue;
            step->again.boxes = has_round(names, row.name + "/", "/again-1") ? 1 : 0;
        }
}

} // namespace benchleaf::record
