// Lines before and after as a unified diff. Fixes change few lines, so what is the same at both ends is set aside and
// the middle is compared by Myers' greedy search ("An O(ND) Difference Algorithm and Its Variations", 1986), up to a
// bound beyond which the middle is shown as replaced whole.
#include "fixes/fixes.h"
#include "messages/render.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::fixes {

namespace {

constexpr long most_changes = 2000;
constexpr std::size_t around = 3; // lines of context

using Lines = std::vector<std::string_view>;

Lines lines_of(std::string_view text) { // each with its line end, so that a missing last one is seen
    Lines lines;
    while (!text.empty()) {
        const std::size_t at = text.find('\n');
        const std::size_t size = at == std::string_view::npos ? text.size() : at + 1;
        lines.push_back(text.substr(0, size));
        text.remove_prefix(size);
    }
    return lines;
}

struct Row {
    char sign; // ' ', '-', '+'
    std::string_view line;
};

// The rows of the middle, by Myers; false when there are too many changes.
bool compare(std::span<const std::string_view> a, std::span<const std::string_view> b, std::vector<Row>& rows) {
    const long n = static_cast<long>(a.size());
    const long m = static_cast<long>(b.size());
    const long most = std::min(n + m, most_changes);
    const auto at = [](long k, long d) { return static_cast<std::size_t>(k + d + 1); };
    std::vector<std::vector<long>> steps; // furthest x on diagonal k after d changes
    for (long d = 0; d <= most; ++d) {
        std::vector<long> next(static_cast<std::size_t>(2 * d + 3), 0);
        for (long k = -d; k <= d; k += 2) {
            long x = 0;
            if (d > 0) {
                const std::vector<long>& last = steps.back();
                const bool down = k == -d || (k != d && last[at(k - 1, d - 1)] < last[at(k + 1, d - 1)]);
                x = down ? last[at(k + 1, d - 1)] : last[at(k - 1, d - 1)] + 1;
            }
            while (x < n && x - k < m && a[static_cast<std::size_t>(x)] == b[static_cast<std::size_t>(x - k)]) ++x;
            next[at(k, d)] = x;
            if (x < n || x - k < m) continue;
            // Found; walk back.
            long x_now = n;
            long y_now = m;
            std::vector<Row> back;
            for (long e = d; e > 0; --e) {
                const std::vector<long>& last = steps[static_cast<std::size_t>(e - 1)];
                const long diagonal = x_now - y_now;
                const bool down =
                    diagonal == -e || (diagonal != e && last[at(diagonal - 1, e - 1)] < last[at(diagonal + 1, e - 1)]);
                const long x_then = last[at(down ? diagonal + 1 : diagonal - 1, e - 1)];
                const long y_then = x_then - (down ? diagonal + 1 : diagonal - 1);
                while (x_now > x_then && y_now > y_then) {
                    if (down ? x_now == x_then : x_now == x_then + 1) break;
                    --x_now;
                    --y_now;
                    back.push_back({' ', a[static_cast<std::size_t>(x_now)]});
                }
                if (down) {
                    --y_now;
                    back.push_back({'+', b[static_cast<std::size_t>(y_now)]});
                } else {
                    --x_now;
                    back.push_back({'-', a[static_cast<std::size_t>(x_now)]});
                }
            }
            while (x_now > 0) {
                --x_now;
                back.push_back({' ', a[static_cast<std::size_t>(x_now)]});
            }
            rows.insert(rows.end(), back.rbegin(), back.rend());
            return true;
        }
        steps.push_back(std::move(next));
    }
    return false;
}

std::vector<Row> rows_of(const Lines& a, const Lines& b) {
    std::size_t head = 0;
    while (head < a.size() && head < b.size() && a[head] == b[head]) ++head;
    std::size_t tail = 0;
    while (tail < a.size() - head && tail < b.size() - head && a[a.size() - 1 - tail] == b[b.size() - 1 - tail]) ++tail;
    std::vector<Row> rows;
    for (std::size_t i = 0; i < head; ++i) rows.push_back({' ', a[i]});
    const std::span<const std::string_view> old_middle(a.data() + head, a.size() - head - tail);
    const std::span<const std::string_view> new_middle(b.data() + head, b.size() - head - tail);
    if (!compare(old_middle, new_middle, rows)) {
        for (const std::string_view line : old_middle) rows.push_back({'-', line});
        for (const std::string_view line : new_middle) rows.push_back({'+', line});
    }
    for (std::size_t i = a.size() - tail; i < a.size(); ++i) rows.push_back({' ', a[i]});
    return rows;
}

} // namespace

std::string unified_diff(std::string_view path, std::string_view before, std::string_view after) {
    if (before == after) return {};
    const Lines a = lines_of(before);
    const Lines b = lines_of(after);
    const std::vector<Row> rows = rows_of(a, b);
    // A line break in it would begin a line of the difference.
    std::string name = messages::for_screen(path);
    std::replace(name.begin(), name.end(), '\n', ' ');
    std::string to = fmt::format("--- {}\n+++ {}\n", name, name);
    std::size_t old_line = 0; // lines passed
    std::size_t new_line = 0;
    std::size_t i = 0;
    while (i < rows.size()) {
        // The next change, and how far its hunk goes: changes less than two contexts apart share one.
        std::size_t change = i;
        while (change < rows.size() && rows[change].sign == ' ') ++change;
        if (change == rows.size()) break;
        const std::size_t begin = std::max(i, change > around ? change - around : 0);
        old_line += begin - i;
        new_line += begin - i;
        std::size_t last = change;
        for (std::size_t j = change; j < rows.size() && j <= last + 2 * around + 1; ++j)
            if (rows[j].sign != ' ') last = j;
        const std::size_t end = std::min(rows.size(), last + around + 1);
        std::size_t old_count = 0;
        std::size_t new_count = 0;
        std::string body;
        for (std::size_t j = begin; j < end; ++j) {
            if (rows[j].sign != '+') ++old_count;
            if (rows[j].sign != '-') ++new_count;
            body += rows[j].sign;
            body += rows[j].line;
            if (rows[j].line.empty() || rows[j].line.back() != '\n') body += "\n\\ No newline at end of file\n";
        }
        to += fmt::format("@@ -{},{} +{},{} @@\n", old_count > 0 ? old_line + 1 : old_line, old_count,
                          new_count > 0 ? new_line + 1 : new_line, new_count);
        to += body;
        old_line += old_count;
        new_line += new_count;
        i = end;
    }
    return to;
}

} // namespace benchleaf::fixes
