// A shop's records that are read from its archive: each is read and judged by itself, and then let go, but for what it tells of whose it is, as numbers
// (reach::Told). What a card or a message may show is read once more, when all are known, and stays: what is not as it ought to be, and all that has to do with
// that or with a job's vehicle.
//
//     Heads heads(paths);                                       // each is put where its path is
//     heads.put(i, read_head(path, bytes));                     // on any thread: the values are each by itself
//     for (const std::size_t i : heads.wanted(of_jobs)) …       // these are taken into the shop
#pragma once

#include "driver/archive.h"
#include "model/model.h"
#include "reach/reach.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::driver {

// Of one record: what it tells, and whether it is whole, nothing is wrong with it and it lies where it belongs.
struct Head {
    reach::Told told;
    bool plain = false;
};
Head read_head(const std::string& path, std::string_view bytes);

// Of all records of an archive, in the order of their paths.
class Heads {
public:
    void add(const std::string& path, const Head& head);

    // What has to be in the shop for that to be told, on a card or a message, which is told of these jobs and of what was read otherwise.
    std::vector<std::size_t> wanted(const model::Model& model) const;

    std::size_t size() const { return begins_.size() - 1; }
    reach::Tells told(std::size_t i) const;

private:
    // Most shops have tens of thousands of records of a few numbers each: all in one.
    std::vector<reach::Mark> marks_; // what each tells, and then the folder that it lies in
    std::vector<std::uint32_t> begins_ = {0};
    std::vector<std::uint32_t> odd_; // those that are not plain
};

} // namespace benchleaf::driver
