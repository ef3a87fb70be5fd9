// Whose each record is, by the numbers that it tells: put together once for a shop, and asked for each of its jobs.
//
//     const Owners owners = whose(model);
//     const Fitting fitting = fits(owners, job);    // !fitting.clear: two vehicles have what the job tells
//
// A vehicle keeps every number that a record of it ever had, so that neither a changed registration nor a visit without the frame takes it apart. The frame
// decides: two frames are two vehicles, whatever else they share. A record that fits two of them is nobody's, and stands for itself: nothing of it is
// reckoned with another's, and nothing of another's is closed by it.
#pragma once

#include "history/history.h"

#include <cstddef>
#include <map>
#include <string>
#include <vector>

namespace benchleaf::history {

struct Owned {
    Identity numbers;                          // all that it ever had; of one sort there may be several
    std::vector<const model::Record*> records; // by day; none that another one corrects or continues
    bool clear = true;                         // false: one record, that fits two vehicles
};

struct Owners {
    std::vector<Owned> vehicles; // by the day of the first record; one that turned out to be another has no records
    std::map<std::string, std::vector<std::size_t>> by_number;        // "frame oh300417"
    std::map<std::string, std::vector<const model::Record*>> told_by; // likewise: every record that tells the number
};

// Whose a record is that does not, depends on all records that tell another number of it.
bool tells_frame(const Identity& identity);

Owners whose(const model::Model& model);

struct Fitting {
    std::vector<std::size_t>
        vehicles; // the one it is, or, where nobody knew so far that they are one, several; if not clear, those it could be
    bool clear = true;
};

// The job's vehicle as the records up to the job's day tell it.
Fitting fits(const Owners& owners, const model::Job& job);

// Every record that tells the same vehicle as these numbers do.
std::vector<const model::Record*> told_of(const Owners& owners, const Identity& numbers);

// Where these numbers are of a record without a frame: every record that has a say in whose it is.
std::vector<const model::Record*> sharing_a_number(const Owners& owners, const Identity& numbers);

// What is told here, and what else is known of that vehicle.
Identity all_numbers(const Owners& owners, const Identity& identity);

} // namespace benchleaf::history
