// What libFuzzer calls, for the one target that it is built for.
#include "fuzz/targets.h"

#include <cstddef>
#include <cstdint>

// What a target makes ready once is not the first input's time.
extern "C" int LLVMFuzzerInitialize(int*, char***) {
    benchleaf::fuzz::BENCHLEAF_FUZZ_TARGET({});
    return 0;
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    benchleaf::fuzz::BENCHLEAF_FUZZ_TARGET(std::string_view(reinterpret_cast<const char*>(data), size));
    return 0;
}
