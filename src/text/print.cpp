#include "text/text.h"

#include "labels/labels.h"
#include "text/wrap.h"

#include <algorithm>

namespace benchleaf::text {

namespace {

using labels::Key;
using Lines = std::vector<std::string>;

constexpr std::string_view tick = "[ ]";
constexpr std::size_t least_columns = 40;
constexpr std::size_t number_width = 4;
constexpr std::size_t panel_width = 32;

void append(Lines& to, const Lines& more) {
    to.insert(to.end(), more.begin(), more.end());
}

class Printer {
public:
    Printer(const card::Card& card, std::size_t width) : card_(card), width_(std::max(width, least_columns)) {
        const labels::Labels* found = labels::find(card.language);
        words_ = found != nullptr ? found : labels::find("en");
    }

    std::string print() {
        head();
        before();
        for (const card::Section& section : card_.sections) this->section(section);
        findings();
        stop_strip();
        close_out();
        foot();
        std::string text;
        for (std::string& line : out_) {
            while (!line.empty() && line.back() == ' ') line.pop_back();
            text += line;
            text += '\n';
        }
        return text;
    }

private:
    Lines wrapped(std::string_view text, std::size_t width) const { return wrap(text, width, card_.language); }

    void line(std::string text) { out_.push_back(std::move(text)); }
    void blank() {
        if (!out_.empty() && !out_.back().empty()) out_.emplace_back();
    }
    void rule(std::string_view with) { line(repeated(with, width_)); }

    // Lines with a first prefix and another for those that follow.
    Lines hung(std::string_view text, std::size_t width, const std::string& first) const {
        const std::size_t indent = cells(first);
        Lines made = wrapped(text, width > indent + 8 ? width - indent : 8);
        for (std::size_t i = 0; i < made.size(); ++i) made[i] = (i == 0 ? first : std::string(indent, ' ')) + made[i];
        return made;
    }

    // Two blocks side by side; the left one is `width` cells wide.
    static Lines beside(const Lines& left, std::size_t width, const Lines& right) {
        Lines made;
        for (std::size_t i = 0; i < std::max(left.size(), right.size()); ++i) {
            std::string text = i < left.size() ? left[i] : std::string();
            if (i < right.size()) text = padded(std::move(text), width) + right[i];
            made.push_back(std::move(text));
        }
        return made;
    }

    // -- Head, lists ---------------------------------------------------------------------------------------------------------------
    void head() {
        const card::Head& h = card_.head;
        Lines right;
        if (!h.job.empty()) right.push_back(std::string(words_->text(Key::job)) + " " + h.job);
        if (!h.blank.empty()) right.push_back(h.blank);
        if (!h.date.empty()) right.push_back(h.date);
        if (h.card > 0)
            right.push_back(labels::fill(card_.words.card_of, {std::to_string(h.card), std::to_string(h.cards)}));
        right.push_back(h.revision);
        if (!h.digest.empty()) right.push_back(h.digest);
        std::size_t right_width = 0;
        for (const std::string& each : right) right_width = std::max(right_width, cells(each));
        const std::size_t room = width_ > right_width + 22 ? width_ - right_width - 2 : width_;
        Lines left = wrapped(h.shop, room);
        append(left, wrapped(h.title, room));
        std::string vehicle = h.vehicle;
        if (!h.known_by.empty()) vehicle += " · " + h.known_by;
        for (const std::string& identity : h.identity) vehicle += " · " + identity;
        if (!h.meter.empty()) vehicle += " · " + h.meter;
        append(left, wrapped(vehicle, room));
        for (std::string& each : right) each = padded_left(each, right_width);
        rule("━");
        if (room == width_) {
            append(out_, left);
            append(out_, right);
        } else {
            append(out_, beside(left, room + 2, right));
        }
        if (!h.blanks.empty()) {
            blank();
            fields(h.blanks);
        }
        rule("━");
        if (!h.not_approved.empty()) {
            append(out_, wrapped(h.not_approved + ". " + h.not_approved_why, width_));
            rule("━");
        }
    }

