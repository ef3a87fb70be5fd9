// Which of two records of one vehicle is the later one, and their order. A finished job lifts what an earlier one says (NOT TO BE DRIVEN), so "later" is not
// guessed: a name alone tells nothing.
#pragma once

#include "model/model.h"

#include <vector>

namespace benchleaf::history {

// By the day; on one day by the meter, where both tell it in the same unit and it differs; else by when they were signed, or stopped, where both say that.
bool surely_earlier(const model::Record& a, const model::Record& b);

// The oldest first. What nothing orders: those that are finished before those that are not, so that what stops a vehicle is not closed by chance; then by
// name, the numbers in it as numbers. All have a date.
void put_in_order(std::vector<const model::Record*>& records);

// "2026-999" before "2026-1000".
bool name_before(const std::string& a, const std::string& b);

} // namespace benchleaf::history
