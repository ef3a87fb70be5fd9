// What is read or written at the right of a row: torques with the wrench chosen, readings with their keep figures. Private to card/.
#pragma once

#include "card/card.h"
#include "card/needs.h"
#include "card/wording.h"

namespace benchleaf::card {

// A limit as a reading is judged by it on this vehicle and job.
struct Judged {
    enum class By : std::uint8_t { nothing, keep_least, keep_most, at_least, at_most, within, difference };
    By by = By::nothing;
    std::string figure; // what it has to reach: "4.6 mm", "25–35 mm"
    std::string shown;  // "keep ≥ 4.6 mm", "good ≤ 0.09 mm"; empty where the limit says it all
    std::string note;   // how the keep figure was reckoned, or why there is none
    std::string over;   // of a difference: "left–right"
};
// Of a reading, by column of its section.
struct ColumnRead {
    bool is = true;   // it has a box there
    std::string at;   // of which thing: "left", as the shop's files call it
    std::string head; // "L"; empty where it goes without saying
};

// As a question asks it. A difference beside another bound is a second thing to ask: `by` is then nothing, `shown` the first and `note`
// the second.
Judged judge(const Speaker& speaker, const fitted::LimitUse& use);

// Fills the panel of one torque. `count`: of fasteners in one column. `wrenches` gathers those of the shop's that are used;
// `without` what a torque wrench is needed for in a shop that has declared none.
Torque torque_panel(const Speaker& speaker, const fitted::Target& target, std::int64_t count,
                    std::vector<std::size_t>& wrenches, std::vector<std::string>& without);

// "23 N·m", "20 N·m, 40 N·m, +90°": the value as one text, in the shop's first unit.
std::string torque_text(const Speaker& speaker, const units::Tightening& value);

// `of` may be nothing.
Reading reading_panel(const Speaker& speaker, const fitted::LimitFigure& limit, std::string name, linked::ItemId of,
                      const std::vector<ColumnRead>& columns);

} // namespace benchleaf::card
