// Fills the pages. Every block is set once; what is decided here is where the pages end, how much white stands between the
// rows, and how many lines there are to write on.
#include "pages/lay_out.h"

#include "base/require.h"
#include "pages/check.h"
#include "pages/parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace benchleaf::pages {

namespace {

constexpr Length rule_width = pt(0.85);
constexpr Length tight = pt(3); // white over and under a rule between rows, at the least
constexpr Length roomy = pt(8); // at the most
constexpr Length pad_step = pt(0.25);
constexpr Length most_spread = pt(4); // more of it at one place, where a page is not full
constexpr int least_lines = 2;        // to write on
constexpr int most_lines = 12;

std::string place_of(const card::Row& row) {
    return row.number == 0 ? std::string("the head of the optional steps") : fmt::format("step {}", row.number);
}

std::vector<Block> blocks_of(Making& in, Length page) {
    std::vector<Block> blocks;
    add_before(in, blocks, page);
    std::vector<const card::Row*> ways; // that are open; what is called in one of them may bring sections of its own
    for (std::size_t number = 0; number < in.card.sections.size(); ++number) {
        const card::Section& section = in.card.sections[number];
        in.setter.at(fmt::format("the head of section “{}”", section.title));
        Block first;
        first.piece = section_head(in, section, false);
        first.above = pt(14);
        first.with_next = true;
        first.section = static_cast<int>(number);
        first.section_starts = true;
        first.place = in.setter.place();
        if (!section.rows.empty() && !first.piece.empty()) blocks.push_back(std::move(first));
        // A section that begins inside ways says so again.
        std::vector<const card::Row*> outer;
        if (!section.rows.empty())
            for (const card::Row* way : ways) {
                const card::Row& front = section.rows.front();
                if (way->depth > front.depth ||
                    (way->depth == front.depth && std::holds_alternative<card::Branch>(front.what)))
                    break;
                Block block;
                block.section = static_cast<int>(number);
                block.row = way;
                block.depth = way->depth;
                block.ways = outer;
                block.way_starts = true;
                block.with_next = true;
                in.setter.at(place_of(*way));
                block.place = in.setter.place();
                block.piece = branch_head(in, *way, true);
                blocks.push_back(std::move(block));
                outer.push_back(way);
            }
        for (const card::Row& one : section.rows) {
            Block block;
            block.section = static_cast<int>(number);
            block.row = &one;
            block.depth = one.depth;
            in.setter.at(place_of(one));
            block.place = in.setter.place();
            if (std::holds_alternative<card::Branch>(one.what)) {
                // A branch head opens a way of its own depth: what was open at that depth ends here.
                while (!ways.empty() && ways.back()->depth >= one.depth) ways.pop_back();
                block.ways = ways;
                ways.push_back(&one);
                block.way_starts = true;
                block.with_next = true;
                block.piece = branch_head(in, one, false);
            } else {
                while (!ways.empty() && ways.back()->depth > one.depth) ways.pop_back();
                block.ways = ways;
                block.piece = row(in, section, one);
                if (const auto* step = std::get_if<card::Step>(&one.what)) block.again_boxes = step->again.boxes;
                if (one.picture) block.picture = in.style.picture;
            }
            blocks.push_back(std::move(block));
        }
        if (!blocks.empty()) blocks.back().with_next = false;
    }
    add_findings(in, blocks, least_lines);
    add_stop_strip(in, blocks);
    add_close_out(in, blocks, page);
    return blocks;
}

// White between two blocks on one page, and whether a rule stands in it.
struct Gap {
    Length white = 0; // all of it, with the rule
    bool rule = false;
};

Gap gap_between(const Block& upper, const Block& lower, Length pad) {
    if (lower.row != nullptr && upper.section == lower.section) {
        if (upper.section_starts) return {pad + pt(2), false};
        if (upper.way_starts) return {pad, false};
        if (lower.way_starts) return {2 * pad + pt(4), false};
        const bool leaves_way = lower.depth < upper.depth;
        if (leaves_way) return {2 * pad + pt(4), false};
        // White over a caution, which has its own frame; a rule over all else.
        return {2 * pad + rule_width, lower.row->cautions.empty()};
    }
    // A new section, or what comes after the work: more white than between rows.
    if (lower.section_starts || lower.row != nullptr) return {std::max(lower.above, pt(12)) + pad, false};
    return {lower.above + (lower.group == upper.group && lower.group != Role::body ? 0 : pad), false};
}

// How high the blocks are from the first of those that stay with `from` on to `to`, and on to the last that stays with that.
Length height_kept(const std::vector<Block>& blocks, std::size_t from, std::size_t to) {
    while (from > 0 && blocks[from - 1].with_next) --from;
    Length height = 0;
    for (std::size_t k = from; k < blocks.size(); ++k) {
        height += (k > from ? gap_between(blocks[k - 1], blocks[k], roomy).white : 0) + blocks[k].piece.height;
        if (k > to && !blocks[k].with_next) break;
    }
    return height;
}

// What is worked or answered in one go stands on one page: a question, loosely, with the head of the way that follows it, so that its answer
// and where that leads are seen together; a STOP with the step before it; a torque with the step before it, so that nothing is left
// finger-tight over the leaf; the steps of a repeat. Unless that would leave too much of a page white.
void keep_together(std::vector<Block>& blocks, Length page) {
    const auto is = [](const Block& block, auto what) {
        return block.row != nullptr && std::holds_alternative<decltype(what)>(block.row->what);
    };
    const auto torques = [](const Block& block) {
        const auto* step = block.row == nullptr ? nullptr : std::get_if<card::Step>(&block.row->what);
        return step != nullptr && std::holds_alternative<std::vector<card::Torque>>(step->panel);
    };
    for (std::size_t i = blocks.size(); i-- > 0;) {
        if (blocks[i].row == nullptr || i + 1 == blocks.size()) continue;
        const Block& next = blocks[i + 1];
        const bool asks = is(blocks[i], card::Question{}) || is(blocks[i], card::Repeat{});
        const bool way_follows = asks && next.way_starts;
        const bool stop_follows = is(blocks[i], card::Step{}) && is(next, card::Stop{});
        const bool torque_follows =
            is(blocks[i], card::Step{}) && torques(next) && next.section == blocks[i].section && !torques(blocks[i]);
        if (!way_follows && !stop_follows && !torque_follows) continue;
        blocks[i].with_next = height_kept(blocks, i, i) <= page * 2 / 5;
        blocks[i].loosely = way_follows;
    }
    // Findings, strip and close-out are filled in together, when the work is done or is left: loosely, so that no page is left white for it.
    const auto after =
        std::find_if(blocks.begin(), blocks.end(), [](const Block& each) { return each.group == Role::findings; });
    if (after != blocks.end()) {
        const auto first = static_cast<std::size_t>(after - blocks.begin());
        if (height_kept(blocks, first, blocks.size() - 1) <= page)
            for (std::size_t i = first; i + 1 < blocks.size(); ++i) {
                if (blocks[i].with_next) continue;
                blocks[i].with_next = true;
                blocks[i].loosely = true;
            }
    }
    for (std::size_t i = 0; i < blocks.size(); ++i) {
        const auto* repeat = blocks[i].row == nullptr ? nullptr : std::get_if<card::Repeat>(&blocks[i].row->what);
        if (repeat == nullptr || repeat->from == 0) continue;
        std::size_t first = i;
        while (first > 0 && blocks[first].row != nullptr && blocks[first].row->number != repeat->from) --first;
        if (blocks[first].row == nullptr || blocks[first].row->number != repeat->from) continue;
        if (height_kept(blocks, first, i) > page) continue;
        for (std::size_t k = first; k < i; ++k) blocks[k].with_next = true;
    }
}

// What is repeated at the top of a page that starts in the middle of a section or of a way.
struct Repeated {
    const Piece* piece;
    Length after; // white under it
    const card::Row* way;
};

struct Filled {
    std::size_t first, end; // blocks
    Length height;
};

class Filler {
public:
    Filler(Making& in, std::vector<Block>& blocks, Length page) : in_(in), blocks_(blocks), page_(page) {
        for (const card::Section& section : in.card.sections) {
            in.setter.at(fmt::format("the head of section “{}”", section.title));
            section_heads_.push_back(section_head(in, section, true));
            for (const card::Row& one : section.rows) {
                if (!std::holds_alternative<card::Branch>(one.what)) continue;
                in.setter.at(place_of(one));
                way_heads_.emplace_back(&one, branch_head(in, one, true));
            }
        }
    }

