// Records that cannot be read, or are not as they were written, and whose they may be. What is damaged of one vehicle stops nothing of another; but the
// damage may be in the very lines that tell the vehicle, so a record counts as another's only where its folder says so, and nothing gainsays it.
//
//     for (const source::FileId file : damaged_records(shop))
//         if (may_be_of(shop, file, job.identity->value)) …       // refuse
#pragma once

#include "driver/pipeline.h"
#include "history/history.h"
#include "report/due.h"

#include <string>
#include <vector>

namespace benchleaf::driver {

// In the order of their paths.
std::vector<source::FileId> damaged_records(const Shopful& shop);

// `told`: of the vehicle; what else is known of its numbers counts, too. False only where it is told to be another vehicle's: nothing in its folder names this one, and the folder is named after a number of another one, by a
// record that lies there or by a job.
bool may_be_of(const Shopful& shop, source::FileId damaged, const history::Identity& told);

// What is wrong with these files.
messages::Messages messages_in(const Shopful& shop, const std::vector<source::FileId>& files);

// "benchleaf: records/tx-7/2026-0412.yaml is damaged and of another vehicle; …", a line each.
std::string notice_of_damage(const Shopful& shop, const std::vector<source::FileId>& files);

// Takes out of `history` the vehicles that a damaged record may be of.
std::vector<report::LeftOut> take_out_damaged(const Shopful& shop, history::History& history);

} // namespace benchleaf::driver
