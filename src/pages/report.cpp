// Reports: what a customer gets, and a vehicle's readings over time. Blocks stand one under the other; no line, no reading and no plot is split.
#include "base/share_out.h"
#include "pages/check.h"
#include "pages/figures.h"
#include "pages/lay_out.h"
#include "pages/parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>
#include <utility>

namespace benchleaf::pages {

namespace {

using fonts::Face;

// White over a block, under its heading, between its parts, its lines; less of it where that saves a page.
struct ReportWhite {
    Length block, under_heading, part, line, row;
};
constexpr ReportWhite report_whites[] = {
    {pt(15), pt(5), pt(6), pt(3), pt(7)},
    {pt(9), pt(3), pt(4), pt(1.5), pt(4)},
    {pt(4), pt(1.5), pt(2), 0, pt(1)},
};

struct Leaf {
    Piece piece;
    Length above = 0; // where it is not the first on its page
    bool with_next = false;
    std::shared_ptr<const Piece> again; // what stands over it where it begins a page
    std::string place = {};             // for a message
};

class Setting {
public:
    Setting(Making& in, const ReportWhite& white, std::vector<Leaf>& to)
        : in_(in), s_(in.style), white_(white), to_(to) {}

    void add(const report::Report& report) {
        if (report.stop) to_.push_back({stop_block(in_, *report.stop, s_.sheet.width), white_.part, false, nullptr});
        for (const report::Block& block : report.blocks) {
            in_.setter.at("“" + block.heading + "”");
            const std::size_t from = to_.size();
            to_.push_back({heading(block.heading), white_.block, true, nullptr});
            continued_ = std::make_shared<const Piece>(heading(block.heading + " – " + report.words.continued));
            for (std::size_t i = 0; i < block.parts.size(); ++i) {
                above_ = to_.size() == from + 1 ? white_.under_heading : white_.part;
                std::visit(*this, block.parts[i]);
                // What a table's figures are held against stays with it.
                const bool over_table = i + 1 < block.parts.size() &&
                                        std::holds_alternative<report::Paragraph>(block.parts[i]) &&
                                        std::holds_alternative<report::Table>(block.parts[i + 1]);
                if (over_table) to_.back().with_next = true;
            }
            for (std::size_t i = from; i < to_.size(); ++i) to_[i].place = in_.setter.place();
        }
    }

    void operator()(const report::Paragraph& part) {
        put_leaf(in_.setter.paragraph(part.text, part.strong ? Face::bold : Face::regular, s_.sheet.width,
                                      {Role::text, s_.step}),
                 Role::list_item);
        above_ = white_.line;
    }

    void operator()(const report::Pairs& part) {
        Length widest = 0;
        for (const auto& [name, text] : part.lines)
            widest = std::max(widest, in_.setter.width(name, Face::regular, s_.step) + pt(1));
        const Length left = std::min(widest, s_.sheet.width * 52 / 100);
        const Length x = left + s_.gutter;
        for (const auto& [name, text] : part.lines) {
            Piece line = in_.setter.paragraph(name, Face::regular, left, {Role::text, s_.step});
            put(line, in_.setter.paragraph(text, Face::bold, s_.sheet.width - x, {Role::text, s_.step}), x, 0);
            put_leaf(std::move(line), Role::list_item);
            above_ = white_.line;
        }
    }

    void operator()(const report::Table& part) {
        const Length gap = pt(10);
        const std::size_t columns = part.heads.size();
        if (columns == 0) return;
        const std::vector<Length> widths = widths_of(part, gap);
        const auto line = [&](const std::vector<std::string>& cells, Face face, Role role) {
            Piece all;
            Length x = 0;
            for (std::size_t c = 0; c < columns; ++c) {
                const bool right = c < part.right.size() && part.right[c];
                if (c < cells.size())
                    put(all,
                        in_.setter.paragraph(cells[c], face, widths[c],
                                             {Role::text, s_.small, right ? Align::right : Align::left}),
                        x, 0);
                x += widths[c] + gap;
            }
            if (all.height == 0) all.height = line_height(s_.small);
            put(all,
                drawn(Role::rule, {0, all.height + pt(1), s_.sheet.width, role == Role::list_head ? pt(1) : pt(0.4)},
                      filled(0)));
            return piece_of(boxed(role, std::move(all), {}, s_.sheet.width));
        };
        Piece head = line(part.heads, Face::bold, Role::list_head);
        Piece over = *continued_;
        put_under(over, head, white_.under_heading);
        const auto again = std::make_shared<const Piece>(std::move(over));
        to_.push_back({std::move(head), above_, true, continued_});
        for (std::size_t r = 0; r < part.rows.size(); ++r)
            to_.push_back(
                {line(part.rows[r], Face::regular, Role::list_item), pt(1.5), r == 0 && part.rows.size() > 1, again});
        above_ = white_.part;
    }