    std::vector<Repeated> repeated(const Block& first, Length pad) const {
        std::vector<Repeated> heads;
        if (first.again) heads.push_back({first.again.get(), pt(1), nullptr});
        if (first.row == nullptr) return heads;
        const Piece& head = section_heads_[static_cast<std::size_t>(first.section)];
        const bool starts = first.row == &in_.card.sections[static_cast<std::size_t>(first.section)].rows.front();
        if (!head.empty() && !starts) heads.push_back({&head, pad + pt(2), nullptr});
        for (const card::Row* way : first.ways)
            for (const auto& [row, piece] : way_heads_)
                if (row == way) heads.push_back({&piece, pad, way});
        return heads;
    }

    Length height_repeated(const Block& first, Length pad) const {
        Length sum = 0;
        for (const Repeated& head : repeated(first, pad)) sum += head.piece->height + head.after;
        return sum;
    }

    // Pages from the first block to the last, each as full as the kept blocks let it be.
    std::vector<Filled> fill(Length pad) const {
        std::vector<Filled> pages;
        std::size_t at = 0;
        while (at < blocks_.size()) {
            Filled page{at, at, height_repeated(blocks_[at], pad)};
            while (page.end < blocks_.size()) {
                const bool first = page.end == page.first;
                Kept next = kept(page.end, first, pad, false);
                const Length rest = page_ - page.height;
                if (!first && next.height > rest && rest > page_ / 3) next = kept(page.end, first, pad, true);
                if (!first && next.height > rest) break;
                page.height += next.height;
                page.end = next.end;
            }
            pages.push_back(page);
            at = page.end;
        }
        return pages;
    }

