#include "record/asks.h"
#include "record/names.h"

#include <algorithm>
#include <fmt/format.h>

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

GoneOn gone_on_with(const Sheet& sheet, const Answers& earlier, const Answers& since) {
    GoneOn made;
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
    made.answers = since;
    made.answers.insert(kept.begin(), kept.end());
    for (const auto& [box, wrong] : look_over(sheet, made.answers).strangers)
        if (!since.contains(box)) made.answers.erase(box);
    // Told as they were asked for, each with what it is of.
    const Look before = look_over(sheet, earlier);
    const Look after = look_over(sheet, made.answers);
    for (const Ask& each : before.asks) {
        const bool counts = each.reading != nullptr || each.grade || each.yes || each.sort == Ask::Sort::value ||
                            (each.row != nullptr && (each.sort == Ask::Sort::tick || each.sort == Ask::Sort::words));
        if (!counts || !each.answered) continue;
        const auto same = std::find_if(after.asks.begin(), after.asks.end(), [&](const Ask& other) {
            return other.boxes == each.boxes && other.round == each.round;
        });
        const std::string now = same == after.asks.end() || !same->answered ? "not answered" : same->given;
        if (now != each.given)
            made.anew.push_back(
                fmt::format("card {}, step {}: {}: {} → {}", each.card, each.step, each.what, each.given, now));
    }
    return made;
}

} // namespace benchleaf::record
