// The demo shop grown to any size, for timings: families of vehicles, each with catalogues, procedures, vehicles and records of its own,
// made by renaming those of the demo shop. What is grown checks without an error, as the demo shop does; the same size gives the same bytes.
#pragma once

#include "driver/shop_files.h"

#include <cstddef>
#include <functional>
#include <string>

namespace benchleaf::bench {

// All but `records` and `jobs` are rounded up to whole families of a catalogue for each system.
struct Size {
    std::size_t catalogues = 0;
    std::size_t procedures = 0;
    std::size_t vehicles = 0;
    std::size_t records = 0;
    std::size_t jobs = 0;
};

using Emit = std::function<void(const std::string& path, const std::string& text)>;

// Gives each file but the pictures, which the procedures name as the demo shop's do.
void grow(const driver::Files& demo, const Size& size, const Emit& emit);

// One of its jobs, by number: "job-00017". It has the cards of a demo job.
std::string grown_job(std::size_t number);

} // namespace benchleaf::bench