    // Its name and limit in one line, under it the sides, two in a line.
    void operator()(const report::Readings& part) {
        const Length lead = s_.panel_bar + pt(5);
        const Length gap = pt(14);
        const Length column = (s_.sheet.width - gap) / 2;
        for (const report::Measured& each : part.list) {
            Piece thing = in_.setter.paragraph(
                {{each.name, Face::bold}, {each.limit.empty() ? "" : "  ", Face::regular}, {each.limit, Face::regular}},
                s_.sheet.width, {Role::text, s_.step});
            for (std::size_t i = 0; i < each.sides.size(); i += 2) {
                Piece line;
                for (std::size_t k = i; k < std::min(i + 2, each.sides.size()); ++k)
                    put(line, side(each.sides[k], column, lead), k == i ? 0 : column + gap, 0);
                if (i == 0) {
                    put_under(thing, std::move(line), pt(1));
                    put_leaf(std::move(thing), Role::list_item);
                } else {
                    put_leaf(std::move(line), Role::list_item);
                }
                above_ = i + 2 < each.sides.size() ? white_.line : white_.row;
            }
        }
        above_ = white_.part;
    }

    void operator()(const report::Plot& plot) { put_leaf(plotted(plot), Role::plot); }

    void operator()(const report::Signatures& part) {
        std::vector<Piece> all;
        for (const report::Signature& each : part.list) {
            Piece one;
            put_under(one, in_.setter.paragraph(each.role, Face::regular, s_.sheet.width, {Role::label, s_.fine}), 0);
            put_under(one, in_.setter.paragraph(each.who, Face::bold, s_.sheet.width, {Role::text, s_.step}), 0);
            all.push_back(piece_of(boxed(Role::sign_off, std::move(one))));
        }
        put_leaf(flow(std::move(all), s_.sheet.width, pt(24), white_.line + pt(2)), Role::list_item);
    }

private:
    Piece side(const report::Measured::Side& of, Length width, Length lead) {
        const Length room = width - lead;
        const std::string name = of.name.empty() ? std::string() : of.name + "  ";
        const std::string verdict = of.verdict.empty() ? std::string() : "  " + of.verdict;
        Piece inside = in_.setter.paragraph({{name, Face::regular},
                                             {in_one_piece(of.read), Face::bold},
                                             {verdict, of.bad ? Face::bold : Face::regular}},
                                            room, {Role::text, s_.small});
        if (of.bar) put_under(inside, wear_bar(in_, *of.bar, room), 0);
        Piece all;
        put(all, std::move(inside), lead, 0);
        // What is not good is barred, so that it is found without colour.
        if (of.bad) put(all, drawn(Role::bar, {0, 0, s_.panel_bar, all.height}, filled(0)));
        return all;
    }

    void put_leaf(Piece piece, Role role) {
        if (piece.empty()) return;
        to_.push_back({piece_of(boxed(role, std::move(piece), {}, s_.sheet.width)), above_, false, continued_});
        above_ = white_.part;
    }

    Piece heading(const std::string& text) {
        Piece all = in_.setter.paragraph(text, Face::bold, s_.sheet.width, {Role::text, s_.head});
        put(all, drawn(Role::rule, {0, all.height + pt(1.5), s_.sheet.width, pt(1.5)}, filled(0)));
        return piece_of(boxed(Role::section_head, std::move(all), {}, s_.sheet.width));
    }

    // As wide as what stands in them; where that is too much the widest give way, down to what is left for each.
    std::vector<Length> widths_of(const report::Table& table, Length gap) {
        const std::size_t columns = table.heads.size();
        std::vector<Length> natural(columns, 0);
        for (std::size_t c = 0; c < columns; ++c) {
            natural[c] = in_.setter.width(table.heads[c], Face::bold, s_.small) + pt(1);
            for (const auto& row : table.rows)
                if (c < row.size())
                    natural[c] = std::max(natural[c], in_.setter.width(row[c], Face::regular, s_.small) + pt(1));
        }
        return base::share_out<Length>(s_.sheet.width - gap * static_cast<Length>(columns - 1), natural, pt(10));
    }

