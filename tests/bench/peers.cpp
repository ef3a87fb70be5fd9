#include "bench/peers.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <string_view>
#include <utility>
#include <vector>

namespace benchleaf::bench {

namespace {

// What is written at the right of a row: words, and after them so many boxes to write in.
struct Entry {
    std::string text;
    std::size_t boxes = 0;
};

// A card as plain typesetters think of it.
struct Block {
    enum class Is : std::uint8_t { heading, text, ticks, items, framed, fields, columns, row };
    Is is = Is::text;
    std::string text;               // of a framed block its head
    std::vector<std::string> lines; // of a row its words, of columns their heads
    std::vector<Entry> entries;     // of a row
    std::uint32_t number = 0;       // likewise
    std::size_t ticks = 0;
    std::uint32_t depth = 0;
};
using Blocks = std::vector<Block>;

class Outline {
public:
    explicit Outline(const card::Card& card) : card_(card) {
        before();
        for (const card::Section& each : card.sections) section(each);
        after();
    }

    Blocks taken() { return std::move(blocks_); }

private:
    void heading(std::string text) {
        if (!text.empty()) blocks_.push_back({Block::Is::heading, std::move(text), {}, {}, 0, 0, 0});
    }
    void text(std::string text) {
        if (!text.empty()) blocks_.push_back({Block::Is::text, std::move(text), {}, {}, 0, 0, 0});
    }
    void list(Block::Is is, std::string title, std::vector<std::string> lines, const std::string& if_empty) {
        if (lines.empty()) lines.push_back(if_empty);
        blocks_.push_back({is, std::move(title), std::move(lines), {}, 0, 0, 0});
    }
    void framed(std::string head, std::vector<std::string> lines) {
        blocks_.push_back({Block::Is::framed, std::move(head), std::move(lines), {}, 0, 0, 0});
    }
    void fields(std::vector<std::string> names) {
        if (!names.empty()) blocks_.push_back({Block::Is::fields, "", std::move(names), {}, 0, 0, 0});
    }
    void caution(const card::Caution& each) { framed(each.signal, {each.hazard, each.avoid}); }

    static std::vector<std::string> lines_of(const std::vector<card::Line>& lines) {
        std::vector<std::string> made;
        for (const card::Line& each : lines) made.push_back(each.amount + (each.amount.empty() ? "" : " ") + each.text);
        return made;
    }

    void before() {
        const card::Before& b = card_.before;
        const card::Words& w = card_.words;
        fields(card_.head.blanks);
        heading(w.before);
        if (!b.minutes.empty()) text(w.minutes + " " + b.minutes);
        for (const card::Caution& each : b.cautions) caution(each);
        list(Block::Is::ticks, w.states, b.states, w.states_none);
        list(Block::Is::ticks, w.protection, b.protection, w.none);
        list(Block::Is::items, w.tools, lines_of(b.tools), w.none);
        list(Block::Is::items, w.consumables, lines_of(b.consumables), w.none);
        list(Block::Is::items, w.renew, lines_of(b.renew), w.none);
        list(Block::Is::items, w.may_need, lines_of(b.may_need), w.none);
        std::vector<std::string> torques;
        for (const card::TorqueLine& each : b.torques)
            torques.push_back(fmt::format("{} {} {}", each.value, each.name, each.about));
        if (!torques.empty()) list(Block::Is::items, w.torques, std::move(torques), "");
    }

    void section(const card::Section& section) {
        heading(section.title);
        text(section.order);
        blocks_.push_back({Block::Is::columns, "", section.columns, {}, 0, section.columns.size(), 0});
        for (const card::Row& each : section.rows) row(each);
    }

    void row(const card::Row& row) {
        for (const card::Caution& each : row.cautions) caution(each);
        Block block{Block::Is::row, "", {}, {}, row.number, 0, row.depth};
        block.ticks = static_cast<std::size_t>(std::count(row.marks.begin(), row.marks.end(), true));
        std::visit([&](const auto& what) { fill(block, what); }, row.what);
        if (row.picture)
            for (const card::Pointed& each : row.picture->legend)
                block.lines.push_back(fmt::format("{} {}", each.number, each.text));
        std::erase(block.lines, "");
        blocks_.push_back(std::move(block));
    }

