// The part of a shop that one job, or one blank card, is made of, read without the rest: found by the names of files (list_names.h), which are the
// names of what is in them. A card is a matter of these files alone, so it is the same as when the shop is read whole; and wherever that is not
// plain (anything at all would be said, a name is not found or twice there, what is asked for is nearly what a vehicle has, records may lie elsewhere)
// there is no part, and the shop is read whole.
//
//     if (const auto part = read_part(root, {"2026-0412", {}, {}}))
//         const auto work = make_job(*part->shop, linked::JobId(std::size_t{0}), options);   // good if nothing is said of it
#pragma once

#include "driver/pipeline.h"
#include "driver/shop_files.h"

#include <memory>
#include <string>

namespace benchleaf::driver {

struct PartOf {
    std::string job; // or:
    std::string procedure;
    std::string vehicle;
};

// It stays where it is.
struct Part {
    Files files;
    std::unique_ptr<Shopful> shop; // nothing is said of it, but for what its author allows
};

std::unique_ptr<Part> read_part(const std::string& root, const PartOf& of);

} // namespace benchleaf::driver
