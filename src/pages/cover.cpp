// The cover sheet: which vehicle, what its owner says, which cards, all that is to be fetched for them, and who works on it. Lists stand in
// columns of one height; what does not fit one page goes over to the next between two lines.
#include "pages/check.h"
#include "pages/lay_out.h"
#include "pages/parts.h"

#include "base/require.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <map>
#include <utility>

namespace benchleaf::pages {

namespace {

using fonts::Face;

constexpr Length fetch_tick = mm(5); // the least that a tick box may be: there are many
constexpr std::size_t one_column_of_cards = 7;
constexpr std::size_t one_column_of_torques = 5;

// White between parts, lists and lines, and whether the wrenches stand across the sheet; less of it where that saves a page.
struct White {
    Length part, under_title, list, card, line;
    bool wrenches_across;
};
constexpr White whites[] = {
    {pt(14), pt(5), pt(9), pt(4.5), pt(2.5), true},
    {pt(8), pt(3.5), pt(5), pt(2), pt(1), true},
    {pt(6), pt(3), pt(4), pt(2), pt(0.5), false},
};

struct Item {
    Piece piece;
    Length above = 0; // white over it, where it is not the first of its column
    bool with_next = false;
    int list = -1; // whose head is said again at the top of another column
    bool is_head = false;
};

// Lines in columns, under a title that stands with the first of them.
struct Group {
    Piece title;
    Length above = 0; // the title, where it is not the first on its page
    Length under = 0; // the title
    std::vector<Item> items;
    std::vector<Piece> continued; // heads of the lists
    std::size_t columns = 1;
    Length width = 0;
    Length gutter = 0;
    std::string place; // for a message
};

// From an item on, as many as a column of that height holds.
struct FilledColumn {
    std::size_t from = 0, end = 0;
    Length height = 0;
};

bool goes_on(const Group& group, std::size_t from) {
    return from < group.items.size() && group.items[from].list >= 0 && !group.items[from].is_head;
}

FilledColumn column(const Group& group, std::size_t from, Length most) {
    FilledColumn made{from, from, 0};
    if (goes_on(group, from)) made.height = group.continued[static_cast<std::size_t>(group.items[from].list)].height;
    while (made.end < group.items.size()) {
        Length sum = made.height;
        std::size_t at = made.end;
        for (;; ++at) {
            sum += (sum == 0 ? 0 : group.items[at].above) + group.items[at].piece.height;
            if (!group.items[at].with_next || at + 1 == group.items.size()) break;
        }
        if (sum > most) break;
        made.end = at + 1;
        made.height = sum;
    }
    return made;
}

std::vector<FilledColumn> filled_columns(const Group& group, std::size_t from, Length most) {
    std::vector<FilledColumn> all;
    while (all.size() < group.columns && from < group.items.size()) {
        all.push_back(column(group, from, most));
        if (all.back().end == from) break;
        from = all.back().end;
    }
    return all;
}

bool holds_all(const Group& group, const std::vector<FilledColumn>& columns) {
    return columns.empty() || columns.back().end == group.items.size();
}

// As low as can be: raised by a point until all of it fits, or the page is full.
std::vector<FilledColumn> balanced(const Group& group, std::size_t from, Length most) {
    Length sum = 0;
    for (std::size_t i = from; i < group.items.size(); ++i) sum += group.items[i].piece.height;
    for (Length limit = sum / static_cast<Length>(group.columns); limit < most; limit += pt(1)) {
        std::vector<FilledColumn> all = filled_columns(group, from, limit);
        if (holds_all(group, all)) return all;
    }
    return filled_columns(group, from, most);
}

class CoverFiller {
public:
    CoverFiller(Making& in, Rect first, Rect later, messages::Messages& out) : in_(in), out_(out), later_(later) {
        open(first);
    }

