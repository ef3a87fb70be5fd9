// The check of a large shop in which little has changed since the last one. That one left behind what it knows of each file (remembered.h); what a change
// cannot reach is not looked at again, and the rest is checked as a smaller shop (reach/reach.h). It gives an answer where nothing is wrong, or nothing but what
// a changed file says of itself alone, whatever stands in others (it cannot be read, or a key or a figure of it), or a changed procedure by what stands near it.
// Where anything else is to be told, or a smaller shop will not do, the whole shop is to be checked as if nothing were remembered. What is remembered is always a shop that nothing was wrong with,
// so that what has changed since then holds all mistakes.
//
//     CheckAgain again(root);
//     if (const auto looked = again.look()) …        // looked->faulty, where anything is wrong, has the messages
//     else { …; if (clean) again.remember(shop, *checked); }
#pragma once

#include "driver/mend.h"
#include "driver/pipeline.h"
#include "driver/remembered.h"
#include "driver/shop_files.h"

#include <cstddef>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace benchleaf::driver {

// What a check counts.
struct Counts {
    std::size_t files = 0, procedures = 0, steps = 0, jobs = 0;
};
Counts counts_of(const Shopful& shop, const std::vector<std::string>& paths); // at these paths and below; none: all

// When it is worth while.
struct WorthIt {
    std::size_t least_files = 256; // in the shop: fewer are checked at once
    std::size_t most_percent = 50; // of them to be looked at
};

struct Looked {
    Counts counts;
    std::unique_ptr<const Shopful>
        faulty; // the smaller shop, with all that a check of the whole says; null: nothing is wrong
    Statement said;
};

class CheckAgain {
public:
    explicit CheckAgain(std::string root, WorthIt worth = {}) : root_(std::move(root)), worth_(worth) {}

    // `by_cause`: see Saying. `touched`: of a shop that is watched, all files that may have changed since the last look; null where that is not sure.
    std::optional<Looked> look(Threads threads = {}, const std::set<std::string>* touched = nullptr,
                               bool by_cause = false);

    // Of a whole shop, read after `look` had no answer, that nothing is wrong with.
    void remember(const Shop& shop, const Shopful& checked);

    // Leaves what is known for the next program, if it is not there already. Where it cannot be written it is not remembered, and that is no error.
    void write_down();

    // Of the last look: how many files were checked in the smaller shop.
    std::size_t looked_at() const { return looked_at_; }

private:
    std::optional<Remembered> load() const;
    bool look_at_stamps(Threads threads, std::set<std::string>& touched);

    std::string root_;
    WorthIt worth_;
    std::optional<Stamps> stamps_; // of the last look
    std::optional<Remembered> known_;
    std::set<std::string> since_; // what has changed since the state that is known
    bool in_step_ = false;        // what is known is of files with these stamps, if they are settled
    bool fresh_ = false;          // more is known than is written down
    std::size_t looked_at_ = 0;
};

} // namespace benchleaf::driver
