// Messages for a person: the sentence, then each place with its source line and marks under it, then help and fixes.
//
//     error: the lower guide bolt is left loose [left-loose]
//       brakes/front.yaml:51:10
//        51 |   - fit: lower-guide-bolt
//           |          ^^^^^^^^^^^^^^^^ started by hand here
//       help: add a step
#include "base/text.h"
#include "messages/render.h"

#include <algorithm>
#include <fmt/format.h>
#include <map>
#include <span>

namespace benchleaf::messages {

namespace {

constexpr std::size_t tab_stop = 4;
constexpr std::size_t least_columns = 40;  // a narrower terminal wraps instead
constexpr std::size_t most_fix_lines = 4;  // a longer fix is seen with --fix
constexpr std::size_t window_bytes = 2000; // of a very long line, what can be shown of it lies within

enum class Ink { none, bold, error, warning, note, second, gutter };

class Painter {
public:
    explicit Painter(bool colour) : colour_(colour) {}
    std::string operator()(Ink ink, std::string_view text) const {
        if (!colour_ || ink == Ink::none || text.empty()) return std::string(text);
        return fmt::format("\x1b[{}m{}\x1b[0m", code(ink), text);
    }

private:
    bool colour_;
    static std::string_view code(Ink ink) {
        switch (ink) {
        case Ink::error:
            return "1;31";
        case Ink::warning:
            return "1;33";
        case Ink::note:
            return "1;36";
        case Ink::second:
            return "34";
        case Ink::gutter:
            return "2";
        case Ink::bold:
        case Ink::none:
            return "1";
        }
        return "1";
    }
};

Ink ink_of(Level level) {
    return level == Level::error ? Ink::error : level == Level::warning ? Ink::warning : Ink::note;
}

// -- One source line as terminal cells -----------------------------------------------------------------------------------

// Blocks that terminals draw two columns wide, and marks that take none (Unicode 15, East Asian Width W and F, and
// general category Mn, by block).
std::size_t columns_of(char32_t c) {
    const bool none = (c >= 0x300 && c <= 0x36F) || (c >= 0x200B && c <= 0x200F) || (c >= 0x20D0 && c <= 0x20FF) ||
                      (c >= 0xFE00 && c <= 0xFE0F) || c == 0xFEFF || (c >= 0x202A && c <= 0x202E);
    if (none) return 0;
    const bool two = (c >= 0x1100 && c <= 0x115F) || (c >= 0x2E80 && c <= 0x303E) || (c >= 0x3041 && c <= 0xA4CF) ||
                     (c >= 0xAC00 && c <= 0xD7A3) || (c >= 0xF900 && c <= 0xFAFF) || (c >= 0xFE30 && c <= 0xFE6F) ||
                     (c >= 0xFF00 && c <= 0xFF60) || (c >= 0xFFE0 && c <= 0xFFE6) || (c >= 0x1F300 && c <= 0x1F64F) ||
                     (c >= 0x1F680 && c <= 0x1F6FF) || (c >= 0x1F900 && c <= 0x1F9FF) || (c >= 0x20000 && c <= 0x3FFFD);
    return two ? 2 : 1;
}

struct Cell {
    std::string glyph;
    std::size_t offset; // of its first byte in the line
    std::size_t column; // where it starts on the terminal
    std::size_t width;
};

// What the bytes do to a terminal is not the message's to pass on: a control is drawn as its picture (U+2400…), what
// turns the direction of reading and what is not UTF-8 as U+FFFD.
std::vector<Cell> cells_of(std::string_view text) {
    std::vector<Cell> cells;
    std::size_t column = 0;
    std::size_t good = base::first_bad_utf8(text).value_or(text.size()); // valid up to here
    for (std::size_t at = 0; at < text.size();) {
        if (at == good) {
            cells.push_back({"\xEF\xBF\xBD", at, column++, 1});
            ++at;
            const auto bad = base::first_bad_utf8(text.substr(at));
            good = bad ? at + *bad : text.size();
            continue;
        }
        const base::CodePoint c = base::code_point_at(text, at);
        Cell cell{std::string(text.substr(at, c.bytes)), at, column, columns_of(c.value)};
        if (c.value == '\t') {
            cell.width = tab_stop - column % tab_stop;
            cell.glyph.assign(cell.width, ' ');
        } else if (c.value < 0x20 || c.value == 0x7F) {
            cell.glyph.clear();
            base::append_utf8(cell.glyph, c.value == 0x7F ? char32_t{0x2421} : char32_t{0x2400} + c.value);
            cell.width = 1;
        } else if ((c.value >= 0x80 && c.value <= 0x9F) || (c.value >= 0x2028 && c.value <= 0x202E) ||
                   (c.value >= 0x2066 && c.value <= 0x2069)) {
            cell.glyph = "\xEF\xBF\xBD";
            cell.width = 1;
        }
        column += cell.width;
        at += c.bytes;
        cells.push_back(std::move(cell));
    }
    return cells;
}

std::string safe(std::string_view text) {
    std::string to;
    for (const Cell& cell : cells_of(text)) to += cell.glyph;
    return to;
}

// -- Labels, taken apart by line -----------------------------------------------------------------------------------------

struct Piece {         // what of a label falls on one line
    std::size_t begin; // bytes in the line
    std::size_t end;
    bool primary;
    std::string_view text;
};

struct Group { // one file's labels
    source::FileId file;
    source::Position at;
    std::map<std::uint32_t, std::vector<Piece>> lines;
};

void put_pieces(Group& group, const Label& label, bool primary, const source::Sources& sources) {
    const auto line_start = [&](std::uint32_t offset) {
        const std::string_view all = sources.file(group.file).text;
        const std::size_t before = offset == 0 ? std::string_view::npos : all.rfind('\n', offset - 1);
        return before == std::string_view::npos ? std::size_t{0} : before + 1;
    };
    const std::uint32_t begin = label.span.begin;
    // The line end itself belongs to the line it ends.
    const std::uint32_t last = label.span.end > begin ? label.span.end - 1 : begin;
    const std::uint32_t first_line = sources.position(group.file, begin).line;
    const std::uint32_t last_line = sources.position(group.file, last).line;
    const std::size_t column = begin - line_start(begin);
    if (first_line == last_line) {
        group.lines[first_line].push_back({column, column + (label.span.end - begin), primary, label.text});
        return;
    }
    const std::string_view head = sources.line(group.file, first_line);
    group.lines[first_line].push_back({column, std::max(head.size(), column), primary, {}});
    const std::string_view tail = sources.line(group.file, last_line);
    const std::size_t inner = std::min(tail.find_first_not_of(" \t"), tail.size());
    const std::size_t stop = label.span.end - line_start(last);
    group.lines[last_line].push_back({std::min(inner, stop), stop, primary, label.text});
}

std::vector<Group> groups_of(const Message& message, const source::Sources& sources) {
    std::vector<Group> groups;
    for (std::size_t i = 0; i < message.labels.size(); ++i) {
        const Label& label = message.labels[i];
        if (!label.span.known()) continue;
        auto group =
            std::find_if(groups.begin(), groups.end(), [&](const Group& g) { return g.file == label.span.file; });
        if (group == groups.end()) {
            groups.push_back({label.span.file, sources.position(label.span.file, label.span.begin), {}});
            group = groups.end() - 1;
        }
        put_pieces(*group, label, i == 0, sources);
    }
    return groups;
}

// -- Drawing -------------------------------------------------------------------------------------------------------------

class Drawing {
public:
    Drawing(const source::Sources& sources, const HumanOptions& options, std::string& to)
        : sources_(sources), paint_(options.colour), columns_(std::max(options.columns, least_columns)), to_(to) {}