    Length page_height() const { return page_; }

private:
    // The blocks from `from` on that stay together, and their height under what is on the page; `surely`: without those that do so loosely.
    struct Kept {
        std::size_t end;
        Length height;
    };
    Kept kept(std::size_t from, bool first_on_page, Length pad, bool surely) const {
        Length height = 0;
        std::size_t at = from;
        for (;; ++at) {
            if (at != from || !first_on_page) height += gap_between(blocks_[at - 1], blocks_[at], pad).white;
            height += blocks_[at].piece.height;
            if (!blocks_[at].with_next || at + 1 == blocks_.size() || (surely && blocks_[at].loosely)) break;
        }
        return {at + 1, height};
    }

    Making& in_;
    std::vector<Block>& blocks_;
    Length page_;
    std::vector<Piece> section_heads_;
    std::vector<std::pair<const card::Row*, Piece>> way_heads_;
};

// Blocks of one page into boxes: rows into their section and their ways, neighbours of one group into one box.
class Placer {
public:
    // `came` and `goes`: ways that started on an earlier page, and that go on on the next one.
    Placer(const Style& style, Rect body, std::vector<const card::Row*> came, std::vector<const card::Row*> goes)
        : style_(style), y_(body.y), came_(std::move(came)), goes_(std::move(goes)) {
        open_.push_back(drawn(Role::body, body, {}));
        open_ids_.push_back(nullptr);
    }

    void go_down(Length by) { y_ += by; }

    void rule(Length at, std::uint32_t depth) {
        const Length x = style_.number_x + static_cast<Length>(depth) * style_.set_in;
        add(drawn(Role::rule, {x, at, style_.right() - x, rule_width}, filled(110)));
    }

    void place(Piece piece) {
        for (Box& box : piece.boxes) {
            move_by(box, 0, y_);
            add(std::move(box));
        }
        y_ += piece.height;
    }