    // -- The plot ----------------------------------------------------------------------------------------------------------------------
    // A sign for each series: a filled square, an open circle, a filled triangle, an open square; told by shape and not by tone.
    static void sign(Drawing& to, std::size_t series, Point at) {
        const Length half = pt(3);
        const Rect in{at.x - half, at.y - half, 2 * half, 2 * half};
        std::vector<Point> shape;
        if (series % 4 == 1) {
            for (int i = 0; i < 16; ++i) {
                const double turn = 2 * std::numbers::pi * i / 16;
                shape.push_back({at.x + static_cast<Length>(std::lround(half * std::cos(turn))),
                                 at.y + static_cast<Length>(std::lround(half * std::sin(turn)))});
            }
        } else if (series % 4 == 2) {
            shape = triangle_up(in);
        } else {
            shape = {{in.x, in.y}, {in.right(), in.y}, {in.right(), in.bottom()}, {in.x, in.bottom()}};
        }
        const bool open = series % 2 == 1;
        if (!open) {
            to.areas.push_back({std::move(shape), 0});
            return;
        }
        std::vector<Point> round = shape;
        round.push_back(shape.front());
        to.lines.push_back({std::move(round), pt(1.2), 0, 0});
    }

    // A short piece of what is drawn, and what it means.
    Piece explained(Drawing drawing, Length wide, const std::string& text) {
        Piece all;
        const Length tall = line_height(s_.fine);
        put(all, drawn(Role::mark, {0, 0, wide, tall}, std::move(drawing)));
        put(all,
            in_.setter.paragraph(in_one_piece(text), Face::regular, s_.sheet.width - wide - pt(4),
                                 {Role::label, s_.fine}),
            wide + pt(4), 0);
        return all;
    }

    Piece legend_of(const report::Plot& plot, Length width) {
        const Length tall = line_height(s_.fine);
        const Length middle = tall / 2;
        std::vector<Piece> parts;
        for (std::size_t i = 0; i < plot.series.size(); ++i) {
            if (plot.series[i].name.empty()) continue;
            Drawing drawing;
            sign(drawing, i, {pt(5), middle});
            parts.push_back(explained(std::move(drawing), pt(10), plot.series[i].name));
        }
        const auto stroke = [&](Line line, const std::string& text) {
            line.points = {{pt(1), middle}, {pt(21), middle}};
            Drawing drawing;
            drawing.lines.push_back(std::move(line));
            parts.push_back(explained(std::move(drawing), pt(22), text));
        };
        const auto any = [&](auto member) {
            return std::any_of(plot.series.begin(), plot.series.end(),
                               [&](const auto& each) { return !(each.*member).empty(); });
        };
        if (any(&report::Plot::Series::line)) stroke(through, plot.line_text);
        if (any(&report::Plot::Series::expected)) stroke(ahead, plot.expected_text);
        if (any(&report::Plot::Series::soonest)) stroke(fastest, plot.soonest_text);
        if (plot.limit) stroke(at_limit, plot.limit_text);
        if (plot.guarded) stroke(guard, plot.guarded_text);
        const auto upright = [&](const Line& line, const std::string& text) {
            Drawing drawing;
            Line drawn_line = line;
            drawn_line.points = {{pt(5), pt(1)}, {pt(5), tall - pt(1)}};
            drawing.lines.push_back(std::move(drawn_line));
            parts.push_back(explained(std::move(drawing), pt(10), text));
        };
        if (any(&report::Plot::Series::renewed)) upright(renewal, plot.renewed_text);
        if (plot.next_service) upright(service, plot.next_service_text);
        return flow(std::move(parts), width, pt(14), pt(2));
    }

    static inline const Line through{{}, pt(1), 0, 0};
    static inline const Line ahead{{}, pt(1), 0, pt(5)};
    static inline const Line fastest{{}, pt(1), 0, pt(2)};
    static inline const Line at_limit{{}, pt(2.2), 0, 0};
    static inline const Line guard{{}, pt(0.5), 0, 0};
    static inline const Line renewal{{}, pt(2.2), 0, pt(2.2)};
    static inline const Line service{{}, pt(0.7), 0, 0};

