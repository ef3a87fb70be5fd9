#include "history/order.h"

#include "base/text.h"
#include "model/date.h"

#include <algorithm>
#include <compare>
#include <cstddef>
#include <optional>
#include <string_view>

namespace benchleaf::history {

namespace {

using model::Record;

bool is_time(std::string_view text) {
    return text.size() == 5 && base::is_digit(text[0]) && base::is_digit(text[1]) && text[2] == ':' &&
           base::is_digit(text[3]) && base::is_digit(text[4]);
}

bool is_finished(const Record& record) {
    return record.outcome && record.outcome->value == model::Outcome::finished;
}

// "2026-11-25 17:00", which sorts as it reads: when the last thing of it was done. Of work that was stopped that is the stop, and not what was signed before.
std::optional<std::string> moment_of(const Record& record) {
    const auto moment = [&](const auto& of) -> std::optional<std::string> {
        if (!of.time || !is_time(of.time->value)) return std::nullopt;
        if (of.date && !model::calendar_day(of.date->value)) return std::nullopt;
        return (of.date ? of.date->value : model::print(record.date->value)) + " " + of.time->value;
    };
    if (record.outcome && record.outcome->value == model::Outcome::stopped) {
        if (!record.stopped || record.stopped->value.empty()) return std::nullopt;
        return moment(record.stopped->value.back());
    }
    if (!record.cards || record.cards->value.empty()) return std::nullopt;
    return moment(record.cards->value.back());
}

std::string_view digits_at(std::string_view text, std::size_t at) {
    std::size_t end = at;
    while (end < text.size() && base::is_digit(text[end])) ++end;
    return text.substr(at, end - at);
}

// Of one day: the next one is always one before which none that is left surely comes.
void put_day_in_order(std::vector<const Record*>& all, std::size_t begin, std::size_t end) {
    const auto first = all.begin() + static_cast<std::ptrdiff_t>(begin);
    const auto last = all.begin() + static_cast<std::ptrdiff_t>(end);
    for (auto next = first; next != last; ++next) {
        auto found = std::find_if(next, last, [&](const Record* each) {
            return std::none_of(next, last, [&](const Record* other) { return surely_earlier(*other, *each); });
        });
        if (found == last) found = next; // meter and clock say otherwise of one another: nothing is sure
        std::rotate(next, found, found + 1);
    }
}

} // namespace

bool name_before(const std::string& a, const std::string& b) {
    std::size_t i = 0, k = 0;
    while (i < a.size() && k < b.size()) {
        std::string_view one = digits_at(a, i), other = digits_at(b, k);
        if (one.empty() || other.empty()) {
            if (a[i] != b[k]) return a[i] < b[k];
            ++i, ++k;
            continue;
        }
        i += one.size();
        k += other.size();
        one.remove_prefix(std::min(one.find_first_not_of('0'), one.size()));
        other.remove_prefix(std::min(other.find_first_not_of('0'), other.size()));
        if (one.size() != other.size()) return one.size() < other.size();
        if (one != other) return one < other;
    }
    if (i < a.size() || k < b.size()) return i == a.size();
    return a < b; // `7` and `07`
}

bool surely_earlier(const Record& a, const Record& b) {
    if (a.date->value != b.date->value) return a.date->value < b.date->value;
    if (a.meter && b.meter) {
        const auto order = units::compare(a.meter->value.quantity, b.meter->value.quantity);
        if (order == std::partial_ordering::less) return true;
        if (order == std::partial_ordering::greater) return false;
    }
    const auto one = moment_of(a);
    const auto other = moment_of(b);
    return one && other && *one < *other;
}

void put_in_order(std::vector<const Record*>& records) {
    std::sort(records.begin(), records.end(), [](const Record* a, const Record* b) {
        if (a->date->value != b->date->value) return a->date->value < b->date->value;
        if (is_finished(*a) != is_finished(*b)) return is_finished(*a);
        return name_before(a->id.value, b->id.value);
    });
    for (std::size_t begin = 0; begin < records.size();) {
        std::size_t end = begin + 1;
        while (end < records.size() && records[end]->date->value == records[begin]->date->value) ++end;
        put_day_in_order(records, begin, end);
        begin = end;
    }
}

} // namespace benchleaf::history
