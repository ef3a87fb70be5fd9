// A report as text: blocks under one another, tables in columns, the plot in characters.
#include "base/share_out.h"
#include "text/sheet.h"
#include "text/text.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <variant>

namespace benchleaf::text {

namespace {

// What a series' readings are drawn with; where two meet, both are at `*`.
constexpr std::array<char, 6> signs{'#', 'o', '^', 'x', '%', '@'};

class ReportPrinter {
public:
    ReportPrinter(const report::Report& report, std::size_t width) : report_(report), to_(width, report.language) {}

    std::string print() {
        const card::Head& h = report_.head;
        to_.head(h, h.job.empty() ? std::string() : report_.words.job + " " + h.job);
        if (report_.stop) {
            to_.listed(report_.stop->headline, "████ ");
            if (!report_.stop->why.empty()) to_.listed(report_.stop->why, "     ");
        }
        for (const report::Block& block : report_.blocks) {
            to_.blank();
            to_.hung(block.heading);
            to_.rule("─");
            for (const report::Part& part : block.parts) std::visit(*this, part);
        }
        to_.foot(report_.foot);
        return to_.taken();
    }

    void operator()(const report::Paragraph& part) {
        if (!part.text.empty()) to_.hung(part.text);
    }

    void operator()(const report::Pairs& part) {
        std::size_t left = 0;
        for (const auto& [name, text] : part.lines) left = std::max(left, cells(name));
        left = std::min(left, to_.width() * 52 / 100);
        for (const auto& [name, text] : part.lines)
            beside({{name, left, false}, {text, to_.width() - left - 2, false}});
    }

    void operator()(const report::Table& part) {
        const std::size_t columns = part.heads.size();
        if (columns == 0) return;
        const std::vector<std::size_t> widths = widths_of(part);
        const auto row = [&](const std::vector<std::string>& all) {
            std::vector<Cell> line;
            for (std::size_t c = 0; c < columns; ++c)
                line.push_back(
                    {c < all.size() ? all[c] : std::string(), widths[c], c < part.right.size() && part.right[c]});
            beside(line);
        };
        row(part.heads);
        for (const auto& each : part.rows) row(each);
    }

    void operator()(const report::Readings& part) {
        for (const report::Measured& each : part.list) {
            to_.hung(each.limit.empty() ? each.name : each.name + " – " + each.limit, "", "  ");
            std::size_t name = 0, read = 0;
            for (const auto& side : each.sides) {
                name = std::max(name, cells(side.name));
                read = std::max(read, cells(side.read));
            }
            for (const auto& side : each.sides) {
                // What is not good stands out without colour.
                std::string lead = side.bad ? "! " : "  ";
                lead += (name == 0 ? "" : padded(plain(side.name), name) + "  ") + padded_left(plain(side.read), read) +
                        "  ";
                if (cells(lead) * 2 > to_.width()) {
                    to_.hung(lead, "", "    ");
                    lead = "    ";
                }
                to_.listed(side.verdict, lead);
                if (side.bar) to_.line("    " + bar(*side.bar));
            }
        }
    }

    void operator()(const report::Signatures& part) {
        for (const report::Signature& each : part.list) to_.hung(each.role + ": " + each.who, "", "  ");
    }

