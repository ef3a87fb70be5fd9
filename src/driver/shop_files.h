// The files of a shop, read from disk into memory; from here on nothing looks at the disk again until something is written.
// `find_shop` says which folder is the shop, `read_shop` takes every .yaml below it.
//
// Hidden files and folders (a leading dot) are passed over, and so is what does not end in .yaml or .yml. A link to a file or
// a folder is followed. A folder in it may be another git repository. Whatever cannot be read whole is a Failure that names it: a shop that is read in part could lose a step.
#pragma once

#include "base/result.h"

#include <initializer_list>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace benchleaf::driver {

// Path below the shop's root, with `/` between folders, to the bytes as they are on disk. In the order of the paths, so that
// the same shop is always read in the same order. Pictures are not among them, but in tests: they are read when they are wanted.
class Shelf;   // picture_files.h
class Archive; // archive.h
struct Files : std::map<std::string, std::string> {
    Files() = default;
    Files(std::map<std::string, std::string> files) : map(std::move(files)) {} // NOLINT: a map is what it is made of
    Files(std::initializer_list<value_type> files) : map(files) {}

    std::shared_ptr<const Shelf> shelf;     // of a shop on a disk; what was read from there once is not read again
    std::shared_ptr<const Archive> archive; // the records that are not among them
};

// The one file among them that is not YAML, where the shop has it: whose keys sign approvals (ssh-keygen(1), "allowed signers").
inline constexpr std::string_view allowed_signers_file = "approvals/allowed-signers";

// A folder with more files than this is not a shop (somebody named `/` or his home); records are counted by themselves.
inline constexpr std::size_t most_files = 20'000;
inline constexpr std::size_t most_records = 1'000'000;

// A file deeper than in so many folders is in no shop.
inline constexpr std::size_t most_folders_deep = 16;

// `.yml` and `.YAML` are not read, and a check says so.
bool looks_like_yaml(std::string_view name);

// Where a shop's own records are: among its files, or in their archive, to be read when they are wanted.
enum class Records : std::uint8_t { with_the_files, in_the_archive };

struct Shop {
    std::string root; // as it can be opened from where the program runs
    Files files;
};

// The nearest folder with a shop.yaml, from `start` (a folder, or a file in one) upward, else `procedures` in the working
// folder. Nothing when there is neither.
std::optional<std::string> find_shop(const std::string& start);

base::Result<Shop> read_shop(const std::string& root, Records records = Records::with_the_files);

// Does the file at this path below the root lie in a folder of that name, at whatever depth?
bool lies_in(std::string_view path, std::string_view folder);

// Where `path`, as given on the command line, lies below `root`: "brakes/x.yaml", "" for the root itself, nothing when it does
// not exist or lies elsewhere. A path that does not exist from the working folder is tried below the root.
std::optional<std::string> below_root(const std::string& root, const std::string& path);

} // namespace benchleaf::driver