    void message(const Message& message) {
        const Ink ink = ink_of(message.rule->level);
        to_ += fmt::format("{} {} {}\n", paint_(ink, fmt::format("{}:", name_of(message.rule->level))),
                           paint_(Ink::bold, safe(message.text)),
                           paint_(Ink::gutter, fmt::format("[{}]", message.rule->name)));
        const std::vector<Group> groups = groups_of(message, sources_);
        std::uint32_t highest = 0;
        for (const Group& group : groups)
            if (!group.lines.empty()) highest = std::max(highest, group.lines.rbegin()->first);
        number_width_ = std::max<std::size_t>(3, fmt::formatted_size("{}", highest + 1));
        for (const Group& group : groups) draw(group, ink);
        if (const std::string help = help_of(message); !help.empty())
            to_ += fmt::format("  {} {}\n", paint_(Ink::bold, "help:"), safe(help));
        for (const Fix& fix : message.fixes)
            if (!fix.to_try) draw(fix);
    }

private:
    const source::Sources& sources_;
    Painter paint_;
    std::size_t columns_;
    std::string& to_;
    std::size_t number_width_ = 3;

    std::string gutter(std::string_view number) const {
        return paint_(Ink::gutter, fmt::format("  {:>{}} |", number, number_width_));
    }
    std::size_t room() const { return columns_ - number_width_ - 5; } // for source text behind the gutter