    static void fill(Block& to, const card::Step& step) {
        to.lines = {step.text, step.why};
        to.lines.insert(to.lines.end(), step.notes.begin(), step.notes.end());
        if (const auto* torques = std::get_if<std::vector<card::Torque>>(&step.panel))
            for (const card::Torque& each : *torques) torque(to, each);
        if (const auto* readings = std::get_if<std::vector<card::Reading>>(&step.panel))
            for (const card::Reading& each : *readings) reading(to, each);
        if (const auto* note = std::get_if<card::Note>(&step.panel)) to.entries.push_back({note->text, 1});
        if (const auto* grades = std::get_if<card::Grades>(&step.panel))
            for (const std::string& each : grades->words)
                to.entries.push_back({each, std::max<std::size_t>(to.ticks, 1)});
        if (step.second_check) to.entries.push_back({step.second_check_note, 1});
    }
    static void torque(Block& to, const card::Torque& torque) {
        std::string text = torque.named ? torque.name + " " : "";
        for (const std::string& each :
             {torque.value, torque.unit, torque.tolerance, torque.second, torque.socket, torque.wrench, torque.source,
              torque.order, torque.rounds_text, torque.left_hand})
            if (!each.empty()) text += each + " ";
        for (const std::string& each : torque.stages) text += each + " ";
        to.entries.push_back({text, torque.value_box || torque.initials ? 1U : 0U});
    }
    static void reading(Block& to, const card::Reading& reading) {
        std::string text;
        for (const std::string& each :
             {reading.name, reading.column_note, reading.limit, reading.new_size, reading.last, reading.expected,
              reading.keep, reading.unit, reading.worst, reading.note})
            if (!each.empty()) text += each + " ";
        to.entries.push_back({text, reading.points * std::max<std::size_t>(to.ticks, 1)});
    }
    static void fill(Block& to, const card::Question& question) {
        to.ticks = 0;
        to.lines = {question.text};
        to.lines.insert(to.lines.end(), question.basis.begin(), question.basis.end());
        to.entries = {{question.yes + " " + question.yes_goes, 1}, {question.no + " " + question.no_goes, 1}};
    }
    static void fill(Block& to, const card::Repeat& repeat) {
        to.ticks = 0;
        to.lines = {repeat.text, repeat.again, repeat.otherwise};
        to.lines.insert(to.lines.end(), repeat.basis.begin(), repeat.basis.end());
        to.entries = {{repeat.yes + " " + repeat.yes_goes, 1}, {repeat.no, repeat.rounds}};
    }
    static void fill(Block& to, const card::Stop& stop) {
        to.ticks = 0;
        to.lines = {stop.headline, stop.why};
    }
    static void fill(Block& to, const card::Branch& branch) {
        to.ticks = 0;
        to.lines = {branch.text};
    }

    void after() {
        const card::Findings& f = card_.findings;
        heading(f.title);
        fields({f.also_found, f.declined});
        text(f.next_service);
        const card::StopStrip& s = card_.stop_strip;
        framed(s.title + " " + s.warning, {s.what_to_do});
        fields(s.fields);
        const card::CloseOut& c = card_.close_out;
        std::vector<std::string> lines;
        for (const card::CloseOutLine& each : c.lines)
            lines.push_back(each.text + (each.field.empty() ? "" : " ") + each.field);
        if (!lines.empty()) list(Block::Is::ticks, c.title, std::move(lines), "");
        for (const std::string& each : c.later) text(each);
        text(c.wrenches);
        fields(c.signatures);
        text(c.check_rule);
    }

