// The demo shop, read and linked once a test program.
#pragma once

#include "driver/pipeline.h"

#include <doctest/doctest.h>
#include <utility>

namespace benchleaf::outside {

inline const driver::Files& files() {
    static const driver::Files all = [] {
        auto read = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
        REQUIRE(read.ok());
        return std::move(read.value().files);
    }();
    return all;
}

inline const driver::Shopful& shop() {
    static const auto linked = driver::link_shop(files());
    return *linked;
}

} // namespace benchleaf::outside
