// How far libqpdf may unpack. Internal to filled/. A few bytes can be packed so that they unpack to gigabytes, and libqpdf has no bound of
// its own, so while a Budget lives in a thread the streams of that thread are unpacked by filters of ours, which count.
#pragma once

#include <cstddef>

namespace benchleaf::filled {

// Leaves libqpdf where the budget is spent; caught where the Budget is.
struct Spent {};

class Budget {
public:
    explicit Budget(std::size_t bytes);
    ~Budget();
    Budget(const Budget&) = delete;
    Budget& operator=(const Budget&) = delete;

    void allow(std::size_t bytes) { left_ = bytes; } // from here on
    bool take(std::size_t bytes);                    // whether there was so much left

private:
    std::size_t left_;
};

} // namespace benchleaf::filled