    void add(Group group) {
        in_.setter.at(group.place);
        Length above = nothing_here() ? 0 : group.above;
        const Length titled = group.title.empty() ? 0 : group.title.height + group.under;
        std::size_t from = 0;
        // A title does not stand alone, nor with a line or two of many.
        const Length start = std::max(std::min<Length>(pt(70), height_of(group)), first_of(group));
        if (!nothing_here() && y_ + above + titled + start > body_.bottom()) {
            open(later_);
            above = 0;
        }
        y_ += above;
        if (!group.title.empty()) {
            place(std::move(group.title), 0);
            y_ += titled;
        }
        while (from < group.items.size()) {
            const std::vector<FilledColumn> columns = balanced(group, from, body_.bottom() - y_);
            if (columns.back().end == from) {
                if (nothing_here()) {
                    too_tall(group, from);
                    return;
                }
                open(later_);
                continue;
            }
            Length lowest = 0;
            for (std::size_t c = 0; c < columns.size(); ++c) {
                lowest = std::max(lowest, columns[c].height);
                const Length x = static_cast<Length>(c) * (group.width + group.gutter);
                Piece all;
                if (goes_on(group, columns[c].from))
                    put_under(all, group.continued[static_cast<std::size_t>(group.items[columns[c].from].list)], 0);
                for (std::size_t i = columns[c].from; i < columns[c].end; ++i)
                    put_under(all, std::move(group.items[i].piece), group.items[i].above);
                place(std::move(all), x);
            }
            y_ += lowest;
            from = columns.back().end;
            if (from < group.items.size()) open(later_);
        }
    }

    std::vector<Box> bodies() {
        close();
        return std::move(bodies_);
    }

private:
    bool nothing_here() const { return boxes_.empty(); }

    // What is kept together at its top.
    static Length first_of(const Group& group) {
        Length sum = 0;
        for (std::size_t i = 0; i < group.items.size(); ++i) {
            sum += (i == 0 ? 0 : group.items[i].above) + group.items[i].piece.height;
            if (!group.items[i].with_next) break;
        }
        return sum;
    }

    // What its columns would take if they were of one height.
    static Length height_of(const Group& group) {
        Length sum = 0;
        for (const Item& item : group.items) sum += item.above + item.piece.height;
        return sum / static_cast<Length>(group.columns);
    }

    void place(Piece piece, Length x) {
        for (Box& box : piece.boxes) {
            move_by(box, in_.style.sheet.x + x, y_);
            boxes_.push_back(std::move(box));
        }
    }

    void open(Rect body) {
        close();
        body_ = body;
        y_ = body.y;
    }
    void close() {
        if (boxes_.empty()) return;
        Box body = drawn(Role::body, body_, {});
        body.children = std::move(boxes_);
        boxes_.clear();
        bodies_.push_back(std::move(body));
    }

    void too_tall(const Group& group, std::size_t item) {
        messages::Message message;
        message.rule = &checks::step_too_tall.rule;
        const Length over = group.items[item].piece.height - (body_.bottom() - y_);
        message.text =
            fmt::format("{} is {} mm taller than a page of {} paper", group.place,
                        static_cast<int>(std::max<Length>(over, 0) * 254LL / 720000 + 1), name(in_.style.paper));
        message.help = "write it shorter, or print on larger paper";
        out_.add(std::move(message));
    }