    void before() {
        const card::Before& b = card_.before;
        const card::Words& w = card_.words;
        std::string title = w.before;
        if (!b.minutes.empty()) title += " · " + w.minutes + ": " + b.minutes;
        append(out_, wrapped(title, width_));
        blank();
        for (const card::Caution& each : b.cautions) caution(each, {});
        open(b.open);
        list(w.states, b.states, true, w.states_none);
        if (!b.protection.empty()) list(w.protection, b.protection, true, w.none);
        list(w.tools, lines(b.tools), false, w.none);
        list(w.consumables, lines(b.consumables), false, w.none);
        list(w.renew, lines(b.renew), false, w.none);
        list(w.may_need, lines(b.may_need), false, w.none);
        Lines torques;
        for (const card::TorqueLine& each : b.torques)
            torques.push_back(each.value + " – " + each.name + " · " + each.about);
        if (!torques.empty()) list(w.torques, torques, false, w.none);
    }

    void open(const card::OpenList& all) {
        if (all.lines.empty()) return;
        append(out_, wrapped(all.title + ":", width_));
        for (const card::OpenLine& each : all.lines) {
            append(out_, hung(each.what + " · " + each.visit, width_, "  • "));
            append(out_, hung("[ ] " + all.done + "   [ ] " + all.still, width_, "    "));
        }
        if (!all.more.empty()) append(out_, hung(all.more, width_, "    "));
        blank();
    }

    static Lines lines(const std::vector<card::Line>& all) {
        Lines made;
        for (const card::Line& each : all)
            made.push_back(each.amount.empty() ? each.text : each.text + " – " + each.amount);
        return made;
    }

    void list(const std::string& title, const Lines& all, bool ticks, const std::string& if_empty) {
        if (all.empty()) {
            append(out_, wrapped(title + ": " + if_empty, width_));
            return;
        }
        append(out_, wrapped(title + ":", width_));
        for (const std::string& each : all) append(out_, hung(each, width_, ticks ? "  [ ] " : "  • "));
    }

    // -- Cautions: the frame says the level ------------------------------------------------------------------------------------------
    void caution(const card::Caution& caution, const std::string& lead) {
        struct Frame {
            std::string_view top_left, top_right, bottom_left, bottom_right, across, side;
        };
        static constexpr Frame frames[] = {{"╔", "╗", "╚", "╝", "═", "║"},
                                           {"┏", "┓", "┗", "┛", "━", "┃"},
                                           {"┌", "┐", "└", "┘", "─", "│"},
                                           {"+", "+", "+", "+", "-", "|"}};
        const Frame& f = frames[static_cast<std::size_t>(caution.level)];
        const std::size_t wide = width_ > cells(lead) + 20 ? width_ - cells(lead) : 20;
        const std::string signal = " " + caution.signal + " ";
        const std::size_t rest = wide > cells(signal) + 4 ? wide - cells(signal) - 4 : 0;
        line(lead + std::string(f.top_left) + repeated(f.across, 2) + signal + repeated(f.across, rest) +
             std::string(f.top_right));
        for (const std::string& each : wrapped(caution.hazard + " " + caution.avoid, wide - 4))
            line(lead + std::string(f.side) + " " + padded(each, wide - 4) + " " + std::string(f.side));
        line(lead + std::string(f.bottom_left) + repeated(f.across, wide - 2) + std::string(f.bottom_right));
    }

    // -- Sections and rows -------------------------------------------------------------------------------------------------------------
    std::size_t tick_width() const { return tick_widths_; }

    void section(const card::Section& section) {
        columns_ = &section.columns;
        column_width_.clear();
        tick_widths_ = 0;
        for (const std::string& column : section.columns) {
            column_width_.push_back(std::max<std::size_t>(cells(tick), cells(column)) + 1);
            tick_widths_ += column_width_.back();
        }
        blank();
        rule("─");
        std::string heads(number_width + 2, ' ');
        for (std::size_t i = 0; i < section.columns.size(); ++i)
            heads += padded(section.columns[i].empty() ? "" : " " + section.columns[i], column_width_[i]);
        std::string title = section.title;
        if (!section.order.empty()) title += (title.empty() ? "" : " – ") + section.order;
        const bool headed =
            std::any_of(section.columns.begin(), section.columns.end(), [](const auto& c) { return !c.empty(); });
        if (headed || !title.empty()) append(out_, hung(title, width_, heads + " "));
        for (const card::Row& row : section.rows) this->row(row);
    }

