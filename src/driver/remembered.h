// What a check leaves behind of a large shop that nothing was wrong with, for the next one: of each file its stamp and digest, and what others are judged by
// (reach/reach.h). It lies in the user's cache (XDG Base Directory Specification: $XDG_CACHE_HOME, else ~/.cache), in a folder a shop. It may be
// deleted at any time; what is damaged, or of another program than the one that runs, is as if it were not there.
#pragma once

#include "driver/stamps.h"
#include "reach/reach.h"

#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::driver {

struct KnownFile {
    Stamp stamp;
    std::string digest; // SHA-256 of its bytes
};
struct KnownRecord {
    Stamp stamp;
    reach::Told told;
};

struct Remembered {
    ByPath<KnownFile> files; // all but the records
    ByPath<KnownRecord> records;
    std::map<std::string, KnownFile> pictures;
    reach::Reach reach;
};

// As bytes, with the mark of the program that writes them, handed over some at a time until `put` gives an error, which is given; else 0. And back: nothing
// of what was not written so, whole.
int put_remembered(Remembered& remembered, std::string_view program, const std::function<int(std::string_view)>& put);
std::optional<Remembered> remembered_in(std::string_view bytes, std::string_view program);

// The file for the shop in that folder; empty: the user has no place for it.
std::string place_of_remembered(const std::string& root);
// What this program is, by its file: another one may judge otherwise.
std::string mark_of_program();

} // namespace benchleaf::driver
