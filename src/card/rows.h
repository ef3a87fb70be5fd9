// The sections of a card, row by row, and what was learned on the way: wrenches used, torques set, inspections made. Private to card/.
#pragma once

#include "card/card.h"
#include "card/needs.h"
#include "card/wording.h"

#include <map>
#include <vector>

namespace benchleaf::card {

// One value of an axis, or once for all.
struct Column {
    linked::AxisId axis;
    fitted::AxisValue value = fitted::no_value;
    friend bool operator==(const Column&, const Column&) = default;
};

// What a row is done to, by column; a row that is done to nothing with an axis stands in the column for all.
std::vector<Column> columns_touched(const Speaker& speaker, const Node& node);
// The same as seen from the place where it stands: a bound place has the values of its procedure.
std::vector<Column> columns_marked(const Speaker& speaker, const Place& place, const Node& node);

struct MadeRows {
    std::vector<Section> sections;
    std::vector<Needs::Torque> set;                // each torque, in the order of the rows
    std::vector<std::size_t> wrenches;             // of the shop, in the order of use
    std::vector<std::string> wrenches_wanted;      // in a shop that has declared none
    std::map<linked::ItemId, std::string> torques; // the value set, as text
};

MadeRows make_rows(const Speaker& speaker, const Unfolded& unfolded);

Caution made_caution(const Speaker& speaker, model::CautionLevel level, std::string hazard, std::string avoid);
Caution made_caution(const Speaker& speaker, linked::CautionId id);
void sort_by_level(std::vector<Caution>& cautions);

} // namespace benchleaf::card