    void row(const card::Row& row) {
        const std::size_t text_from = number_width + 2 + tick_width() + 1;
        const std::string bars = repeated("│ ", row.depth);
        const std::size_t caution_from = row.depth > 0 ? text_from : number_width + 2;
        for (const card::Caution& each : row.cautions) caution(each, std::string(caution_from, ' ') + bars);
        std::string lead =
            row.number > 0 ? padded_left(std::to_string(row.number), number_width) : std::string(number_width, ' ');
        lead += "  ";
        const bool question = std::holds_alternative<card::Question>(row.what);
        const bool repeat = std::holds_alternative<card::Repeat>(row.what); // its boxes are its rounds
        for (std::size_t i = 0; i < columns_->size(); ++i) {
            const bool marked = i < row.marks.size() && row.marks[i];
            lead += padded(!marked || repeat ? std::string() : question ? " ? " : std::string(tick), column_width_[i]);
        }
        lead += " ";
        const std::size_t indent = std::size_t{2} * row.depth;
        const std::size_t wide = width_ > text_from + indent + 12 ? width_ - text_from - indent : 12;
        Lines body = std::visit([&](const auto& what) { return content(row, what, wide); }, row.what);
        if (row.picture) append(body, wrapped(picture(*row.picture), wide));
        for (std::size_t i = 0; i < body.size(); ++i)
            line((i == 0 ? lead : std::string(text_from, ' ')) + bars + body[i]);
    }

    // "[picture: caliper.png: 1 lower guide bolt, 2 upper guide bolt]"
    std::string picture(const card::Picture& picture) const {
        std::string text =
            "[" + std::string(words_->text(Key::picture)) + ": " + picture.file.substr(picture.file.rfind('/') + 1);
        std::string_view before = ": ";
        for (const card::Pointed& each : picture.legend) {
            text += before;
            text += std::to_string(each.number) + "\u00a0" + each.text;
            before = ", ";
        }
        return text + "]";
    }

    // A place to write in for every marked column: "L ____  R ____".
    Lines by_column(const card::Row& row, std::size_t wide, const std::string& field) const {
        Lines made;
        std::string text;
        for (std::size_t i = 0; i < columns_->size(); ++i) {
            if (i >= row.marks.size() || !row.marks[i]) continue;
            const std::string& head = (*columns_)[i];
            const std::string one = head.empty() ? field : head + " " + field;
            if (!text.empty() && cells(text) + 2 + cells(one) > wide) {
                made.push_back(std::move(text));
                text.clear();
            }
            text += (text.empty() ? "" : "  ") + one;
        }
        if (!text.empty()) made.push_back(std::move(text));
        return made;
    }

    // Likewise with a place for each further round.
    Lines written(const card::Row& row, const card::Again& again, std::size_t wide, const std::string& field) const {
        if (again.boxes == 0) return by_column(row, wide, field);
        Lines made;
        std::string whole; // a box is not broken
        for (const char c : field) whole += c == ' ' ? "\u00a0" : std::string(1, c);
        for (std::size_t i = 0; i < columns_->size(); ++i) {
            if (i >= row.marks.size() || !row.marks[i]) continue;
            const std::string& head = (*columns_)[i];
            append(made, hung(whole + further(again, whole), wide, head.empty() ? "" : head + " "));
        }
        if (const std::string note = card::note_of(again); !note.empty()) append(made, wrapped("↻ " + note, wide));
        return made;
    }
    static std::string further(const card::Again& again, const std::string& field) {
        std::string text;
        for (std::uint32_t round = 1; round <= again.boxes; ++round)
            text += " ↻" + card::rounds_of(again, round) + "\u00a0" + field;
        return text;
    }

