// A record of what was filled in on the cards of a job.
#pragma once

#include "record/asks.h"

#include <string>
#include <vector>

namespace benchleaf::record {

// What the record says beside the answers.
struct About {
    std::string id; // of the record: the job's, with a number behind it from the second on
    std::string corrects, continues, reason;
    std::vector<model::StoppedAt> stopped_before; // of a record that this one continues
    std::vector<std::vector<std::string>> since;  // by card: what the shop's files say otherwise by now
};

// What stands in the way of a record, by box; empty: nothing. What has no box is of the cards as a whole.
std::vector<std::pair<std::string, Complaint>> complaints(const Look& look);

// Every box of the cards with what it is for, nothing filled in: a file of answers to be filled in by hand.
std::string blank_sheet(const Sheet& sheet);

// What follows from a record, for who has just made it: verdicts that are not within, what is advised, how it ended. A few lines.
std::string summary(const model::Record& record);

// Of answers that nothing stands in the way of. The seal is left empty.
model::Record make(const Sheet& sheet, const Look& look, const Answers& answers, const About& about);

} // namespace benchleaf::record
