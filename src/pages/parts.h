// The parts of a card as pieces, each set once and placed when its page is known. A part's x is that of the page; its y
// counts from its own top.
#pragma once

#include "card/card.h"
#include "pages/piece.h"
#include "pages/set_text.h"
#include "pages/style.h"

#include <memory>
#include <span>
#include <string>
#include <vector>

namespace benchleaf::pages {

struct Making {
    const card::Card& card;
    const Style& style;
    Setter& setter;
    Box code;             // the code square, made once for all pages; at the origin
    bool figures = true;  // the drawn ones; without them a row takes less room
    Length picture = 0;   // the tallest that a picture may be; 0: as its style says
    bool torques = false; // they are listed before the work: the card has more than one page
};

// A column of ticks that a row has: its head ("L", "" when worked once) and its place among the section's columns.
struct Column {
    std::string_view head;
    std::size_t index;
};

// Cautions of one level, at least one, in one frame: beside their signal word, or `across` the whole width under it, which takes less height
// where they are long.
Piece caution(Making& in, std::span<const card::Caution> of_one_level, Length width, bool across = false);
// Each group of neighbours of one level.
std::vector<std::span<const card::Caution>> by_level(const std::vector<card::Caution>& cautions);

// What is read or written in a row; empty when the row has nothing of it. `wide` is whether it wants the whole width.
Piece panel(Making& in, const card::Step& step, const std::vector<Column>& columns, Length width,
            const std::string& row);
bool wants_width(const card::Step& step, const std::vector<Column>& columns);

// Boxes in lines from left to right, as many in a line as fit.
Piece flow(std::vector<Piece> parts, Length width, Length gap, Length line_gap);
// A tick box, with a word beside it when there is one.
Piece tick(Length side, std::string name);

// Where a section with a title begins, its head is named after it, for the bookmarks of a booklet.
inline const std::string section_mark = "section/";
// A picture in its own shape, as large as it may be but no coarser than it can be, and what its numbers stand for.
Piece picture(Making& in, const card::Picture& what, Length width, Length height, const std::string& row);
Piece legend(Making& in, const card::Picture& what, Length width);

// A torque to be found: what, of which fastener, and at the right the page where it stands, if that is known.
Piece torque_line(Making& in, const card::TorqueLine& line, Length value, Length width, const std::string& page);
// How wide the values of some are.
Length width_of_values(Making& in, const std::vector<card::TorqueLine>& lines, Length width);

Piece section_head(Making& in, const card::Section& section, bool continued);
Piece branch_head(Making& in, const card::Row& row, bool continued);
// NOT TO BE DRIVEN, across that width.
Piece stop_block(Making& in, const card::Stop& stop, Length width);
// How a row that is too tall is made to take less: its panel and its cautions across the whole width; then without drawn figures, and with the
// boxes for initials as small as they may be.
enum class Squeezed : std::uint8_t { no, across, plain };
Piece row(Making& in, const card::Section& section, const card::Row& row, Squeezed squeezed = Squeezed::no);

// One block that is kept in one piece, or that may go to a page of its own.
struct Block {
    Piece piece;
    Length above = 0;       // the least white over it, where it is not the first on its page
    bool with_next = false; // on the same page as the next
    bool loosely = false;   // unless the page would then be under two thirds full
    // For rows: which section, which row, how deep, and the branch heads over it from the outermost.
    int section = -1;
    const card::Row* row = nullptr;
    std::uint32_t depth = 0;
    Squeezed squeezed = Squeezed::no;
    Length picture = 0;            // the tallest that its picture may be; 0: it has none
    std::uint32_t again_boxes = 0; // that the row is set with; see card::Again
    std::vector<const card::Row*> ways;
    bool section_starts = false;
    bool way_starts = false;
    Role group = Role::body;            // before_start, findings …: neighbours of one group share a box
    std::shared_ptr<const Piece> again; // the head of what it is in, where it begins a page
    std::string place;                  // for a message
};

// Before the work and after it. `write_lines` is how many lines to write on stand under "also found".
void add_before(Making& in, std::vector<Block>& to, Length page);
void add_findings(Making& in, std::vector<Block>& to, int write_lines);
void add_stop_strip(Making& in, std::vector<Block>& to);
void add_close_out(Making& in, std::vector<Block>& to, Length page);

// The QR symbol of what the head's `code` says; a box without a size when it says nothing. Not drawn, it has its size and no modules.
Box code_square(const Style& style, const std::string& text, bool drawn);

// A page's place in a booklet; none is said where `of` is 0.
struct Sheet {
    std::size_t number = 0;
    std::size_t of = 0;
};
// No page or sheet has a number that is set wider.
inline constexpr std::size_t widest_number = 888;

// Head and foot. The numbers of the pages may break a line of theirs: see `body_for` in lay_out.cpp. In a booklet the foot says the sheet; the
// page of the card stands in the head.
// Puts the code square into the upper right corner: how far to the right the rest may come, and how tall it is.
struct Corner {
    Length right;
    Length tall;
};
Corner put_code(Making& in, Piece& to);
Box head(Making& in, std::size_t page, std::size_t pages);
Box foot(Making& in, std::size_t page, std::size_t pages, Sheet sheet = {});

// How far down the body of each of so many pages may reach, whatever foot they get.
Length body_bottom(Making& in, std::size_t pages);

// "page {} of {}" with its numbers.
std::string with_numbers(std::string_view pattern, std::size_t first, std::size_t second);

} // namespace benchleaf::pages
