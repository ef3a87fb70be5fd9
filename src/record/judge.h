// What an answer is worth: each fills `answered`, `given`, `verdict` and `complaint` of the ask from what stands in its box. Private to record/.
#pragma once

#include "mechanics/date.h"
#include "record/asks.h"

#include <string>
#include <vector>

namespace benchleaf::record {

// `boxes`: what stands in each box of the ask, nullptr for nothing.
void judge_reading(const std::vector<const std::string*>& boxes, Ask& ask);
void judge_value(const std::string* box, Ask& ask);
// Initials of somebody who may sign. `given` is filled already, as in the next two.
void judge_initials(const Sheet& sheet, Ask& ask);
void judge_signature(const Sheet& sheet, Ask& ask);
// Parted by commas; each by its serial or its name. `set`: what was set with them; `signed_on`: the day, if it is known.
void judge_wrenches(const Sheet& sheet, const std::vector<const card::Torque*>& set,
                    const std::optional<mechanics::Date>& signed_on, Ask& ask);
// "A. b" and "AB" are one. Empty where it cannot be initials: one to four letters of one script, and no word such as "no" or "stop".
std::string bare_initials(std::string_view text);
void judge_text(const Sheet& sheet, Ask& ask); // by its sort: a date, a time, words

// A gauge that nobody has described is taken to show anything.
mechanics::WearLimit limit_of(const card::HeldAgainst& held, mechanics::WearLimit::Sort sort,
                              const units::Quantity& at);

bool differ_by_at_most(const std::vector<units::Quantity>& sizes, const units::Quantity& most);

// "14:30", also of "14.30" and "1430"; nothing of what is no time of day.
std::optional<std::string> time_of(std::string_view text);

} // namespace benchleaf::record
