#include "card/build.h"

#include <array>

namespace benchleaf::card {

namespace {

constexpr std::array<std::string_view, 4> level_words{"danger", "warning", "caution", "notice"};

// One thing a line, indented under what it belongs to; what is empty is left out. A line break within a text is written as \n and a
// backslash as \\, so that two different cards never give the same dump.
class Dump {
public:
    std::string text;

    void line(std::size_t depth, std::string_view name, std::string_view value) {
        if (value.empty()) return;
        text.append(2 * depth, ' ');
        text += name;
        text += ": ";
        for (const char c : value) {
            if (c == '\n')
                text += "\\n";
            else if (c == '\\')
                text += "\\\\";
            else
                text += c;
        }
        text += '\n';
    }
    void line(std::size_t depth, std::string_view name, std::uint64_t value) {
        line(depth, name, std::to_string(value));
    }
    void head(std::size_t depth, std::string_view name) {
        text.append(2 * depth, ' ');
        text += name;
        text += '\n';
    }
    void lines(std::size_t depth, std::string_view name, const std::vector<std::string>& values) {
        for (const std::string& value : values) line(depth, name, value);
    }
    void lines(std::size_t depth, std::string_view name, const std::vector<Line>& values) {
        for (const Line& value : values)
            line(depth, name, value.amount.empty() ? value.text : value.text + " | " + value.amount);
    }
    void head(const Head& h) {
        head(0, "head");
        line(1, "shop", h.shop);
        line(1, "title", h.title);
        line(1, "vehicle", h.vehicle);
        line(1, "known by", h.known_by);
        lines(1, "identity", h.identity);
        line(1, "meter", h.meter);
        line(1, "job", h.job);
        line(1, "date", h.date);
        line(1, "is blank", h.blank);
        line(1, "revision", h.revision);
        lines(1, "blank", h.blanks);
    }
    void torques(std::size_t depth, const std::vector<TorqueLine>& all) {
        for (const TorqueLine& each : all)
            line(depth, "torque at",
                 std::to_string(each.card) + "/" + std::to_string(each.step) + " | " + each.value + " | " + each.name +
                     " | " + each.about);
    }
    void caution(std::size_t depth, const Caution& caution) {
        line(depth, level_words[static_cast<std::size_t>(caution.level)],
             caution.signal + " | " + caution.hazard + " | " + caution.avoid);
    }

    void torque(std::size_t depth, const Torque& t) {
        line(depth, "torque", t.name);
        line(depth + 1, "value", t.value + " " + t.unit);
        line(depth + 1, "tolerance", t.tolerance);
        line(depth + 1, "second", t.second);
        for (std::size_t i = 0; i < t.stages.size(); ++i) {
            line(depth + 1, "stage", t.stages[i]);
            if (i < t.stage_wrenches.size()) line(depth + 2, "wrench", t.stage_wrenches[i]);
        }
        line(depth + 1, "socket", t.socket);
        line(depth + 1, "wrench", t.wrench);
        line(depth + 1, "source", t.source);
        line(depth + 1, "order", t.order);
        if (t.rounds > 1) line(depth + 1, "rounds", t.rounds);
        line(depth + 1, "left-hand", t.left_hand);
        line(depth + 1, "fasteners", t.fasteners);
        if (t.value_box) head(depth + 1, "value box");
        if (t.initials) head(depth + 1, "initials");
    }
    void reading(std::size_t depth, const Reading& r) {
        line(depth, "reading", r.name);
        line(depth + 1, "of", r.column_note);
        line(depth + 1, "limit", r.limit);
        line(depth + 1, "new", r.new_size);
        line(depth + 1, "last", r.last);
        line(depth + 1, "expected", r.expected);
        line(depth + 1, "keep", r.keep);
        line(depth + 1, "unit", r.unit);
        line(depth + 1, "points", r.points);
        line(depth + 1, "worst", r.worst);
        line(depth + 1, "note", r.note);
        std::string marks;
        for (const bool mark : r.marks) marks += mark ? 'x' : '.';
        line(depth + 1, "marks", marks);
        if (!r.bar) return;
        const auto mark = [&](const char* name, const WearBar::Mark& is) {
            line(depth + 2, name, std::to_string(is.at) + " | " + is.text);
        };
        head(depth + 1, "bar");
        mark("limit", r.bar->limit);
        mark("keep", r.bar->keep);
        mark("new", r.bar->as_new);
        if (r.bar->expected) mark("expected", *r.bar->expected);
    }

