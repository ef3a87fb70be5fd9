// The card as text for a terminal or a printer that knows letters alone: numbers in one column, ticks in one column for each value of
// the axis, panels beside the step behind a heavy bar, cautions framed by their level. `print(card)` is 80 characters wide, no line is
// wider than asked, and a step never runs into the next. Needs a font with box-drawing characters.
#pragma once

#include "card/card.h"
#include "card/cover.h"
#include "report/due.h"
#include "report/report.h"

#include <cstddef>
#include <string>

namespace benchleaf::text {

struct Columns {
    std::size_t count = 80; // at least 40 are taken
};

std::string print(const card::Card& card, Columns columns = {});
std::string print(const card::Cover& cover, Columns columns = {});
std::string print(const report::Report& report, Columns columns = {});
std::string print(const report::Dues& dues, Columns columns = {});

} // namespace benchleaf::text
