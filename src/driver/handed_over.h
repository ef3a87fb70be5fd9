// What one shop handed to another, as `adopt` takes it apart: a bundle, or what a printed card carries. It comes from somebody else, so what is no
// part of a procedure is refused by its name: the shop's own file, jobs, records, answers, approvals. A card carries some of these, and of a card
// they are left out.
#pragma once

#include "adopted/adopted.h"
#include "base/result.h"
#include "driver/pipeline.h"
#include "driver/shop_files.h"
#include "meaning/meaning.h"

#include <map>
#include <memory>
#include <string>

namespace benchleaf::driver {

using PictureFiles = std::map<std::string, std::string>; // path → bytes

// A shop, or a part of one, with what it means. It stays where it is.
struct Meant {
    Meant() = default;
    Meant(const Meant&) = delete;
    Meant& operator=(const Meant&) = delete;

    Files files;
    PictureFiles pictures; // of what was handed over
    std::unique_ptr<Shopful> shop;
    meaning::Meaning meaning;

    adopted::Side side() const;
};

// Read and linked; what is wrong with it stands in its `shop->messages`.
base::Result<std::unique_ptr<Meant>> read_handed_over(const std::string& path, const std::string& bytes);

// The same, with some of its things under new names.
base::Result<std::unique_ptr<Meant>> renamed(const Meant& from, const std::vector<adopted::NewName>& names);

// A file's bytes with the edits, and with the byte order mark that it had.
std::string edited_bytes(const Shopful& shop, source::FileId file, const std::string& bytes,
                         const std::vector<adopted::Edit>& edits);

} // namespace benchleaf::driver