    void draw(const Group& group, Ink ink) {
        to_ += fmt::format("  {}:{}:{}\n", safe(sources_.file(group.file).path), group.at.line, group.at.column);
        std::uint32_t before = 0;
        for (const auto& [number, pieces] : group.lines) {
            if (before > 0 && number == before + 2)
                draw_line(group.file, before + 1, {}, ink);
            else if (before > 0 && number > before + 2)
                to_ += fmt::format("  {:>{}}\n", "…", number_width_);
            draw_line(group.file, number, pieces, ink);
            before = number;
        }
    }

    struct View { // the part of a line that is shown
        std::vector<Cell> cells;
        std::size_t from = 0; // columns shown: from up to to
        std::size_t to = 0;
        std::size_t skipped = 0; // bytes before the first cell
        std::size_t width = 0;
        bool cut_left = false;
        bool cut_right = false;

        std::size_t column_at(std::size_t offset) const {
            if (offset < skipped) return 0;
            const auto at = std::lower_bound(cells.begin(), cells.end(), offset - skipped,
                                             [](const Cell& cell, std::size_t o) { return cell.offset < o; });
            return at == cells.end() ? width + (offset - skipped - bytes()) : at->column;
        }
        std::size_t bytes() const { return cells.empty() ? 0 : last_byte; }
        std::size_t last_byte = 0;
    };

    View view_of(std::string_view line, std::size_t begin, std::size_t end) const {
        View view;
        std::size_t start = begin > window_bytes ? begin - window_bytes : 0;
        while (start > 0 && (static_cast<unsigned char>(line[start]) & 0xC0U) == 0x80U) --start;
        std::size_t stop = std::min(line.size(), begin + window_bytes);
        while (stop < line.size() && (static_cast<unsigned char>(line[stop]) & 0xC0U) == 0x80U) ++stop;
        view.skipped = start;
        view.cells = cells_of(line.substr(start, stop - start));
        view.last_byte = stop - start;
        view.width = view.cells.empty() ? 0 : view.cells.back().column + view.cells.back().width;
        view.cut_left = start > 0;
        view.cut_right = stop < line.size();
        const std::size_t columns = room();
        view.to = view.width;
        if (view.width <= columns && !view.cut_left && !view.cut_right) return view;
        const std::size_t mark = view.column_at(begin);
        const std::size_t mark_end = view.column_at(std::min(end, stop));
        if (mark_end + 8 > columns || view.cut_left) {
            // Keep the mark in sight, with a third of the room before it.
            view.from = mark > columns / 3 ? mark - columns / 3 : 0;
        }
        view.to = std::min(view.width, view.from + columns);
        view.cut_left = view.cut_left || view.from > 0;
        view.cut_right = view.cut_right || view.to < view.width;
        return view;
    }

    std::string shown(const View& view) const {
        std::string text;
        const std::size_t from = view.from + (view.cut_left ? 1 : 0);
        const std::size_t to = view.to - (view.cut_right && view.to > view.from ? 1 : 0);
        if (view.cut_left) text += "…";
        std::size_t column = from;
        for (const Cell& cell : view.cells) {
            if (cell.column < from || cell.column + cell.width > to) continue;
            text.append(cell.column - column, ' '); // half of a wide character at the cut
            text += cell.glyph;
            column = cell.column + cell.width;
        }
        if (view.cut_right) text += "…";
        while (!text.empty() && text.back() == ' ') text.pop_back();
        return text;
    }