    // Opens and closes groups until exactly these are open, from the outermost.
    void within(const std::vector<std::pair<const void*, Role>>& groups) {
        std::size_t same = 0;
        while (same < groups.size() && same + 1 < open_ids_.size() && open_ids_[same + 1] == groups[same].first) ++same;
        while (open_.size() > same + 1) close();
        for (std::size_t i = same; i < groups.size(); ++i) {
            open_.push_back(drawn(groups[i].second, {}, {}));
            open_ids_.push_back(groups[i].first);
        }
    }

    Length y() const { return y_; }

    Box finish() {
        within({});
        return std::move(open_.front());
    }

private:
    void add(Box box) { open_.back().children.push_back(std::move(box)); }

    void close() {
        Box group = std::move(open_.back());
        const auto in = [id = open_ids_.back()](const std::vector<const card::Row*>& ways) {
            return std::any_of(ways.begin(), ways.end(), [id](const card::Row* way) { return way == id; });
        };
        const bool came = in(came_);
        const bool goes = in(goes_);
        open_.pop_back();
        open_ids_.pop_back();
        if (group.children.empty()) return;
        Length top = group.children.front().at.y;
        Length bottom = group.children.front().at.bottom();
        Length left = style_.right();
        for (const Box& box : group.children) {
            top = std::min(top, box.at.y);
            bottom = std::max(bottom, box.at.bottom());
            left = std::min(left, box.at.x);
        }
        if (group.role == Role::aside) {
            left -= style_.set_in;
            // A bracket, open where the way goes on over the edge of the page.
            const Length foot = pt(1.5);
            const Length reach = style_.set_in - pt(3);
            const Length bar = style_.aside_bar;
            std::vector<Point> bracket = {{left, top}};
            if (came)
                bracket.insert(bracket.end(), {{left + bar, top}});
            else
                bracket.insert(bracket.end(),
                               {{left + reach, top}, {left + reach, top + foot}, {left + bar, top + foot}});
            if (goes)
                bracket.insert(bracket.end(), {{left + bar, bottom}});
            else
                bracket.insert(bracket.end(),
                               {{left + bar, bottom - foot}, {left + reach, bottom - foot}, {left + reach, bottom}});
            bracket.push_back({left, bottom});
            group.children.insert(group.children.begin(),
                                  drawn(Role::bar, {left, top, reach, bottom - top}, Polygon{bracket, 0}));
        } else {
            left = style_.sheet.x;
        }
        group.at = {left, top, style_.right() - left, bottom - top};
        add(std::move(group));
    }

