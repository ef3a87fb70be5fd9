#include "record/asks.h"
#include "record/names.h"

#include <algorithm>

namespace benchleaf::record {

namespace {

// Boxes that are answered together; of ticks each is by itself.
bool is_one_answer(const Ask& ask) {
    using Sort = Ask::Sort;
    return ask.sort == Sort::yes_no || ask.sort == Sort::grade || ask.sort == Sort::points || ask.sort == Sort::time;
}

bool any_in(const Answers& answers, const std::vector<std::string>& boxes) {
    return std::any_of(boxes.begin(), boxes.end(), [&](const std::string& box) { return answers.contains(box); });
}

} // namespace

Answers gone_on_with(const Sheet& sheet, const Answers& earlier, const Answers& since) {
    Answers kept = earlier;
    for (const Ask& each : every_ask(sheet)) {
        std::vector<std::string> boxes = each.boxes;
        if (each.sort == Ask::Sort::round) {
            const std::string row = prefix_of(sheet, each.card) + each.row->name + "/";
            const std::string column = "/" + std::to_string(each.column + 1);
            for (const Answers* answers : {&earlier, &since})
                for (auto at = answers->lower_bound(row); at != answers->end() && at->first.starts_with(row); ++at)
                    if (at->first.ends_with(column)) boxes.push_back(at->first);
        } else if (!is_one_answer(each)) {
            continue;
        }
        if (any_in(since, boxes))
            for (const std::string& box : boxes) kept.erase(box);
    }
    Answers all = since;
    all.insert(kept.begin(), kept.end());
    for (const auto& [box, wrong] : look_over(sheet, all).strangers)
        if (!since.contains(box)) all.erase(box);
    return all;
}

} // namespace benchleaf::record
