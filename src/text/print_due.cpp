// What is due, as a table for a terminal. It is for whoever plans the work and in English, as the messages are.
#include "text/text.h"
#include "text/wrap.h"

#include <algorithm>
#include <array>

namespace benchleaf::text {

namespace {

constexpr units::PrintOptions plain_spaces{.plain_spaces = true};

std::string shown(const std::optional<units::Quantity>& quantity) {
    return quantity ? units::print(*quantity, plain_spaces) : std::string();
}

std::string limit_of(const report::Due& due) {
    std::string text;
    if (due.minimum && due.maximum)
        text = units::print_number(*due.minimum, plain_spaces) + "–" + shown(due.maximum);
    else if (due.minimum)
        text = "at least " + shown(due.minimum);
    else if (due.maximum)
        text = "at most " + shown(due.maximum);
    if (!text.empty() && due.uncertainty) text += " ±" + units::print_number(*due.uncertainty, plain_spaces);
    return text;
}

std::string expected_at(const report::Due& due) {
    if (due.soonest && due.expected && units::compare(*due.soonest, *due.expected) != std::partial_ordering::equivalent)
        return shown(due.expected) + ", at the soonest at " + shown(due.soonest);
    if (due.soonest && !due.expected) return "at the soonest at " + shown(due.soonest);
    return shown(due.soonest ? due.soonest : due.expected);
}

std::string service_at(const report::Due& due) {
    std::string text = shown(due.next_service);
    if (due.next_service_on) text += (text.empty() ? "" : " or ") + mechanics::print(*due.next_service_on);
    return text;
}

bool is_open(report::DueState state) {
    using State = report::DueState;
    return state == State::act_now || state == State::advised || state == State::also_found ||
           state == State::declined || state == State::recheck;
}

using Row = std::array<std::string, 7>;

Row row_of(const report::Due& due) {
    std::string thing = !due.thing.empty() ? due.thing : due.text.empty() ? "the vehicle" : due.text;
    if (!due.at.empty()) thing += ", " + due.at;
    const bool by_record = due.state == report::DueState::not_to_be_driven || is_open(due.state);
    std::string read = by_record ? due.record : shown(due.read);
    if (due.read_on) read += (read.empty() ? "" : " ") + mechanics::print(*due.read_on);
    if (due.read_at) read += " (" + shown(due.read_at) + ")";
    std::string by = due.by ? mechanics::print(*due.by) : std::string();
    if (by.empty() && due.no_day) by = "unknown: " + std::string(report::name(*due.no_day));
    return {thing, read, limit_of(due), expected_at(due), service_at(due), by, std::string(report::name(due.state))};
}

void put_line(std::string& to, std::string line) {
    while (line.ends_with(' ')) line.pop_back();
    to += line + "\n";
}

// Before the list: who reads down to what he looks for would not come to its end.
std::string left_out(const report::Dues& dues, std::size_t width) {
    std::string to;
    for (const report::LeftOut& each : dues.left_out) {
        std::string what = "NOT IN THIS LIST · ";
        for (const std::string& vehicle : each.vehicles) what += vehicle + " · ";
        if (each.vehicles.empty()) what += "the vehicle of this record · ";
        bool begun = false;
        for (const std::string& line : wrap(what + each.file + " is damaged", width - 2, "en")) {
            put_line(to, (begun ? "  " : "") + line);
            begun = true;
        }
    }
    return to;
}

} // namespace

std::string print(const report::Dues& dues, Columns columns) {
    const std::size_t width = std::max<std::size_t>(columns.count, 40);
    std::string to = left_out(dues, width);
    if (dues.list.empty())
        to += (dues.left_out.empty() ? "nothing is due by " : "of the others nothing is due by ") +
              mechanics::print(dues.at) + "\n";
    constexpr std::array<std::string_view, 6> names{"last read",       "limit",      "expected at",
                                                    "next service at", "by the day", "state"};
    for (const report::Due& each : dues.list) {
        const Row row = row_of(each);
        const std::string_view first = each.state == report::DueState::not_to_be_driven ? "by record"
                                       : is_open(each.state)                            ? "open since"
                                                                                        : names[0];
        // The state and the day first: whoever looks for what comes next reads down the left edge.
        std::string head = std::string(report::name(each.state)) +
                           (each.by ? " · by " + mechanics::print(*each.by) : "") + " · " + each.vehicle +
                           (each.identity.empty() ? "" : " · " + each.identity) + " · " + row[0];
        bool begun = false;
        for (const std::string& line : wrap(head, width - 2, "en")) {
            put_line(to, (begun ? "  " : "") + line);
            begun = true;
        }
        for (std::size_t i = 0; i < 4; ++i) {
            if (row[i + 1].empty()) continue;
            put_line(to, "    " + padded(std::string(i == 0 ? first : names[i]), 16) + row[i + 1]);
        }
        if (!each.by && each.no_day) put_line(to, "    " + padded(std::string(names[4]), 16) + row[5]);
    }
    for (const report::Due& each : dues.unknown) {
        put_line(to, "day not known · " + each.vehicle + (each.identity.empty() ? "" : " · " + each.identity) + " · " +
                         std::string(report::name(*each.no_day)));
        put_line(to, "    " + padded(std::string(names[3]), 16) + service_at(each));
    }
    return to;
}

} // namespace benchleaf::text