    void draw_line(source::FileId file, std::uint32_t number, const std::vector<Piece>& pieces, Ink ink) {
        const std::string_view line = sources_.line(file, number);
        const auto main = std::max_element(pieces.begin(), pieces.end(),
                                           [](const Piece& a, const Piece& b) { return a.primary < b.primary; });
        const View view = view_of(line, main == pieces.end() ? 0 : main->begin, main == pieces.end() ? 0 : main->end);
        const std::string text = shown(view);
        to_ += fmt::format("{}{}{}\n", gutter(fmt::format("{}", number)), text.empty() ? "" : " ", text);

        struct Mark {
            std::size_t from, to;
            const Piece* piece;
        };
        std::vector<Mark> marks;
        for (const Piece& piece : pieces) {
            const auto clip = [&](std::size_t column) {
                return std::clamp(column, view.from, std::max(view.from, view.to)) - view.from;
            };
            const std::size_t from = clip(view.column_at(piece.begin));
            marks.push_back({from, std::max(from + 1, clip(view.column_at(piece.end))), &piece});
            if (piece.begin >= line.size()) { // at or behind the end of the line
                marks.back().from = view.width - std::min(view.width, view.from);
                marks.back().to = marks.back().from + 1;
            }
        }
        // Marks that meet each other take rows of their own; in a row, the last mark's words stand beside it and those
        // of the others below.
        std::stable_sort(marks.begin(), marks.end(), [](const Mark& a, const Mark& b) { return a.from < b.from; });
        while (!marks.empty()) {
            std::vector<Mark> row;
            std::vector<Mark> later;
            for (const Mark& mark : marks) {
                if (row.empty() || mark.from >= row.back().to)
                    row.push_back(mark);
                else
                    later.push_back(mark);
            }
            std::string under;
            std::size_t column = 0;
            for (const Mark& mark : row) {
                under.append(mark.from - column, ' ');
                under += paint_(mark.piece->primary ? ink : Ink::second,
                                std::string(mark.to - mark.from, mark.piece->primary ? '^' : '-'));
                column = mark.to;
            }
            if (!row.back().piece->text.empty()) under += " " + safe(row.back().piece->text);
            to_ += fmt::format("{} {}\n", gutter(""), under);
            for (std::size_t i = row.size() - 1; i-- > 0;)
                if (!row[i].piece->text.empty())
                    to_ +=
                        fmt::format("{} {}{}\n", gutter(""), std::string(row[i].from, ' '), safe(row[i].piece->text));
            marks = std::move(later);
        }
    }

    // The lines before and after, where they are few.
    void draw(const Fix& fix) {
        to_ += fmt::format("  {} {}\n", paint_(Ink::bold, "fix:"), safe(fix.title));
        if (fix.edits.empty()) return;
        std::vector<Edit> edits = fix.edits;
        std::stable_sort(edits.begin(), edits.end(),
                         [](const Edit& a, const Edit& b) { return a.span.begin < b.span.begin; });
        const source::FileId file = edits.front().span.file;
        for (const Edit& edit : edits)
            if (edit.span.file != file) return;
        const std::string_view all = sources_.file(file).text;
        const std::size_t first =
            edits.front().span.begin == 0 ? std::string_view::npos : all.rfind('\n', edits.front().span.begin - 1);
        const std::size_t start = first == std::string_view::npos ? 0 : first + 1;
        const std::size_t stop = std::min(all.find('\n', edits.back().span.end), all.size());
        if (stop - start > window_bytes) return;
        std::string after;
        std::size_t at = start;
        for (const Edit& edit : edits) {
            if (edit.span.begin < at) return; // they overlap: fixes::apply will refuse them
            after.append(all.substr(at, edit.span.begin - at));
            after.append(edit.text);
            at = edit.span.end;
        }
        after.append(all.substr(at, stop - at));
        auto old_lines = base::split(all.substr(start, stop - start), '\n');
        auto new_lines = base::split(after, '\n');
        if (old_lines.size() > most_fix_lines || new_lines.size() > most_fix_lines) return;
        // A line that is put in leaves those around it as they are.
        std::size_t mark = edits.front().span.begin - start;
        while (!old_lines.empty() && !new_lines.empty() && old_lines.back() == new_lines.back()) {
            old_lines.pop_back();
            new_lines.pop_back();
        }
        const auto [old_rest, new_rest] =
            std::mismatch(old_lines.begin(), old_lines.end(), new_lines.begin(), new_lines.end());
        if (old_rest != old_lines.begin()) mark = 0;
        draw_lines({old_rest, old_lines.end()}, mark, "-", Ink::error);
        draw_lines({new_rest, new_lines.end()}, mark, "+", Ink::note);
    }

    void draw_lines(std::span<const std::string_view> lines, std::size_t at, std::string_view sign, Ink ink) {
        for (std::string_view line : lines) {
            if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
            const std::size_t mark = std::min(at, line.size());
            const std::string text = shown(view_of(line, mark, mark));
            to_ += fmt::format("{}{}{}\n", gutter(sign), text.empty() ? "" : " ", paint_(ink, text));
            at = 0;
        }
    }
};

} // namespace

std::string render_human(const Messages& messages, const source::Sources& sources, const HumanOptions& options) {
    std::string to;
    Drawing drawing(sources, options, to);
    for (const Message& message : messages.all()) {
        if (!to.empty()) to += '\n';
        drawing.message(message);
    }
    return to;
}

std::string for_screen(std::string_view text) {
    std::string to;
    bool first = true;
    for (const std::string_view line : base::split(text, '\n')) {
        if (!first) to += '\n';
        first = false;
        to += safe(line);
    }
    return to;
}

} // namespace benchleaf::messages