    Piece plotted(const report::Plot& plot) {
        const Length height = s_.paper == Paper::a5 ? pt(120) : pt(150);
        Length label = 0;
        for (const auto& tick : plot.y.ticks)
            label = std::max(label, in_.setter.width(tick.text, Face::regular, s_.fine) + pt(1));
        const Length left = label + pt(5);
        const Length top = line_height(s_.fine) + pt(2);
        const Rect area{left, top, s_.sheet.width - left - pt(2), height};
        // Signs at its edge stay inside of it.
        const Length in_by = pt(4);
        const auto x_of = [&](double x) {
            const double part = (x - plot.x.from) / (plot.x.to - plot.x.from);
            return area.x + in_by +
                   static_cast<Length>(std::lround(std::clamp(part, 0.0, 1.0) * (area.width - 2 * in_by)));
        };
        const auto y_of = [&](double y) {
            const double part = (y - plot.y.from) / (plot.y.to - plot.y.from);
            return area.bottom() - in_by -
                   static_cast<Length>(std::lround(std::clamp(part, 0.0, 1.0) * (area.height - 2 * in_by)));
        };
        Piece all;
        put(all, in_.setter.paragraph(plot.y.name, Face::regular, area.width, {Role::label, s_.fine}), left, 0);
        Drawing drawing;
        const auto draw = [&](Line line, std::vector<Point> points) {
            line.points = std::move(points);
            drawing.lines.push_back(std::move(line));
        };
        const auto level = [&](const Line& line, double y) {
            draw(line, {{area.x, y_of(y)}, {area.right(), y_of(y)}});
        };
        const auto upright = [&](const Line& line, double x) {
            draw(line, {{x_of(x), area.y}, {x_of(x), area.bottom()}});
        };
        const Line grid{{}, pt(0.4), 185, 0};
        for (const auto& tick : plot.y.ticks) level(grid, tick.at);
        for (const auto& tick : plot.x.ticks) upright(grid, tick.at);
        draw({{}, pt(1), 0, 0}, {{area.x, area.y}, {area.x, area.bottom()}, {area.right(), area.bottom()}});
        if (plot.limit) level(at_limit, *plot.limit);
        if (plot.guarded) level(guard, *plot.guarded);
        if (plot.next_service) upright(service, *plot.next_service);
        const auto ray = [&](const Line& line, const std::vector<report::Plot::Point>& points) {
            if (points.size() != 2) return;
            draw(line, {{x_of(points[0].x), y_of(points[0].y)}, {x_of(points[1].x), y_of(points[1].y)}});
        };
        for (std::size_t i = 0; i < plot.series.size(); ++i) {
            const auto& side = plot.series[i];
            for (const double x : side.renewed) upright(renewal, x);
            ray(through, side.line);
            ray(ahead, side.expected);
            ray(fastest, side.soonest);
            for (const auto& each : side.read) sign(drawing, i, {x_of(each.x), y_of(each.y)});
        }
        put(all, drawn(Role::picture, area, std::move(drawing)));
        Length lowest = area.bottom() + pt(10);
        for (const auto& tick : plot.y.ticks) { // from below, those that have room
            const Length y = y_of(tick.at) - line_height(s_.fine) / 2;
            if (y + line_height(s_.fine) > lowest || y < top - pt(1)) continue;
            put(all, in_.setter.paragraph(tick.text, Face::regular, label, {Role::label, s_.fine, Align::right}), 0, y);
            lowest = y;
        }
        Length free_from = 0;
        const Length under = std::max(area.bottom() + pt(2), all.height);
        for (const auto& tick : plot.x.ticks) {
            const Length wide = in_.setter.width(tick.text, Face::regular, s_.fine) + pt(1);
            const Length x = std::clamp<Length>(x_of(tick.at) - wide / 2, 0, s_.sheet.width - wide);
            if (x < free_from) continue;
            put(all, in_.setter.paragraph(tick.text, Face::regular, wide, {Role::label, s_.fine}), x, under);
            free_from = x + wide + pt(8);
        }
        put_under(
            all, in_.setter.paragraph(plot.x.name, Face::regular, s_.sheet.width, {Role::label, s_.fine, Align::right}),
            0);
        put_under(all, legend_of(plot, s_.sheet.width - left), pt(2), left);
        return all;
    }

