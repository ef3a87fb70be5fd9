// Files on their way to their places. Each is written beside its place and brought to the disk; only when all of them are there do they take their
// names, one after another, and where one cannot, those before it are put back. Whoever is killed in between leaves files that `is_leftover` knows.
#pragma once

#include "base/result.h"

#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::driver {

// No names that anybody else gives; the first one's files belong to nobody once nobody writes in their folder (write_files.h), the second one's once
// nobody writes into the shop (shop_lock.h).
constexpr std::string_view being_written = ".writing-";
constexpr std::string_view being_landed = ".landing-";
bool is_leftover(std::string_view name, std::string_view mark);
// Removes the leftovers in a folder: plain files only.
void remove_leftovers_of(std::string_view mark, const std::string& folder);

class Landing {
public:
    enum class Takes { any_name, free_name }; // the second never replaces a file
    struct OnItsWay {                         // what was done for one file, so that it can be undone
        std::string place;
        std::string temporary; // the new bytes
        std::string kept;      // the old file under another name; empty: there was none, or nothing has to be put back
        Takes takes = Takes::any_name;
        bool stood = false; // something had its name before
        bool landed = false;
    };

    // `several`: the old files are kept until all is done.
    Landing(std::string_view mark, bool several) : mark_(mark), several_(several) {}
    Landing(const Landing&) = delete;
    Landing& operator=(const Landing&) = delete;
    ~Landing(); // what did not land is put back as it was

    // Missing folders are made.
    base::Result<base::Done> prepare(const std::string& place, std::string_view bytes, Takes takes);
    base::Result<base::Done> land();
    // False: it could not be, and everything is left as it is now.
    bool put_back();
    bool taken() const { return taken_; } // `land` failed because a name that had to be free is not
    const std::vector<OnItsWay>& files() const { return files_; }

private:
    int write_beside(OnItsWay& file, std::string_view bytes) const;
    int keep_old(OnItsWay& file) const;
    int take_its_name(OnItsWay& file);
    static void remove_helpers(const OnItsWay& file);

    std::string_view mark_;
    bool several_;
    std::vector<OnItsWay> files_;
    std::vector<std::string> folders_; // made, the outer ones first
    bool done_ = false;
    bool taken_ = false;
};

} // namespace benchleaf::driver