    const Style& style_;
    Length y_;
    std::vector<const card::Row*> came_;
    std::vector<const card::Row*> goes_;
    std::vector<Box> open_;
    std::vector<const void*> open_ids_;
};

std::vector<std::pair<const void*, Role>> groups_of(const card::Card& card, const Block& block) {
    std::vector<std::pair<const void*, Role>> groups;
    if (block.section >= 0) {
        groups.emplace_back(&card.sections[static_cast<std::size_t>(block.section)], Role::section);
        for (const card::Row* way : block.ways) groups.emplace_back(way, Role::aside);
        if (block.way_starts) groups.emplace_back(block.row, Role::aside);
    } else if (block.group == Role::findings) {
        groups.emplace_back(&card.findings, Role::findings);
    } else if (block.group == Role::before_start) {
        groups.emplace_back(&card.before, Role::before_start);
    } else if (block.group == Role::close_out) {
        groups.emplace_back(&card.close_out, Role::close_out);
    }
    return groups;
}

Box body_of(Making& in, const Filler& filler, std::vector<Block>& blocks, const Filled& page, Rect body, Length pad,
            Length spread) {
    const Block& first = blocks[page.first];
    Placer placer(in.style, body, first.ways,
                  page.end < blocks.size() ? blocks[page.end].ways : std::vector<const card::Row*>());
    std::vector<std::pair<const void*, Role>> groups;
    for (const Repeated& head : filler.repeated(first, pad)) {
        if (groups.empty() && first.section < 0)
            groups = groups_of(in.card, first);
        else if (groups.empty())
            groups.emplace_back(&in.card.sections[static_cast<std::size_t>(first.section)], Role::section);
        if (head.way != nullptr) groups.emplace_back(head.way, Role::aside);
        placer.within(groups);
        placer.place(*head.piece);
        placer.go_down(head.after);
    }
    for (std::size_t i = page.first; i < page.end; ++i) {
        if (i != page.first) {
            const Gap gap = gap_between(blocks[i - 1], blocks[i], pad);
            const Length white = gap.white + (blocks[i - 1].with_next ? 0 : spread);
            if (gap.rule) {
                // The rule belongs to what both rows are in.
                const Block& shallow = blocks[i].ways.size() < blocks[i - 1].ways.size() ? blocks[i] : blocks[i - 1];
                placer.within(groups_of(in.card, shallow));
                placer.rule(placer.y() + (white - rule_width) / 2, shallow.depth);
            }
            placer.go_down(white);
        }
        placer.within(groups_of(in.card, blocks[i]));
        placer.place(std::move(blocks[i].piece));
    }
    return placer.finish();
}

// The boxes that only the last page can tell: more lines to write on when there is room.
void use_rest(Making& in, std::vector<Block>& blocks, const Filled& last, Length rest) {
    const auto lines = static_cast<int>(rest / in.style.write_pitch);
    if (lines <= 0) return;
    std::vector<Block> findings;
    add_findings(in, findings, std::min(most_lines, least_lines + lines));
    std::size_t from = blocks.size();
    for (std::size_t i = 0; i < blocks.size() && from == blocks.size(); ++i)
        if (blocks[i].group == Role::findings) from = i;
    // The block that has grown, if it stands on this page.
    for (std::size_t k = 0; k < findings.size(); ++k)
        if (from + k >= last.first && from + k < last.end && findings[k].piece.height > blocks[from + k].piece.height)
            blocks[from + k].piece = std::move(findings[k].piece);
}

// What the head and the foot leave on each of so many pages; the numbers of the pages may break a line of theirs.
Rect body_for(Making& in, std::size_t pages) {
    Length top = 0;
    // All figures are of one width: pages with as many digits have heads and feet of one height.
    for (std::size_t page = 1; page <= pages; page *= 10)
        top = std::max(top, head(in, page, pages).at.bottom() + pt(9));
    const Length bottom = body_bottom(in, pages);
    return {in.style.sheet.x, top, in.style.sheet.width, bottom - top};
}

// Only what is kept together is ever put on a page that it does not fit: its tallest block is at fault.
std::size_t tallest_of(const std::vector<Block>& blocks, const Filled& page) {
    std::size_t tallest = page.first;
    for (std::size_t i = page.first; i < page.end; ++i)
        if (blocks[i].piece.height > blocks[tallest].piece.height) tallest = i;
    return tallest;
}

// The blocks of a card. A row that is too tall for a page gets its picture smaller; then its panel and its cautions across the whole width; then
// no drawn figures; then, of the boxes for the rounds of a repeat, one for the last round; then none.
std::vector<Block> fitting_blocks(Making& in, Length page) {
    std::vector<Block> blocks = blocks_of(in, page);
    keep_together(blocks, page);
    for (bool changed = true; changed;) {
        changed = false;
        for (const Filled& filled : Filler(in, blocks, page).fill(tight)) {
            Block& tallest = blocks[tallest_of(blocks, filled)];
            if (filled.height <= page || tallest.row == nullptr || tallest.row->number == 0) continue;
            if (tallest.picture > in.style.least_picture) {
                const Length over = std::max(filled.height - page, pt(5));
                tallest.picture = std::max(in.style.least_picture, tallest.picture - over);
            } else {
                if (tallest.squeezed == Squeezed::plain) {
                    if (tallest.again_boxes == 0) continue;
                    tallest.again_boxes = tallest.again_boxes > 1 ? 1 : 0;
                }
                tallest.squeezed = tallest.squeezed == Squeezed::no ? Squeezed::across : Squeezed::plain;
            }
            card::Row set = *tallest.row;
            if (auto* step = std::get_if<card::Step>(&set.what)) step->again.boxes = tallest.again_boxes;
            in.setter.at(tallest.place);
            in.picture = tallest.picture;
            tallest.piece = row(in, in.card.sections[static_cast<std::size_t>(tallest.section)], set, tallest.squeezed);
            in.picture = 0;
            changed = true;
        }
    }
    return blocks;
}

// What would mend a block that is taller than a page.
std::string_view help_for(const Block& block) {
    if (block.row != nullptr && std::holds_alternative<card::Question>(block.row->what))
        return "let it ask for fewer sides or readings at once, or print on larger paper";
    if (block.row != nullptr && std::holds_alternative<card::Repeat>(block.row->what))
        return "allow fewer rounds, or print on larger paper";
    if (block.row != nullptr && block.row->number != 0) return "split it into two steps, or print on larger paper";
    return "write it shorter, or print on larger paper";
}

} // namespace