    void operator()(const report::Plot& plot) {
        constexpr std::size_t rows = 16;
        std::size_t label = cells(plot.y.name);
        for (const auto& mark : plot.y.ticks) label = std::max(label, cells(mark.text));
        const std::size_t wide = to_.width() - label - 3;
        std::vector<std::vector<std::string>> grid(rows, std::vector<std::string>(wide, " "));
        const auto column = [&](double x) {
            const double part = std::clamp((x - plot.x.from) / (plot.x.to - plot.x.from), 0.0, 1.0);
            return static_cast<std::size_t>(std::lround(part * static_cast<double>(wide - 1)));
        };
        const auto row = [&](double y) {
            const double part = std::clamp((y - plot.y.from) / (plot.y.to - plot.y.from), 0.0, 1.0);
            return rows - 1 - static_cast<std::size_t>(std::lround(part * static_cast<double>(rows - 1)));
        };
        const auto level = [&](double y, const std::string& with) {
            for (std::string& cell : grid[row(y)]) cell = with;
        };
        const auto upright = [&](double x, const std::string& with) {
            for (auto& each : grid) each[column(x)] = with;
        };
        const auto ray = [&](const std::vector<report::Plot::Point>& points, const std::string& with) {
            if (points.size() != 2) return;
            const std::size_t from = column(points[0].x), to = column(points[1].x);
            for (std::size_t c = from; c <= to; ++c) {
                const double part = to == from ? 0 : static_cast<double>(c - from) / static_cast<double>(to - from);
                grid[row(points[0].y + (points[1].y - points[0].y) * part)][c] = with;
            }
        };
        // The limit last of the lines, so that nothing hides it but a reading.
        bool line = false, expected = false, soonest = false, renewed = false;
        if (plot.next_service) upright(*plot.next_service, "¦");
        for (const auto& side : plot.series) {
            for (const double x : side.renewed) upright(x, "│");
            renewed = renewed || !side.renewed.empty();
            ray(side.soonest, ":");
            ray(side.expected, "·");
            ray(side.line, "-");
            line = line || !side.line.empty();
            expected = expected || !side.expected.empty();
            soonest = soonest || !side.soonest.empty();
        }
        if (plot.guarded) level(*plot.guarded, "╌");
        if (plot.limit) level(*plot.limit, "═");
        bool several = false;
        for (std::size_t s = 0; s < plot.series.size(); ++s)
            for (const auto& each : plot.series[s].read) {
                std::string& cell = grid[row(each.y)][column(each.x)];
                const bool taken = cell == "*" || std::any_of(signs.begin(), signs.end(),
                                                              [&](char sign) { return cell == std::string(1, sign); });
                const std::string mine(1, signs[s % signs.size()]);
                cell = taken && cell != mine ? "*" : mine;
                several = several || cell == "*";
            }
        std::vector<std::string> labels(rows);
        for (const auto& mark : plot.y.ticks) labels[row(mark.at)] = mark.text;
        to_.line(padded_left(plot.y.name, label));
        for (std::size_t r = 0; r < rows; ++r) {
            std::string text = padded_left(labels[r], label) + (labels[r].empty() ? " │" : " ┤");
            for (const std::string& cell : grid[r]) text += cell;
            to_.line(std::move(text));
        }
        std::string axis = std::string(label, ' ') + " └";
        std::string under(label + 2, ' ');
        std::vector<std::string> marks(wide, "─");
        for (const auto& mark : plot.x.ticks) marks[column(mark.at)] = "┬";
        for (const std::string& each : marks) axis += each;
        to_.line(std::move(axis));
        for (const auto& mark : plot.x.ticks) {
            const std::size_t half = cells(mark.text) / 2;
            const std::size_t middle = label + 2 + column(mark.at);
            const std::size_t at = std::min(middle > half ? middle - half : 0, to_.width() - cells(mark.text));
            if (at < cells(under) + (cells(under) == label + 2 ? 0 : 2) && cells(under) != label + 2) continue;
            under = padded(under, at);
            if (cells(under) > at) under.resize(at, ' '); // blanks alone stand before the first
            under += wrap(mark.text, to_.width(), report_.language).front();
        }
        to_.line(std::move(under));
        to_.line(padded_left(plot.x.name, to_.width()));
        // A sign stays with its words.
        std::string all;
        const auto explain = [&](std::string_view sign, std::string text) {
            for (std::size_t at = 0; (at = text.find(' ', at)) != std::string::npos;) text.replace(at, 1, "\u00a0");
            all += (all.empty() ? "" : "   ") + std::string(sign) + "\u00a0" + text;
        };
        for (std::size_t s = 0; s < plot.series.size(); ++s)
            if (!plot.series[s].name.empty()) explain({&signs[s % signs.size()], 1}, plot.series[s].name);
        if (several) { // without a word, for it is the same in all languages: "* # + o"
            std::string all_signs;
            for (std::size_t s = 0; s < std::min(plot.series.size(), signs.size()); ++s)
                all_signs += (s == 0 ? "" : " + ") + std::string(1, signs[s]);
            explain("*", all_signs);
        }
        if (line) explain("---", plot.line_text);
        if (expected) explain("···", plot.expected_text);
        if (soonest) explain(":::", plot.soonest_text);
        if (plot.limit) explain("═══", plot.limit_text);
        if (plot.guarded && (!plot.limit || row(*plot.guarded) != row(*plot.limit))) explain("╌╌╌", plot.guarded_text);
        if (renewed) explain("│", plot.renewed_text);
        if (plot.next_service) explain("¦", plot.next_service_text);
        to_.hung(all, std::string(label + 2, ' '), std::string(label + 2, ' '));
    }

private:
    struct Cell {
        std::string text;
        std::size_t width = 0;
        bool right = false;
    };

    // As `wrap` puts what is not broken: no-break spaces plain, control characters shown.
    std::string plain(const std::string& text) const { return wrap(text, cells(text), report_.language).front(); }

    // Cells of one row, each broken in its own column, two blanks between them.
    void beside(const std::vector<Cell>& row) {
        std::vector<std::vector<std::string>> lines;
        std::size_t tall = 1;
        for (const Cell& cell : row) {
            lines.push_back(wrap(cell.text, cell.width, report_.language));
            tall = std::max(tall, lines.back().size());
        }
        for (std::size_t i = 0; i < tall; ++i) {
            std::string text;
            for (std::size_t c = 0; c < row.size(); ++c) {
                const std::string part = i < lines[c].size() ? lines[c][i] : std::string();
                text += (c == 0 ? "" : "  ") +
                        (row[c].right ? padded_left(part, row[c].width) : padded(part, row[c].width));
            }
            to_.line(std::move(text));
        }
    }

    // As on paper: the widest give way.
    std::vector<std::size_t> widths_of(const report::Table& table) const {
        const std::size_t columns = table.heads.size();
        std::vector<std::size_t> natural(columns, 1);
        for (std::size_t c = 0; c < columns; ++c) {
            natural[c] = std::max(natural[c], cells(table.heads[c]));
            for (const auto& row : table.rows)
                if (c < row.size()) natural[c] = std::max(natural[c], cells(row[c]));
        }
        const std::size_t gaps = std::min(to_.width() - columns, 2 * (columns - 1));
        return base::share_out<std::size_t>(to_.width() - gaps, natural, 1);
    }

    // "[####==|--v-----]": full to the limit, double to the keep figure, `v` what was read.
    std::string bar(const card::WearBar& wear) const {
        constexpr std::size_t wide = 40;
        std::string text;
        const auto at = [](const card::WearBar::Mark& mark) { return mark.at * (wide - 1) / 1000; };
        for (std::size_t i = 0; i < wide; ++i) {
            if (wear.expected && i == at(*wear.expected))
                text += '|';
            else
                text += i <= at(wear.limit) ? "█" : i < at(wear.keep) ? "▒" : "·";
        }
        return wear.limit.text + " [" + text + "] " + wear.as_new.text;
    }

    const report::Report& report_;
    Sheet to_;
};

} // namespace

std::string print(const report::Report& report, Columns columns) {
    return ReportPrinter(report, columns.count).print();
}

} // namespace benchleaf::text