    Lines content(const card::Row& row, const card::Step& step, std::size_t wide) const {
        const bool panel = !std::holds_alternative<std::monostate>(step.panel) || step.second_check;
        // Grades are not broken: their panel is as wide as they are.
        std::string grades;
        if (const auto* words = std::get_if<card::Grades>(&step.panel))
            for (const std::string& grade : words->words) {
                grades += grades.empty() ? "[ ]\u00a0" : " [ ]\u00a0";
                for (const char c : grade) grades += c == ' ' ? "\u00a0" : std::string(1, c);
            }
        std::size_t head = 0;
        for (const std::string& column : *columns_) head = std::max(head, cells(column) + (column.empty() ? 0 : 1));
        const std::size_t panel_wide = std::max(panel_width, grades.empty() ? 0 : cells(grades) + head + 2);
        const bool apart = panel && wide >= panel_wide + 20;
        const std::size_t text_wide = apart ? wide - panel_wide - 1 : wide;
        Lines left = wrapped(step.text, text_wide);
        if (!step.why.empty()) append(left, hung(step.why, text_wide, "  "));
        for (const std::string& note : step.notes) append(left, hung(note, text_wide, "– "));
        if (!panel) return left;
        const std::size_t inner = (apart ? panel_wide : wide) - 2;
        Lines right;
        if (const auto* torques = std::get_if<std::vector<card::Torque>>(&step.panel))
            for (const card::Torque& each : *torques) append(right, torque(row, each, step.again, inner));
        if (const auto* readings = std::get_if<std::vector<card::Reading>>(&step.panel))
            for (const card::Reading& each : *readings) append(right, reading(row, each, step.again, inner));
        if (const auto* note = std::get_if<card::Note>(&step.panel)) {
            if (!note->text.empty()) append(right, wrapped(note->text, inner));
            right.push_back(repeated("_", inner));
            if (note->wide) right.push_back(repeated("_", inner));
        }
        const auto graded = [&](const std::string& of) {
            if (!of.empty()) append(right, wrapped(of, inner));
            for (std::size_t i = 0; i < columns_->size() && i < row.marks.size(); ++i)
                if (row.marks[i])
                    append(right, hung(grades, inner, (*columns_)[i].empty() ? "" : (*columns_)[i] + " "));
        };
        if (const auto* looked = std::get_if<card::Grades>(&step.panel)) {
            if (looked->of.empty()) graded({});
            for (const std::string& each : looked->of) graded(each);
        }
        if (step.second_check) {
            std::string what = card_.words.second_check;
            if (!step.second_check_note.empty()) what += ", " + step.second_check_note;
            append(right, wrapped(what, inner));
            append(right, written(row, step.again, inner,
                                  step.second_check_time.empty() ? "________"
                                                                 : "________ " + step.second_check_time + " __:__"));
        }
        for (std::string& each : right) each = "┃ " + each;
        if (apart) return beside(left, text_wide + 1, right);
        append(left, right);
        return left;
    }

    Lines torque(const card::Row& row, const card::Torque& t, const card::Again& again, std::size_t wide) const {
        Lines made;
        if (t.named) append(made, wrapped(t.name, wide));
        std::string value = t.value + (t.unit == "°" ? "" : " ") + t.unit;
        if (!t.tolerance.empty()) value += " " + t.tolerance;
        if (t.value.empty()) value.clear();
        if (!t.second.empty()) {
            if (cells(value) + 2 + cells(t.second) <= wide)
                value += std::string(wide - cells(value) - cells(t.second), ' ') + t.second;
            else
                value += " = " + t.second;
        }
        if (!value.empty() && t.stages.empty()) append(made, wrapped(value, wide));
        for (std::size_t i = 0; i < t.stages.size(); ++i) {
            std::string stage = t.stages[i];
            if (i < t.stage_wrenches.size() && !t.stage_wrenches[i].empty()) stage += " · " + t.stage_wrenches[i];
            append(made, hung(stage, wide, t.stages.size() > 1 ? std::to_string(i + 1) + ") " : ""));
        }
        std::string with = t.socket;
        if (!t.wrench.empty()) with += (with.empty() ? "" : " · ") + t.wrench;
        if (!with.empty()) append(made, wrapped(with, wide));
        if (!t.left_hand.empty()) append(made, wrapped("!! " + t.left_hand, wide));
        if (!t.order.empty()) append(made, wrapped(card_.words.order + " " + t.order, wide));
        if (!t.rounds_text.empty()) append(made, wrapped(t.rounds_text, wide));
        if (!t.source.empty()) append(made, wrapped(t.source, wide));
        if (t.fasteners > 1) {
            std::string ticks;
            for (std::uint32_t i = 0; i < t.fasteners; ++i) {
                if (i > 0) ticks += t.order.empty() ? " " : "  ";
                if (!t.order.empty()) ticks += std::to_string(i + 1) + "\u00a0"; // as they are tightened
                ticks += "[\u00a0]";
            }
            for (std::size_t i = 0; i < columns_->size(); ++i) {
                if (i >= row.marks.size() || !row.marks[i]) continue;
                const std::string& head = (*columns_)[i];
                for (std::uint32_t round = 0; round < t.rounds; ++round)
                    append(made, hung(ticks, wide, head.empty() ? "" : head + " "));
            }
        }
        if (t.value_box) append(made, written(row, again, wide, "[_____ " + t.unit + "]"));
        if (t.initials) {
            made.push_back(card_.words.initials + ":");
            append(made, written(row, again, wide, "________"));
        }
        return made;
    }