std::optional<Pages> lay_out(const card::Card& card, Paper paper, messages::Messages& out, Codes codes) {
    const std::size_t errors = out.count(messages::Level::error);
    Style style = style_for(paper);
    fit_grid(style, card);
    Setter setter(card.language, out);
    Making in{card, style, setter, code_square(style, card.head.code, codes == Codes::drawn)};

    // More pages may have taller heads and feet, and these may make more pages: it is filled anew until the room is that of so many.
    std::size_t reckoned = 1;
    Rect body = body_for(in, reckoned);
    std::vector<Block> blocks = fitting_blocks(in, body.height);
    std::size_t needed = Filler(in, blocks, body.height).fill(tight).size();
    // On one page they are seen as they stand.
    if (needed > 1 && !card.before.torques.empty()) {
        in.torques = true;
        blocks = fitting_blocks(in, body.height);
        needed = Filler(in, blocks, body.height).fill(tight).size();
    }
    while (needed > reckoned) {
        reckoned = needed;
        const Rect room = body_for(in, reckoned);
        if (room == body) break;
        body = room;
        blocks = fitting_blocks(in, body.height);
        needed = Filler(in, blocks, body.height).fill(tight).size();
    }
    const Filler filler(in, blocks, body.height);

    std::vector<Filled> filled_pages = filler.fill(tight);
    for (const Filled& page : filled_pages) {
        if (page.height <= body.height) continue;
        const std::size_t tallest = tallest_of(blocks, page);
        messages::Message message;
        message.rule = &checks::step_too_tall.rule;
        message.text =
            fmt::format("{} of card {} is {} mm taller than a page of {} paper", blocks[tallest].place, card.file_stem,
                        static_cast<int>((page.height - body.height) * 254LL / 720000 + 1), name(paper));
        message.help = help_for(blocks[tallest]);
        out.add(std::move(message));
    }
    if (out.count(messages::Level::error) != errors) return std::nullopt;

    // As much white as can be had without another page.
    Length pad = tight;
    for (Length more = tight + pad_step; more <= roomy; more += pad_step) {
        std::vector<Filled> looser = filler.fill(more);
        const bool over =
            std::any_of(looser.begin(), looser.end(), [&](const Filled& page) { return page.height > body.height; });
        if (looser.size() > filled_pages.size() || over) break;
        filled_pages = std::move(looser);
        pad = more;
    }

    Pages pages;
    pages.paper = paper;
    const std::size_t count = filled_pages.size();
    if (count > 0) use_rest(in, blocks, filled_pages.back(), body.height - filled_pages.back().height);
    for (std::size_t number = 0; number < count; ++number) {
        const Filled& page = filled_pages[number];
        Length places = 0;
        for (std::size_t i = page.first; i + 1 < page.end; ++i) places += blocks[i].with_next ? 0 : 1;
        const bool last = number + 1 == count;
        const Length spread = last || places == 0 ? 0 : std::min(most_spread, (body.height - page.height) / places);
        Page made;
        made.boxes.push_back(head(in, number + 1, count));
        made.boxes.push_back(body_of(in, filler, blocks, page, body, pad, spread));
        made.boxes.push_back(foot(in, number + 1, count));
        pages.pages.push_back(std::move(made));
    }
    return pages;
}

} // namespace benchleaf::pages
