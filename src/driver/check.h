// A check over the folder itself, before any file is looked into. Each lives in checks/ in a file of its own, with its rule and its
// wording; the table is made by the build.
#pragma once

#include "driver/shop_files.h"
#include "history/owners.h"
#include "messages/message.h"
#include "model/model.h"

#include <span>

namespace benchleaf::driver {

// What such a check sees: all files as `sources` has them, and what the shop says of itself.
struct Folder {
    const source::Sources& sources;
    const model::Model& model;
    const history::Owners& owners; // of its records
};

struct Check {
    messages::Rule rule;
    // Looks over the folder; null for what is found in the course of a run (reports.h).
    void (*find)(const Folder& folder, const Check& self, messages::Messages& out) = nullptr;
};

std::span<const Check* const> all_checks();

} // namespace benchleaf::driver