    Lines reading(const card::Row& of, const card::Reading& r, const card::Again& again, std::size_t wide) const {
        card::Row row; // with the columns in which this is read
        row.marks = r.marks.empty() ? of.marks : r.marks;
        Lines made = wrapped(r.column_note.empty() ? r.name : r.name + ", " + r.column_note, wide);
        if (!r.keep.empty()) append(made, wrapped(r.keep, wide));
        std::string limits = r.limit;
        if (!r.new_size.empty()) limits += (limits.empty() ? "" : " · ") + r.new_size;
        if (!limits.empty()) append(made, wrapped(limits, wide));
        std::string last = r.last;
        if (!r.expected.empty()) last += (last.empty() ? "" : " · ") + r.expected;
        if (!last.empty()) append(made, wrapped(last, wide));
        if (!r.note.empty()) append(made, wrapped(r.note, wide));
        if (r.points <= 1) {
            append(made, written(row, again, wide, "[______ " + r.unit + "]"));
            return made;
        }
        for (std::size_t i = 0; i < columns_->size(); ++i) {
            if (i >= row.marks.size() || !row.marks[i]) continue;
            std::string boxes;
            for (std::uint32_t point = 1; point <= r.points; ++point)
                boxes += (point > 1 ? " " : "") + std::to_string(point) + "\u00a0[____]";
            if (!r.worst.empty()) boxes += " " + r.worst + "\u00a0[____]";
            const std::string& head = (*columns_)[i];
            append(made, hung(boxes + " " + r.unit + further(again, "[____]"), wide, head.empty() ? "" : head + " "));
        }
        if (const std::string note = card::note_of(again); !note.empty()) append(made, wrapped("↻ " + note, wide));
        return made;
    }

    Lines content(const card::Row& row, const card::Question& q, std::size_t wide) const {
        Lines made = wrapped(q.text, wide);
        for (const std::string& basis : q.basis) append(made, hung(basis, wide, "– "));
        const std::size_t word = std::max(cells(q.yes), cells(q.no)) + 1;
        answer(made, row, wide, word, std::string(tick), q.yes, q.yes_goes);
        answer(made, row, wide, word, std::string(tick), q.no, q.no_goes);
        return made;
    }

    // `word`: how wide the words of the answers are; `box`: what is ticked, in each column.
    void answer(Lines& to, const card::Row& row, std::size_t wide, std::size_t word, const std::string& box,
                const std::string& says, const std::string& goes) const {
        Lines boxes = by_column(row, wide > word + 8 ? wide - word : 8, box);
        std::string first = padded(says, word);
        if (std::any_of(boxes.begin(), boxes.end(),
                        [&](const std::string& each) { return word + cells(each) > wide; })) {
            to.push_back(says); // many rounds on a narrow screen stand under their word
            boxes = by_column(row, wide, box);
            word = 0;
            first.clear();
        }
        for (const std::string& each : boxes) {
            to.push_back(first + each);
            first = std::string(word, ' ');
        }
        if (boxes.empty()) to.push_back(first);
        if (goes.empty()) return;
        if (cells(to.back()) + 1 + cells(goes) <= wide)
            to.back() += " " + goes;
        else
            append(to, hung(goes, wide, std::string(word, ' ')));
    }