    const card::Card& card_;
    Blocks blocks_;
};

// What stands at the head of each page: left and right.
std::pair<std::vector<std::string>, std::vector<std::string>> head_of(const card::Card& card) {
    const card::Head& h = card.head;
    std::vector<std::string> left = {h.vehicle + " " + h.known_by, h.shop, h.title};
    left.insert(left.end(), h.identity.begin(), h.identity.end());
    std::vector<std::string> right = {h.blank, h.job, h.date, h.meter, h.revision};
    std::erase(left, "");
    std::erase(right, "");
    return {std::move(left), std::move(right)};
}

// -- groff ------------------------------------------------------------------------------------------------------------------
std::string quoted(std::string_view text) {
    constexpr std::string_view no_break_space = "\u00A0";
    std::string to = text.starts_with('.') || text.starts_with('\'') ? "\\&" : "";
    for (std::size_t at = 0; at < text.size();) {
        if (text.substr(at).starts_with(no_break_space)) {
            to += "\\ ";
            at += no_break_space.size();
            continue;
        }
        to += text[at] == '\\' ? std::string("\\e") : std::string(1, text[at]);
        ++at;
    }
    return to;
}

constexpr std::string_view groff_start = R"(.nr PS 10
.nr VS 12
.nr LL 18c
.nr PO 1.5c
.nr HM 2.5c
.nr FM 2c
.nr HY 0
.fam H
.ds tick \h'2p'\Z@\D'p 9p 0 0 -9p -9p 0'@\h'11p'
.ds box \h'2p'\v'3p'\Z@\D'p 46p 0 0 -14p -46p 0'@\v'-3p'\h'48p'
.P1
.LP
.na
)";

std::string repeated(std::string_view what, std::size_t times) {
    std::string to;
    while (times-- > 0) to += what;
    return to;
}

// -- Typst ------------------------------------------------------------------------------------------------------------------
std::string typst_text(std::string_view text) {
    std::string to = "#\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') to += '\\';
        to += c;
    }
    return to + "\";";
}

constexpr std::string_view typst_start = R"(#set text(font: "Noto Sans", size: 9.5pt)
#set par(leading: 0.5em, spacing: 0.7em)
#let tick = box(width: 4mm, height: 4mm, stroke: 0.8pt, baseline: 15%)
#let entry = box(width: 17mm, height: 6.5mm, stroke: 0.8pt, baseline: 30%)
#let heading-line(body) = block(above: 1.2em, text(size: 12pt, weight: "bold", body))
#let framed(head, body) = block(width: 100%, stroke: 1.5pt, inset: 5pt)[#strong(head) \ #body]
#let fields(..names) = grid(columns: (1fr, 1fr, 1fr), gutter: 4pt, ..names.pos().map(name => block(width: 100%, height: 12mm, stroke: 0.5pt, inset: 3pt, text(size: 8pt, name))))
)";

} // namespace

std::string groff_source(const card::Card& card) {
    std::string to(groff_start);
    const auto [left, right] = head_of(card);
    const auto joined = [](auto each, auto end) {
        std::string text;
        for (; each != end; ++each) text += (text.empty() ? "" : " ") + quoted(*each);
        return text;
    };
    // The vehicle and what is said of the card stand at the head of each page, the rest once.
    to = fmt::format(".ds LH {}\n.ds CH\n.ds RH {}\n.ds LF {}\n.ds CF\n.ds RF %\n", quoted(left.front()),
                     joined(right.begin(), right.end()), quoted(card.head.digest)) +
         to + joined(left.begin() + 1, left.end()) + "\n";
    bool table = false;
    const auto close = [&] {
        if (table) to += ".TE\n";
        table = false;
    };
    for (const Block& block : Outline(card).taken()) {
        if (block.is != Block::Is::row) close();
        switch (block.is) {
        case Block::Is::heading:
            to += fmt::format(".LP\n.sp 0.5\n.ft HB\n.ps 12\n{}\n.ft\n.ps\n.br\n", quoted(block.text));
            break;
        case Block::Is::text:
            to += fmt::format(".LP\n{}\n", quoted(block.text));
            break;
        case Block::Is::ticks:
        case Block::Is::items:
            to += fmt::format(".LP\n.B\n{}\n.R\n.fam H\n.br\n", quoted(block.text));
            for (const std::string& each : block.lines)
                to += fmt::format("{} {}\n.br\n", block.is == Block::Is::ticks ? "\\*[tick]" : "\\(bu", quoted(each));
            break;
        case Block::Is::framed:
            to += ".LP\n.TS\nbox expand;\nlx.\n";
            to += fmt::format("T{{\n\\fB{}\\fP\n.br\n", quoted(block.text));
            for (const std::string& each : block.lines) to += fmt::format("{}\n", quoted(each));
            to += "T}\n.TE\n";
            break;
        case Block::Is::fields:
            to += ".LP\n.TS\nallbox expand;\nlx.\n";
            for (const std::string& each : block.lines) to += fmt::format("T{{\n{}\n.sp 1\nT}}\n", quoted(each));
            to += ".TE\n";
            break;
        case Block::Is::columns: {
            std::string heads;
            for (const std::string& each : block.lines) heads += " " + quoted(each);
            if (block.ticks > 1) to += fmt::format(".LP\n{}\n", heads);
            break;
        }
        case Block::Is::row:
            if (!table) to += ".LP\n.TS\nexpand;\nn l lx lw(6c).\n";
            table = true;
            to += fmt::format("{}\t{}\tT{{\n.in {}p\n", block.number == 0 ? "" : std::to_string(block.number),
                              repeated("\\*[tick]", block.ticks), 10 * block.depth);
            for (const std::string& each : block.lines) to += quoted(each) + "\n.br\n";
            to += "T}\tT{\n";
            for (const Entry& each : block.entries)
                to += fmt::format("{}{}\n.br\n", quoted(each.text), repeated(" \\*[box]", each.boxes));
            to += "T}\n_\n";
            break;
        }
    }
    close();
    to += fmt::format(".LP\n{}\n{}\n", quoted(card.foot.text), quoted(card.foot.own));
    return to;
}

