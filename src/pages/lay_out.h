// Sets a card on paper: measures every text, breaks it into lines, fills the pages. The result is plain boxes in whole
// units with nothing left to decide (pages.h). Same card and paper, same boxes.
//
//   messages::Messages said;
//   if (const auto pages = pages::lay_out(card, pages::Paper::a4, said)) …   // else `said` has at least one error
//
// Nothing is ever cut: a step that is taller than a page (`step-too-tall`) or a text that the fonts cannot print
// (`no-glyph`) is an error that names the step, and there are no pages.
#pragma once

#include "card/card.h"
#include "card/cover.h"
#include "messages/message.h"
#include "pages/pages.h"
#include "report/report.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace benchleaf::pages {

// `codes`: whether the code squares are drawn, or only have their place, for who wants to know no more than that the card can be printed.
enum class Codes : std::uint8_t { drawn, places };
std::optional<Pages> lay_out(const card::Card& card, Paper paper, messages::Messages& out, Codes codes = Codes::drawn);

// Of a card that is laid out, for its cover sheet: how many pages it has, and on which its steps stand, by the order of their numbers.
struct CardPages {
    std::size_t pages = 0;
    std::vector<std::size_t> step; // that of step 1 first; 0: it has none
};
CardPages pages_of(const card::Card& card, const Pages& pages);

// A cover sheet. Bound with the cards in a booklet it says on which sheets each stands, and each torque, else how many pages they are.
enum class Bound : std::uint8_t { yes, no };
std::optional<Pages> lay_out(const card::Cover& cover, const std::vector<CardPages>& cards, Paper paper,
                             messages::Messages& out, Bound bound, Codes codes = Codes::drawn);

// "NOT APPROVED" across each page, under all that stands there; it takes no room.
void put_across(Pages& pages, std::string_view words);

// A report: its blocks one under the other, on one page where that is to be had with less white; a table that goes on has its heads again.
std::optional<Pages> lay_out(const report::Report& report, Paper paper, messages::Messages& out);

} // namespace benchleaf::pages