    void picture(const Picture& p) {
        line(3, "picture", p.file);
        line(4, "sha256", p.picture->sha256);
        line(4, "shows", p.shows);
        for (const Pointed& each : p.legend) line(4, std::to_string(each.number), each.text);
        for (const Mark& mark : p.marks)
            line(4, "mark",
                 std::to_string(mark.number) + " | " + std::to_string(mark.across) + " " + std::to_string(mark.down) +
                     " | " + std::to_string(mark.number_across) + " " + std::to_string(mark.number_down));
    }

    void operator()(const Step& s) {
        line(3, "step", s.text);
        line(4, "why", s.why);
        lines(4, "note", s.notes);
        if (const auto* torques = std::get_if<std::vector<Torque>>(&s.panel))
            for (const Torque& each : *torques) torque(4, each);
        if (const auto* readings = std::get_if<std::vector<Reading>>(&s.panel))
            for (const Reading& each : *readings) reading(4, each);
        if (const auto* note = std::get_if<Note>(&s.panel)) {
            head(4, note->wide ? "wide box" : "box");
            line(5, "for", note->text);
        }
        if (const auto* grades = std::get_if<Grades>(&s.panel)) {
            lines(4, "grade", grades->words);
            lines(5, "of", grades->of);
        }
        if (s.second_check) {
            head(4, "second check");
            line(5, "note", s.second_check_note);
            line(5, "when", s.second_check_time);
        }
        if (s.again.boxes > 0) {
            line(4, "again", s.again.rounds);
            line(5, "boxes", s.again.boxes);
            line(5, "note", note_of(s.again));
        }
    }
    void operator()(const Question& q) {
        line(3, "question", q.text);
        lines(4, "basis", q.basis);
        line(4, "yes", q.yes + " | " + q.yes_goes);
        line(4, "no", q.no + " | " + q.no_goes);
    }
    void operator()(const Repeat& r) {
        line(3, "repeat", r.text);
        lines(4, "basis", r.basis);
        line(4, "again", r.again);
        line(4, "rounds", r.rounds);
        line(4, "otherwise", r.otherwise);
        line(4, "yes", r.yes + " | " + r.yes_goes);
        line(4, "no", r.no);
    }
    void operator()(const Stop& s) {
        line(3, "stop", s.headline);
        line(4, "why", s.why);
    }
    void operator()(const Branch& b) { line(3, "way", b.text); }
};

} // namespace

std::string dump(const Card& card) {
    Dump out;
    out.line(0, "card", card.file_stem);
    out.line(0, "language", card.language);
    const Head& h = card.head;
    out.head(h);
    for (const Axle& axle : h.axles) {
        std::string wheels;
        for (const Wheel& wheel : axle) wheels += (wheel.here ? "x" : ".") + wheel.head + " ";
        wheels.pop_back();
        out.line(1, "axle", wheels);
    }
    if (h.card > 0) out.line(1, "card", std::to_string(h.card) + " of " + std::to_string(h.cards));

    const Before& b = card.before;
    out.head(0, "before");
    for (const Caution& caution : b.cautions) out.caution(1, caution);
    out.lines(1, "state", b.states);
    out.lines(1, "protection", b.protection);
    out.lines(1, "tool", b.tools);
    out.lines(1, "consumable", b.consumables);
    out.lines(1, "renew", b.renew);
    out.lines(1, "may need", b.may_need);
    out.line(1, "minutes", b.minutes);
    out.torques(1, b.torques);
    out.line(1, "open", b.open.title);
    for (const OpenLine& each : b.open.lines) out.line(2, "line", each.what + " | " + each.visit);
    out.line(2, "more", b.open.more);

    for (const Section& section : card.sections) {
        out.head(0, "section");
        out.line(1, "title", section.title);
        out.line(1, "order", section.order);
        for (const std::string& column : section.columns) out.line(1, "column", column.empty() ? "-" : column);
        for (const Row& row : section.rows) {
            out.line(1, "row", row.name);
            if (row.number > 0) out.line(2, "number", row.number);
            out.line(2, "depth", row.depth);
            for (const Caution& caution : row.cautions) out.caution(2, caution);
            std::string marks;
            for (const bool mark : row.marks) marks += mark ? 'x' : '.';
            out.line(2, "marks", marks);
            std::visit(out, row.what);
            if (row.picture) out.picture(*row.picture);
        }
    }

    out.head(0, "findings");
    out.line(1, "title", card.findings.title);
    out.line(1, "also found", card.findings.also_found);
    out.line(1, "declined", card.findings.declined);
    out.line(1, "next service", card.findings.next_service);
    out.line(0, "stop strip", card.stop_strip.title);
    out.lines(1, "field", card.stop_strip.fields);
    out.line(1, "warning", card.stop_strip.warning);
    out.line(1, "to do", card.stop_strip.what_to_do);
    out.line(0, "close-out", card.close_out.title);
    for (const CloseOutLine& line : card.close_out.lines) {
        out.line(1, "true", line.text);
        out.line(2, "field", line.field);
    }
    out.lines(1, "later", card.close_out.later);
    out.line(1, "wrenches", card.close_out.wrenches);
    out.lines(1, "signature", card.close_out.signatures);
    out.line(1, "rule", card.close_out.check_rule);
    out.line(0, "foot", card.foot.text);
    out.line(1, "own", card.foot.own);
    const Words& w = card.words;
    out.lines(0, "word",
              {w.page_of, w.card_of, w.before, w.states, w.states_none, w.protection, w.tools, w.consumables, w.renew,
               w.may_need, w.none, w.minutes, w.torques, w.initials, w.second_check, w.order, w.why, w.continued});
    return std::move(out.text);
}

std::string dump(const Cover& cover) {
    Dump out;
    out.line(0, "cover", cover.file_stem);
    out.line(0, "language", cover.language);
    out.head(cover.head);
    out.line(0, "customer", cover.customer);
    out.line(0, "says", cover.says);
    for (const CoverCard& card : cover.cards) {
        out.line(0, "card", card.number);
        out.line(1, "title", card.title);
        out.line(1, "minutes", card.minutes);
    }
    out.line(0, "minutes", cover.minutes);
    out.line(0, "stopped", cover.stopped);
    out.torques(0, cover.torques);
    for (const CoverList& list : cover.fetch) {
        out.line(0, "list", list.title);
        for (const CoverLine& line : list.lines) {
            out.line(1, "line", line.text);
            out.line(2, "amount", line.amount);
            out.line(2, "about", line.about);
            out.line(2, "cards", numbers(line.cards));
        }
    }
    out.lines(0, "signs", cover.signs);
    out.line(0, "rule", cover.check_rule);
    out.line(0, "next service", cover.next_service);
    out.line(0, "foot", cover.foot.text);
    out.line(1, "own", cover.foot.own);
    const CoverWords& w = cover.own;
    out.lines(0, "word",
              {w.customer, w.says, w.work, w.sheets, w.pages, w.fetch, w.fetch_cards, w.who, w.does_work, w.name,
               w.started, w.finished});
    return out.text;
}

} // namespace benchleaf::card