std::string typst_source(const card::Card& card) {
    const auto [left, right] = head_of(card);
    const auto stacked = [](const std::vector<std::string>& all) {
        std::string text;
        for (const std::string& each : all) text += (text.empty() ? "" : " \\ ") + typst_text(each);
        return text;
    };
    std::string to = fmt::format(
        "#set page(paper: \"a4\", margin: (x: 15mm, top: 32mm, bottom: 24mm), header: grid(columns: (1fr, auto), [{}], "
        "align(right)[{} {{{{round}}}}]), footer: context [#set text(size: 7pt); {} {} \\ {} {} "
        "#counter(page).display()])\n",
        stacked(left), stacked(right), typst_text(card.foot.text), typst_text(card.foot.own),
        typst_text(card.head.digest), typst_text(card.head.revision));
    to += typst_start;
    bool table = false;
    const auto close = [&] {
        if (table) to += ")\n";
        table = false;
    };
    for (const Block& block : Outline(card).taken()) {
        if (block.is != Block::Is::row) close();
        switch (block.is) {
        case Block::Is::heading:
            to += fmt::format("#heading-line[{}]\n", typst_text(block.text));
            break;
        case Block::Is::text:
            to += typst_text(block.text) + "\n\n";
            break;
        case Block::Is::ticks:
        case Block::Is::items:
            to += fmt::format("#strong[{}] \\\n", typst_text(block.text));
            for (const std::string& each : block.lines)
                to += fmt::format("{} {} \\\n", block.is == Block::Is::ticks ? "#tick" : "•", typst_text(each));
            to += "\n";
            break;
        case Block::Is::framed:
            to += fmt::format("#framed[{}][", typst_text(block.text));
            for (const std::string& each : block.lines) to += typst_text(each) + " ";
            to += "]\n";
            break;
        case Block::Is::fields:
            to += "#fields(";
            for (const std::string& each : block.lines) to += fmt::format("[{}],", typst_text(each));
            to += ")\n";
            break;
        case Block::Is::columns:
            to += "{{round}} ";
            for (const std::string& each : block.lines)
                if (!each.empty()) to += typst_text(each) + " ";
            to += "\n";
            break;
        case Block::Is::row:
            if (!table) to += "#table(columns: (8mm, auto, 1fr, 60mm), stroke: (bottom: 0.5pt), inset: 4pt,\n";
            table = true;
            to += fmt::format("[*{}*],[{}],[#pad(left: {}pt)[", block.number == 0 ? "" : std::to_string(block.number),
                              repeated("#tick ", block.ticks), 10 * block.depth);
            for (const std::string& each : block.lines) to += typst_text(each) + " \\\n";
            to += "]],[";
            for (const Entry& each : block.entries)
                to += fmt::format("{} {} \\\n", typst_text(each.text), repeated("#entry ", each.boxes));
            to += "],\n";
            break;
        }
    }
    close();
    return to;
}

} // namespace benchleaf::bench
