// Makes the fixes that messages offer. The sure ones all together, round by round, for a fix may uncover what was hidden behind it. Then
// those that have to be tried (messages::Fix::to_try), one by one: one is kept where the shop has fewer messages with it, and none that it
// did not have before; and all of them only where no error is left in the end, for what mends a part of the matter may be beside it.
#pragma once

#include "driver/pipeline.h"
#include "driver/shop_files.h"

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace benchleaf::driver {

struct Mended {
    Files files; // whole, with the byte order marks that they had
    std::size_t fixes = 0;
    std::size_t tried = 0; // of these, how many had to be tried
};

inline constexpr int most_tries = 40; // each costs a check of the whole shop

// By which it is found out what a fix leaves; null: it does not know, and nothing that is told then is worth anything.
using CheckShop = std::function<std::unique_ptr<Shopful>(const Files&, const CheckOptions&)>;

// `paths`: the files or folders to mend, from the root of the shop; none: all.
Mended mend(const Files& before, const std::vector<std::string>& paths, int tries = most_tries,
            const CheckShop& check = check_shop);

// Of several errors, one may be the mistake, and the others what comes of it: where the fix of one leaves none, and no message that was not
// there before, only that one is kept, with what its fix leaves. `gone` counts the others.
messages::Messages told_by_cause(const Files& files, const Shopful& shop, const messages::Messages& shown,
                                 std::size_t& gone, const CheckShop& check = check_shop);

// What a check says of a shop.
struct Statement {
    messages::Messages shown;
    std::size_t gone = 0; // errors that come of one that is shown
    std::string then;     // of what is to be tried, a line; or nothing
};
struct Saying {
    bool by_cause = false; // for people: `gone`
    bool tries = false;    // `then`
};
Statement said_of(const Files& files, const Shopful& shop, const std::vector<std::string>& paths, Saying saying,
                  const CheckShop& check = check_shop);

} // namespace benchleaf::driver
