// Who reads a shop and who puts several files into it keep out of each other's way: a reader sees all of them or none. The shop's folder itself is locked
// (flock(2)): by readers together while they read its texts, by a writer alone; the lock ends with the program.
//
// A writer that is killed half-way has left word: before the first of its files takes its name, a list of all of them lies in the shop's folder, and goes
// when the last one has. Whoever comes to the shop next and finds it puts the rest in their places first. So what several files do together is done
// or not done, whenever the light goes out.
#pragma once

#include "base/result.h"
#include "driver/landing.h"

#include <memory>
#include <string>
#include <vector>

namespace benchleaf::driver {

class ShopLock {
public:
    enum class For { reading, writing };
    // Others are waited for for a while; then, and where what a killed program left cannot be finished, it is a Failure.
    // Where the folder cannot be locked (some file systems), nobody is kept out.
    static base::Result<std::unique_ptr<ShopLock>> take(const std::string& root, For what);
    ShopLock(const ShopLock&) = delete;
    ShopLock& operator=(const ShopLock&) = delete;
    ~ShopLock();

private:
    explicit ShopLock(int file) : file_(file) {}
    int file_;
};

// Of what stands in a file's place before (empty: nothing) and after it.
struct FileDigests {
    std::string before, after;
};

// All of them take their names, or, if this program is killed, the next one sees to it. For whoever has the lock for writing; all are prepared
// with the mark `being_landed`, and `digests` are theirs.
base::Result<base::Done> land_in_shop(const std::string& root, Landing& landing,
                                      const std::vector<FileDigests>& digests);

} // namespace benchleaf::driver