    Making& in_;
    messages::Messages& out_;
    Rect later_;
    Rect body_;
    Length y_ = 0;
    std::vector<Box> boxes_;
    std::vector<Box> bodies_;
};

std::string in_one_line(const std::vector<std::string>& parts) {
    std::string text;
    for (const std::string& part : parts) {
        if (part.empty()) continue;
        if (!text.empty()) text += " · ";
        text += part;
    }
    return text;
}

// A title over a rule, and at its right what goes with it.
Piece section_title(Making& in, std::string_view title, std::string_view beside, std::string_view over_column,
                    std::size_t columns, Length width, Length gutter) {
    const Style& s = in.style;
    Piece all = in.setter.paragraph(title, Face::bold, s.sheet.width, {Role::text, s.head});
    const Length base = ascent(s.head);
    if (!beside.empty()) {
        const Length x = all.width + pt(10);
        const Length column = over_column.empty() ? 0 : in.setter.width(over_column, Face::regular, s.fine) + pt(10);
        const Length most = (columns == 1 || column == 0 ? s.sheet.width : width) - column;
        if (in.setter.width(beside, Face::regular, s.small) <= most - x)
            put(all, in.setter.paragraph(beside, Face::regular, most - x, {Role::label, s.small}), x,
                base - ascent(s.small));
        else
            put(all,
                in.setter.paragraph(beside, Face::regular, std::min(most, s.sheet.width * 6 / 10),
                                    {Role::label, s.small}),
                0, all.height);
    }
    if (!over_column.empty())
        for (std::size_t c = 0; c < columns; ++c) {
            const Length wide = in.setter.width(over_column, Face::regular, s.fine) + pt(0.5);
            put(all, in.setter.paragraph(over_column, Face::regular, wide, {Role::label, s.fine}),
                static_cast<Length>(c) * (width + gutter) + width - wide,
                std::max<Length>(all.height - line_height(s.fine), 0));
        }
    Piece whole;
    const Length y = all.height + pt(2);
    put(whole, std::move(all), 0, 0);
    put(whole, drawn(Role::rule, {0, y, s.sheet.width, pt(1.5)}, filled(0)));
    return piece_of(boxed(Role::section_head, std::move(whole), {}, s.sheet.width));
}

// A piece with what would stand over its top moved under it.
Piece from_the_top(Piece piece) {
    Length above = 0;
    for (const Box& box : piece.boxes) above = std::min(above, box.at.y);
    if (above == 0) return piece;
    Piece moved;
    put(moved, std::move(piece), 0, -above);
    return moved;
}

// -- The head of the first page: the vehicle can be read from across the bench ----------------------------------------------------------
Box cover_head(Making& in, const std::string& next_service, std::size_t pages) {
    const Style& s = in.style;
    const card::Head& h = in.card.head;
    in.setter.at("the head of the cover sheet");
    const bool small = s.paper == Paper::a5;
    Piece all;
    auto [right, tall] = put_code(in, all);
    const Length most = s.sheet.width * 3 / 10;
    Piece job;
    const auto line = [&](std::string_view text, Face face, Length size) {
        put_under(job, in.setter.paragraph(text, face, most, {Role::text, size, Align::right}), 0);
    };
    line(in.card.words.job + " " + h.job, Face::bold, s.keep);
    line(h.date, Face::regular, s.step);
    line(h.title, Face::bold, s.small);
    if (pages > 1) line(with_numbers(in.card.words.page_of, 1, pages), Face::bold, s.small);
    Length job_left = right;
    for (const Box& box : job.boxes) job_left = std::min(job_left, right - most + box.at.x);
    put(all, std::move(job), right - most, 0);

    const Length room = job_left - pt(14) - s.sheet.x;
    const Length large = small ? pt(19) : pt(24);
    Piece name;
    put_under(name, in.setter.paragraph(h.shop, Face::regular, room, {Role::text, s.small}), 0);
    put_under(name, in.setter.paragraph(h.vehicle, Face::bold, room, {Role::text, large}), 0);
    put(all, std::move(name), s.sheet.x, 0);

    // The registration in a frame, as it stands on the vehicle; the rest of what it is known by beside it.
    Piece second;
    const Length y = std::max(all.height, tall) + pt(3);
    Length x = 0;
    if (!h.known_by.empty()) {
        const Length pad = pt(8);
        Piece inside;
        Piece known = in.setter.paragraph(h.known_by, Face::bold, s.sheet.width - 2 * pad, {Role::text, s.torque});
        const Length wide = known.width + 2 * pad;
        put(inside, std::move(known), pad, pt(1));
        const Length high = inside.height + pt(1);
        Box plate = boxed(Role::label, std::move(inside), {}, wide, high);
        plate.paint = framed(pt(2.2), pt(4));
        put(second, piece_of(std::move(plate)), 0, 0);
        x = second.width + pt(12);
    }
    Piece rest;
    const bool beside = s.sheet.width - x >= pt(150);
    const Length wide = beside ? s.sheet.width - x : s.sheet.width;
    put_under(rest, in.setter.paragraph(in_one_line(h.identity), Face::regular, wide, {Role::text, s.step}), 0);
    put_under(rest, in.setter.paragraph(h.meter, Face::bold, wide, {Role::text, s.keep}), 0);
    if (h.meter.empty())
        put_under(rest, in.setter.paragraph(next_service, Face::regular, wide, {Role::text, s.step}), 0);
    else if (!next_service.empty()) {
        const Length x_next = rest.boxes.back().at.width + pt(10);
        if (x_next + in.setter.width(next_service, Face::regular, s.step) <= wide)
            put(rest, in.setter.paragraph(next_service, Face::regular, wide, {Role::text, s.step}), x_next,
                rest.boxes.back().at.y + ascent(s.keep) - ascent(s.step));
        else
            put_under(rest, in.setter.paragraph(next_service, Face::regular, wide, {Role::text, s.step}), 0);
    }
    if (beside) {
        const Length down = std::max<Length>(0, (second.height - rest.height) / 2);
        put(second, std::move(rest), x, down);
    } else {
        put_under(second, std::move(rest), pt(3));
    }
    put(all, std::move(second), s.sheet.x, y);
    const Length end = all.height + pt(5);
    put(all, drawn(Role::rule, {s.sheet.x, end, s.sheet.width, pt(2.5)}, filled(0)));
    Box box = boxed(Role::head, std::move(all));
    box.at = {s.sheet.x, 0, s.sheet.width, box.at.height};
    move_by(box, 0, s.sheet.y);
    return box;
}

// -- What the customer says, as he said it ------------------------------------------------------------------------------------------------
Group customer(Making& in, const card::Cover& cover) {
    const Style& s = in.style;
    Group group;
    group.place = "the customer's part of the cover sheet";
    in.setter.at(group.place);
    group.above = pt(10);
    group.width = s.sheet.width;
    const Length lead = s.panel_bar + s.panel_pad;
    const Length room = s.sheet.width - lead;
    // Each line may go to another page; the bar stands at the left of all.
    const auto add = [&](Piece line, Length above, bool with_next) {
        Piece whole;
        const Length tall = line.height + above;
        put(whole, piece_of(drawn(Role::bar, {0, 0, s.panel_bar, tall}, filled(0))), 0, 0);
        put(whole, std::move(line), lead, above);
        group.items.push_back({std::move(whole), 0, with_next});
    };
    if (!cover.customer.empty())
        add(in.setter.paragraph({{cover.own.customer + "  ", Face::regular}, {cover.customer, Face::bold}}, room,
                                {Role::text, s.step}),
            0, false);
    if (!cover.says.empty()) {
        add(in.setter.paragraph(cover.own.says, Face::regular, room, {Role::label, s.small}),
            cover.customer.empty() ? 0 : pt(2), true);
        Piece words = in.setter.paragraph(cover.says, Face::bold, room, {Role::text, s.head});
        base::require(words.boxes.size() <= 1, "a paragraph is one box");
        for (Box& box : words.boxes) {
            if (box.children.empty()) {
                add(piece_of(std::move(box)), 0, false);
                continue;
            }
            for (Box& one : box.children) {
                const Length height = line_height(s.head);
                move_by(one, 0, -one.at.y);
                Piece piece = piece_of(std::move(one));
                piece.height = height;
                add(std::move(piece), 0, false);
            }
        }
    }
    return group;
}

// -- The cards ----------------------------------------------------------------------------------------------------------------------------
Group work(Making& in, const card::Cover& cover, const White& white, const std::vector<std::string>& where,
           bool bound) {
    const Style& s = in.style;
    Group group;
    group.place = "the list of cards on the cover sheet";
    in.setter.at(group.place);
    group.above = white.part;
    group.under = white.under_title;
    group.columns = s.paper == Paper::a5 || cover.cards.size() <= one_column_of_cards ? 1 : 2;
    group.gutter = pt(20);
    group.width = (s.sheet.width + group.gutter) / static_cast<Length>(group.columns) - group.gutter;
    group.title = section_title(
        in, cover.own.work,
        in_one_line({cover.minutes.empty() ? "" : cover.words.minutes + " " + cover.minutes, cover.stopped}),
        bound ? cover.own.sheets : cover.own.pages, group.columns, group.width, group.gutter);
    Length number = 0;
    Length sheets = 0;
    for (const card::CoverCard& card : cover.cards)
        number = std::max(number, in.setter.width(std::to_string(card.number), Face::bold, s.figure));
    for (const std::string& each : where) sheets = std::max(sheets, in.setter.width(each, Face::bold, s.step));
    number += pt(7);
    for (std::size_t i = 0; i < cover.cards.size(); ++i) {
        const card::CoverCard& card = cover.cards[i];
        const Length text_x = number + s.tick + pt(8);
        const Length room = group.width - text_x - sheets - pt(8);
        const std::string minutes = in_one_piece(card.minutes);
        Piece words = in.setter.paragraph(
            {{card.title, Face::bold}, {card.minutes.empty() ? "" : "  ", Face::regular}, {minutes, Face::regular}},
            room, {Role::text, s.step});
        const Length down = std::max<Length>(0, s.tick / 2 + cap_height(s.step) / 2 - ascent(s.step));
        Piece row;
        put(row, in.setter.paragraph(std::to_string(card.number), Face::bold, number, {Role::number, s.figure}), 0,
            down + ascent(s.step) - ascent(s.figure));
        put(row, tick(s.tick, fmt::format("cover/card-{}", card.number)), number, 0);
        put(row, std::move(words), text_x, down);
        if (!where[i].empty()) {
            const Length wide = in.setter.width(where[i], Face::bold, s.step) + pt(0.5);
            put(row, in.setter.paragraph(where[i], Face::bold, wide, {Role::text, s.step}), group.width - wide, down);
        }
        row.width = group.width;
        Piece item = piece_of(boxed(Role::list_item, from_the_top(std::move(row))));
        // In one column a title is far from its sheets: a rule leads the eye.
        const bool ruled = group.columns == 1 && i > 0;
        if (ruled) {
            Piece under;
            put(under, drawn(Role::rule, {0, 0, group.width, pt(0.85)}, filled(110)));
            put(under, std::move(item), 0, pt(0.85) + white.card * 2 / 3);
            item = std::move(under);
        }
        group.items.push_back({std::move(item), ruled ? white.card * 2 / 3 : white.card});
    }
    return group;
}

// -- Each torque, and where it stands ------------------------------------------------------------------------------------------------------
Group torques(Making& in, const card::Cover& cover, const White& white, const std::vector<std::string>& where,
              bool bound) {
    const Style& s = in.style;
    Group group;
    group.place = "the torques on the cover sheet";
    in.setter.at(group.place);
    group.above = white.part;
    group.under = white.under_title;
    group.columns = s.paper == Paper::a5 || cover.torques.size() <= one_column_of_torques ? 1 : 2;
    group.gutter = pt(20);
    group.width = (s.sheet.width + group.gutter) / static_cast<Length>(group.columns) - group.gutter;
    group.title = section_title(in, cover.words.torques, {}, bound ? cover.own.sheets : cover.own.pages, group.columns,
                                group.width, group.gutter);
    const Length value = width_of_values(in, cover.torques, group.width);
    for (std::size_t i = 0; i < cover.torques.size(); ++i)
        group.items.push_back({torque_line(in, cover.torques[i], value, group.width, where[i]), white.line});
    return group;
}

// -- All that is to be fetched ------------------------------------------------------------------------------------------------------------
// Where the columns of a wrench's line stand: after its name what is known of it.
struct WrenchColumns {
    Length about = 0;
};

Piece to_fetch(Making& in, const card::CoverLine& line, Length width, const WrenchColumns* columns, std::string name) {
    const Style& s = in.style;
    const Length text_x = fetch_tick + pt(5);
    const std::string cards = card::numbers(line.cards);
    const Length most = width * 35 / 100;
    const Length numbers = cards.empty() ? 0 : std::min(most, in.setter.width(cards, Face::regular, s.fine) + pt(0.5));
    const Length room = width - text_x - numbers - pt(5);
    const bool is_wrench = !line.about.empty();
    const Length down = fetch_tick / 2 + cap_height(s.small) / 2 - ascent(s.small);
    Piece row = tick(fetch_tick, std::move(name));
    Piece words = in.setter.paragraph({{line.text, is_wrench ? Face::bold : Face::regular},
                                       {line.amount.empty() ? "" : " ", Face::regular},
                                       {line.amount, Face::bold}},
                                      room, {Role::list_item, s.small});
    if (columns == nullptr) {
        put_under(words, in.setter.paragraph(line.about, Face::regular, room, {Role::label, s.fine}), 0);
    } else {
        put(row,
            in.setter.paragraph(line.about, Face::regular, width - columns->about - numbers - pt(5),
                                {Role::label, s.fine}),
            columns->about, down + ascent(s.small) - ascent(s.fine));
    }
    put(row, std::move(words), text_x, down);
    if (!cards.empty())
        put(row, in.setter.paragraph(cards, Face::regular, numbers, {Role::label, s.fine, Align::right}),
            width - numbers, down + ascent(s.small) - ascent(s.fine));
    return piece_of(boxed(Role::list_item, from_the_top(std::move(row))));
}

// One line a wrench across the sheet, where it is wide enough for the longest name and what is known of it.
std::optional<WrenchColumns> wrench_columns(Making& in, const card::CoverList& list, Length width) {
    const Style& s = in.style;
    Length names = 0, about = 0, cards = 0;
    for (const card::CoverLine& line : list.lines) {
        names = std::max(names, in.setter.width(line.text + " " + line.amount, Face::bold, s.small));
        about = std::max(about, in.setter.width(line.about, Face::regular, s.fine));
        cards = std::max(cards, in.setter.width(card::numbers(line.cards), Face::regular, s.fine));
    }
    WrenchColumns at;
    at.about = fetch_tick + pt(5) + names + pt(12);
    if (at.about + about + std::min(cards, width * 35 / 100) + pt(6) > width) return std::nullopt;
    return at;
}

void add_list(Making& in, Group& to, const card::Cover& cover, const White& white, const card::CoverList& list,
              const WrenchColumns* columns) {
    const Manner manner{Role::list_head, in.style.step};
    const auto number = static_cast<int>(to.continued.size());
    to.items.push_back({in.setter.paragraph(list.title, Face::bold, to.width, manner), white.list, true, number, true});
    to.continued.push_back(in.setter.paragraph(
        {{list.title, Face::bold}, {" (" + cover.words.continued + ")", Face::regular}}, to.width, manner));
    for (std::size_t k = 0; k < list.lines.size(); ++k)
        to.items.push_back(
            {to_fetch(in, list.lines[k], to.width, columns, fmt::format("cover/{}-{}", list.name, k + 1)), white.line,
             false, number});
}

// The wrenches across the whole sheet, all else in columns.
std::vector<Group> fetch(Making& in, const card::Cover& cover, const White& white) {
    const Style& s = in.style;
    const std::string place = "the lists of the cover sheet";
    in.setter.at(place);
    Group across;
    across.place = place;
    across.above = white.part;
    across.under = white.under_title;
    across.width = s.sheet.width;
    across.title = section_title(in, cover.own.fetch, cover.own.fetch_cards, {}, 1, 0, 0);
    Group group;
    group.place = place;
    group.above = white.list;
    group.columns = s.paper == Paper::a5 ? 2 : 3;
    group.gutter = pt(16);
    group.width = (s.sheet.width + group.gutter) / static_cast<Length>(group.columns) - group.gutter;
    for (const card::CoverList& list : cover.fetch) {
        const bool wrenches = &list == &cover.fetch.front() && list.name == "wrench";
        const auto columns = wrenches && white.wrenches_across ? wrench_columns(in, list, across.width) : std::nullopt;
        add_list(in, columns ? across : group, cover, white, list, columns ? &*columns : nullptr);
    }
    if (!across.items.empty()) {
        std::vector<Group> both;
        both.push_back(std::move(across));
        if (!group.items.empty()) both.push_back(std::move(group));
        return both;
    }
    group.title = std::move(across.title);
    group.above = across.above;
    group.under = across.under;
    std::vector<Group> one;
    one.push_back(std::move(group));
    return one;
}

// -- Who works on it ----------------------------------------------------------------------------------------------------------------------
Piece labelled_tick(Making& in, std::string_view text, std::string name) {
    const Style& s = in.style;
    Piece piece = tick(fetch_tick, std::move(name));
    put(piece, in.setter.paragraph(text, Face::regular, s.sheet.width / 3, {Role::label, s.fine}), fetch_tick + pt(4),
        fetch_tick / 2 + cap_height(s.fine) / 2 - ascent(s.fine));
    return piece;
}

Piece labelled_box(Making& in, Role role, std::string_view label, Length width, Length height, std::string name) {
    Piece inside;
    put(inside, in.setter.paragraph(label, Face::regular, width - pt(6), {Role::label, in.style.fine}), pt(3), pt(0.8));
    Box box = boxed(role, std::move(inside), std::move(name), width, height);
    box.paint = framed(box_line, pt(1.5));
    return piece_of(std::move(box));
}

Group who(Making& in, const card::Cover& cover, const White& white) {
    const Style& s = in.style;
    Group group;
    group.place = "“who works on it” on the cover sheet";
    in.setter.at(group.place);
    group.above = white.part;
    group.under = white.under_title;
    group.width = s.sheet.width;
    group.title = section_title(in, cover.own.who, cover.check_rule, {}, 1, 0, 0);
    const Length pad = pt(5);
    const Length gap = pt(4);
    const Length entry_height = mm(9);
    const Length tall = 2 * entry_height + pt(2);
    const auto ticks = [&](const std::string& of) {
        Piece both = labelled_tick(in, cover.own.does_work, of + "/does");
        put(both, labelled_tick(in, cover.words.second_check, of + "/checks"), 0, fetch_tick + pt(5));
        return both;
    };
    std::vector<Piece> cells;
    for (std::size_t i = 0; i < cover.signs.size(); ++i) {
        Piece inside;
        Piece initials = in.setter.paragraph(cover.signs[i], Face::bold, s.sheet.width / 3, {Role::text, s.keep});
        const Length x = pad + initials.width + pt(8);
        Piece both = ticks(fmt::format("cover/sign-{}", i + 1));
        put(inside, std::move(initials), pad, (tall - line_height(s.keep)) / 2);
        const Length down = (tall - both.height) / 2;
        put(inside, std::move(both), x, down);
        const Length wide = inside.width + pad;
        Box box = boxed(Role::sign_off, std::move(inside), {}, wide, tall);
        box.paint = framed(pt(0.8), pt(1.5));
        cells.push_back(piece_of(std::move(box)));
    }
    // Where the shop has not said who may sign, two write their names.
    if (cover.signs.empty())
        for (std::size_t i = 0; i < 2; ++i)
            cells.push_back(
                labelled_box(in, Role::signature_box,
                             cover.own.name + " · " + (i == 0 ? cover.own.does_work : cover.words.second_check), mm(50),
                             tall, fmt::format("cover/name-{}", i + 1)));
    Length wide = mm(36);
    for (const std::string* word : {&cover.own.started, &cover.own.finished})
        wide = std::max(wide, in.setter.width(*word, Face::regular, s.fine) + pt(8));
    Piece times = labelled_box(in, Role::entry_box, cover.own.started, wide, entry_height, "cover/started");
    put(times, labelled_box(in, Role::entry_box, cover.own.finished, wide, entry_height, "cover/finished"), 0,
        tall - entry_height);
    cells.push_back(std::move(times));
    group.items.push_back({flow(std::move(cells), s.sheet.width, gap, gap)});
    return group;
}

// Where each card stands: its sheets, or how many pages it has.
std::vector<std::string> places_of(const std::vector<CardPages>& cards, std::size_t before, bool bound) {
    std::vector<std::string> all;
    std::size_t first = before + 1;
    for (const CardPages& card : cards) {
        if (!bound)
            all.push_back(std::to_string(card.pages));
        else
            all.push_back(card.pages == 1 ? std::to_string(first)
                                          : fmt::format("{}–{}", first, first + card.pages - 1));
        first += card.pages;
    }
    return all;
}

// Where each torque stands: its sheet, or the page of its card.
std::vector<std::string> places_of(const std::vector<card::TorqueLine>& torques, const std::vector<CardPages>& cards,
                                   std::size_t before, bool bound) {
    std::vector<std::string> all;
    for (const card::TorqueLine& each : torques) {
        const std::size_t card = each.card - 1;
        std::size_t page = 0;
        if (card < cards.size() && each.step >= 1 && each.step <= cards[card].step.size())
            page = cards[card].step[each.step - 1];
        if (page != 0 && bound) {
            page += before;
            for (std::size_t i = 0; i < card; ++i) page += cards[i].pages;
        }
        all.push_back(page == 0 ? std::string() : std::to_string(page));
    }
    return all;
}

} // namespace

CardPages pages_of(const card::Card& card, const Pages& pages) {
    CardPages made{pages.pages.size(), {}};
    std::map<std::string, std::uint32_t> rows;
    for (const card::Section& section : card.sections)
        for (const card::Row& row : section.rows)
            if (row.number > 0) rows.emplace(row.name, row.number);
    for (std::size_t page = 0; page < pages.pages.size(); ++page) {
        const std::function<void(const Box&)> look = [&](const Box& box) {
            const auto row = rows.find(box.name.substr(0, box.name.find('/')));
            if (row != rows.end()) {
                if (made.step.size() < row->second) made.step.resize(row->second);
                made.step[row->second - 1] = page + 1;
            }
            for (const Box& child : box.children) look(child);
        };
        for (const Box& box : pages.pages[page].boxes) look(box);
    }
    return made;
}

std::optional<Pages> lay_out(const card::Cover& cover, const std::vector<CardPages>& cards, Paper paper,
                             messages::Messages& out, Bound bound, Codes codes) {
    base::require(cards.size() == cover.cards.size(), "the pages of every card are known");
    const std::size_t errors = out.count(messages::Level::error);
    card::Card shell; // what the heads and feet of all leaves are made from
    shell.language = cover.language;
    shell.head = cover.head;
    shell.foot = cover.foot;
    shell.words = cover.words;
    const Style style = style_for(paper);
    Setter setter(cover.language, out);
    Making in{shell, style, setter, code_square(style, cover.head.code, codes == Codes::drawn)};

    const Length bottom = std::min(body_bottom(in, 1), foot(in, widest_number, widest_number).at.y - pt(8));
    const auto under = [&](const Box& over) {
        const Length top = over.at.bottom() + pt(9);
        return Rect{style.sheet.x, top, style.sheet.width, bottom - top};
    };
    const Rect first = under(cover_head(in, cover.next_service, widest_number));
    const Rect later = under(head(in, widest_number, widest_number));
    const auto filled = [&](const White& white) {
        std::vector<Box> bodies;
        for (std::size_t reckoned = 1;; reckoned = bodies.size()) {
            CoverFiller filler(in, first, later, out);
            if (!cover.customer.empty() || !cover.says.empty()) filler.add(customer(in, cover));
            const bool booklet = bound == Bound::yes;
            filler.add(work(in, cover, white, places_of(cards, reckoned, booklet), booklet));
            if (!cover.torques.empty())
                filler.add(torques(in, cover, white, places_of(cover.torques, cards, reckoned, booklet), booklet));
            if (!cover.fetch.empty())
                for (Group& group : fetch(in, cover, white)) filler.add(std::move(group));
            filler.add(who(in, cover, white));
            bodies = filler.bodies();
            // Wider numbers may take another page, never one fewer: the next round has at least as many.
            if (bodies.size() <= reckoned || out.count(messages::Level::error) != errors) return bodies;
        }
    };
    std::vector<Box> bodies = filled(whites[0]);
    for (const White& white : whites) {
        if (bodies.size() == 1 || out.count(messages::Level::error) != errors) break;
        std::vector<Box> less = filled(white);
        if (less.size() < bodies.size()) bodies = std::move(less);
    }
    if (out.count(messages::Level::error) != errors) return std::nullopt;
    Pages pages;
    pages.paper = paper;
    for (std::size_t number = 1; number <= bodies.size(); ++number) {
        Page page;
        page.boxes.push_back(number == 1 ? cover_head(in, cover.next_service, bodies.size())
                                         : head(in, number, bodies.size()));
        page.boxes.push_back(std::move(bodies[number - 1]));
        page.boxes.push_back(foot(in, number, bodies.size()));
        pages.pages.push_back(std::move(page));
    }
    return pages;
}

} // namespace benchleaf::pages