    Making& in_;
    const Style& s_;
    const ReportWhite& white_;
    std::vector<Leaf>& to_;
    Length above_ = 0;
    std::shared_ptr<const Piece> continued_; // the block's heading on a new page
};

class ReportFiller {
public:
    ReportFiller(Making& in, Rect body, messages::Messages& out) : in_(in), body_(body), out_(out), y_(body.y) {}

    std::vector<Box> fill(const std::vector<Leaf>& leaves) {
        for (std::size_t i = 0; i < leaves.size();) {
            // What is kept on one page with it.
            std::size_t end = i;
            Length tall = 0;
            for (;; ++end) {
                tall += (end == i ? 0 : leaves[end].above) + leaves[end].piece.height;
                if (!leaves[end].with_next || end + 1 == leaves.size()) break;
            }
            const bool first = boxes_.empty();
            if (!first && y_ + leaves[i].above + tall > body_.bottom()) open();
            Length above = boxes_.empty() ? 0 : leaves[i].above;
            if (boxes_.empty() && leaves[i].again) {
                place(*leaves[i].again);
                above = leaves[i].above;
            }
            if (y_ + above + tall > body_.bottom()) {
                too_tall(leaves[i], y_ + above + tall - body_.bottom());
                return {};
            }
            for (std::size_t k = i; k <= end; ++k) {
                y_ += k == i ? above : leaves[k].above;
                place(leaves[k].piece);
            }
            i = end + 1;
        }
        close();
        return std::move(bodies_);
    }

private:
    void place(Piece piece) {
        const Length tall = piece.height;
        for (Box& box : piece.boxes) {
            move_by(box, in_.style.sheet.x, y_);
            boxes_.push_back(std::move(box));
        }
        y_ += tall;
    }
    void open() {
        close();
        y_ = body_.y;
    }
    void close() {
        if (boxes_.empty() && !bodies_.empty()) return;
        Box body = drawn(Role::body, body_, {});
        body.children = std::move(boxes_);
        boxes_.clear();
        bodies_.push_back(std::move(body));
    }
    void too_tall(const Leaf& leaf, Length over) {
        messages::Message message;
        message.rule = &checks::step_too_tall.rule;
        message.text = fmt::format("{} is {} mm taller than a page of {} paper", leaf.place,
                                   static_cast<int>(over * 254LL / 720000 + 1), name(in_.style.paper));
        message.help = "write it shorter, or print on larger paper";
        out_.add(std::move(message));
    }

    Making& in_;
    Rect body_;
    messages::Messages& out_;
    Length y_;
    std::vector<Box> boxes_;
    std::vector<Box> bodies_;
};

} // namespace

std::optional<Pages> lay_out(const report::Report& report, Paper paper, messages::Messages& out) {
    const std::size_t errors = out.count(messages::Level::error);
    card::Card shell; // what heads and feet are made from
    shell.language = report.language;
    shell.head = report.head;
    shell.foot = report.foot;
    shell.words = report.words;
    const Style style = style_for(paper);
    Setter setter(report.language, out);
    Making in{shell, style, setter, code_square(style, report.head.code, true)};
    const Length bottom = std::min(body_bottom(in, 1), foot(in, widest_number, widest_number).at.y - pt(8));
    const Length top = head(in, widest_number, widest_number).at.bottom() + pt(9);
    const Rect body{style.sheet.x, top, style.sheet.width, bottom - top};
    const auto filled = [&](const ReportWhite& white) {
        std::vector<Leaf> leaves;
        Setting(in, white, leaves).add(report);
        return ReportFiller(in, body, out).fill(leaves);
    };
    std::vector<Box> bodies = filled(report_whites[0]);
    for (const ReportWhite& white : report_whites) {
        if (bodies.size() == 1 || out.count(messages::Level::error) != errors) break;
        std::vector<Box> less = filled(white);
        if (less.size() < bodies.size()) bodies = std::move(less);
    }
    if (out.count(messages::Level::error) != errors) return std::nullopt;
    Pages pages;
    pages.paper = paper;
    for (std::size_t number = 1; number <= bodies.size(); ++number) {
        Page page;
        page.boxes.push_back(head(in, number, bodies.size()));
        page.boxes.push_back(std::move(bodies[number - 1]));
        page.boxes.push_back(foot(in, number, bodies.size()));
        pages.pages.push_back(std::move(page));
    }
    return pages;
}

} // namespace benchleaf::pages
