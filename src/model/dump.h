// The Model as text, in the language itself: what is printed reads back as the same Model. `print` gives it file by
// file, `dump` all of it as one text for a person.
#pragma once

#include "model/model.h"

#include <string>
#include <vector>

namespace benchleaf::model {

struct PrintedFile {
    std::string path; // below the shop's root; procedures are put into a folder `procedures`
    std::string text;
};

std::vector<PrintedFile> print(const Model& model);

// One record, as its file is to say it.
std::string print(const Record& record);
std::string print(const Approval& approval); // likewise

std::string dump(const Model& model);

} // namespace benchleaf::model
