#include "card/earlier.h"

#include "base/text.h"
#include "history/history.h"
#include "mechanics/date.h"

#include <algorithm>

namespace benchleaf::card {

namespace {

constexpr std::size_t most_lines = 6;     // a list that nobody reads to its end warns of nothing
constexpr std::size_t most_letters = 140; // of what somebody wrote; the record and `history` have all of it

// The first letters, up to a whole word where that is near.
std::string cut_short(const std::string& text) {
    if (base::code_points(text) <= most_letters) return text;
    std::size_t end = 0;
    for (std::size_t i = 0; i < most_letters; ++i) end += base::code_point_at(text, end).bytes;
    const std::size_t blank = text.rfind(' ', end);
    if (blank != std::string::npos && blank + 30 > end) end = blank;
    return text.substr(0, end) + " …";
}

// As the shop's files call it now; what they no longer have as the record calls it.
std::string name_now(const Speaker& s, const std::string& recorded) {
    std::string found;
    for (std::size_t i = 0; i < s.linked.items.size(); ++i) {
        const linked::ItemId id(i);
        if (!history::same_name(linked::name_among_all(s.linked, id), recorded)) continue;
        if (!found.empty()) return recorded; // two of that name
        found = s.linked.items[i].name;
    }
    return found.empty() ? recorded : found;
}

bool at_once(const history::Open& open) {
    return open.graded != nullptr && open.graded->found->value == model::Grade::act_now;
}

OpenLine line_of(const Speaker& s, const history::Open& open) {
    OpenLine made;
    const model::Record& record = *open.record;
    if (record.job) made.job = record.job->value.name;
    made.visit = mechanics::print(record.date->value);
    if (record.meter) made.visit += " · " + s.say(record.meter->value.quantity);
    if (!made.job.empty()) made.visit += " · " + made.job;
    made.also_found = open.also_found;
    made.declined = open.declined;
    made.recheck = open.recheck;
    if (!open.recheck.empty()) {
        made.what = cut_short(open.recheck);
        return made;
    }
    if (open.graded == nullptr) {
        const bool declined = !open.declined.empty();
        made.what = s.word(declined ? Key::declined : Key::also_found) + ": " +
                    cut_short(declined ? open.declined : open.also_found);
        return made;
    }
    made.item = open.graded->of->value.name;
    if (open.graded->at) made.at = open.graded->at->value.name;
    made.what = name_now(s, made.item);
    if (!made.at.empty()) made.what += s.word(Key::list_comma) + std::string(labels::axis_word(s.labels, made.at).word);
    made.what += ": " + s.word(at_once(open) ? Key::grade_act_now : Key::grade_advise);
    return made;
}

} // namespace

OpenList make_open(const Speaker& s) {
    OpenList made;
    if (!s.fit.past || s.fit.past->open.empty()) return made;
    made.title = s.word(Key::open_earlier);
    made.done = s.word(Key::open_done);
    made.still = s.word(Key::open_still);
    std::vector<const history::Open*> all;
    for (const history::Open& each : s.fit.past->open) all.push_back(&each);
    std::reverse(all.begin(), all.end());
    std::stable_partition(all.begin(), all.end(), [](const history::Open* each) { return at_once(*each); });
    for (std::size_t i = 0; i < std::min(all.size(), most_lines); ++i) made.lines.push_back(line_of(s, *all[i]));
    if (all.size() > most_lines) {
        const history::Identity& identity = s.fit.past->identity;
        made.more = s.fill(Key::open_more,
                           {std::to_string(all.size() - most_lines),
                            "benchleaf history " + (identity.empty() ? std::string() : identity.front().value.value)});
    }
    return made;
}

} // namespace benchleaf::card