    Lines content(const card::Row& row, const card::Repeat& r, std::size_t wide) const {
        Lines made = wrapped("↻ " + r.text, wide);
        for (const std::string& each : r.basis) append(made, hung(each, wide, "– "));
        append(made, wrapped(r.again, wide));
        std::string rounds;
        for (std::uint32_t i = 0; i < r.rounds; ++i) {
            if (i > 0) rounds += ' ';
            rounds += "( )";
        }
        const std::size_t word = std::max(cells(r.yes), cells(r.no)) + 1;
        answer(made, row, wide, word, std::string(tick), r.yes, r.yes_goes);
        answer(made, row, wide, word, rounds, r.no, {});
        if (!r.otherwise.empty()) append(made, wrapped(r.otherwise, wide));
        return made;
    }

    Lines content(const card::Row&, const card::Stop& s, std::size_t wide) const {
        Lines made{repeated("█", wide)};
        for (const std::string& each : wrapped(s.headline, wide - 4))
            made.push_back("█ " + padded(each, wide - 4) + " █");
        for (const std::string& each : wrapped(s.why, wide - 4)) made.push_back("█ " + padded(each, wide - 4) + " █");
        made.push_back(repeated("█", wide));
        return made;
    }

    Lines content(const card::Row&, const card::Branch& b, std::size_t wide) const {
        return wrapped(b.text + ":", wide);
    }

    // -- After the work ------------------------------------------------------------------------------------------------------------------
    void findings() {
        const card::Findings& f = card_.findings;
        blank();
        rule("─");
        append(out_, wrapped(f.title, width_));
        for (const std::string& written : {f.also_found, f.declined}) {
            if (written.empty()) continue;
            Lines made = wrapped(written + ":", width_);
            append(out_, made);
            line("  " + repeated("_", width_ - 2));
        }
        if (!f.next_service.empty()) append(out_, wrapped(f.next_service, width_));
    }

    void close_out() {
        const card::CloseOut& c = card_.close_out;
        blank();
        rule("━");
        append(out_, wrapped(c.title, width_));
        for (const card::CloseOutLine& each : c.lines) {
            append(out_, hung(each.text, width_, "  [ ] "));
            if (!each.field.empty()) append(out_, hung(each.field, width_, "      "));
        }
        for (const std::string& each : c.later) append(out_, hung(each, width_, "  • "));
        blank();
        if (!c.wrenches.empty()) append(out_, wrapped(c.wrenches, width_));
        fields(c.signatures);
        append(out_, wrapped(c.check_rule, width_));
    }

    // Names with a line to write on, in two columns where they fit.
    void fields(const std::vector<std::string>& names) {
        std::size_t name = 0;
        for (const std::string& each : names) name = std::max(name, cells(each));
        const std::size_t half = (width_ - 2) / 2;
        const bool two = name + 10 <= half;
        const std::size_t wide = two ? half : width_;
        const auto one = [&](const std::string& each) {
            const std::size_t has = cells(each) + 1;
            return each + " " + repeated("_", wide > has + 4 ? wide - has : 4);
        };
        for (std::size_t i = 0; i < names.size(); i += two ? 2 : 1) {
            std::string text = one(names[i]);
            if (two && i + 1 < names.size()) text = padded(std::move(text), half + 2) + one(names[i + 1]);
            line(std::move(text));
        }
    }

    void stop_strip() {
        const card::StopStrip& s = card_.stop_strip;
        blank();
        rule("-");
        append(out_, wrapped(s.title + " – " + s.warning, width_));
        append(out_, wrapped(s.what_to_do, width_));
        fields(s.fields);
    }

    void foot() {
        blank();
        rule("─");
        append(out_, wrapped(card_.foot.text, width_));
        if (!card_.foot.own.empty()) append(out_, wrapped(card_.foot.own, width_));
    }

    const card::Card& card_;
    std::size_t width_;
    const labels::Labels* words_;
    Lines out_;
    const std::vector<std::string>* columns_ = nullptr; // of the section at hand
    std::vector<std::size_t> column_width_;
    std::size_t tick_widths_ = 0;
};

} // namespace

std::string print(const card::Card& card, Columns columns) {
    return Printer(card, columns.count).print();
}

} // namespace benchleaf::text
