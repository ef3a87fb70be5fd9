// The targets: what is read from outside, each as a function that takes any bytes and aborts where a law does not hold. libFuzzer calls one of them (entry.cpp), the test
// of the cases calls all of them.
#pragma once

#include <array>
#include <string_view>

namespace benchleaf::fuzz {

void file(std::string_view input);
void shop(std::string_view input);
void bundle(std::string_view input);
void record(std::string_view input);
void code(std::string_view input);
void picture(std::string_view input);
void render(std::string_view input);
void filled(std::string_view input);

struct Target {
    std::string_view name; // of its folders, too
    void (*run)(std::string_view input);
};

inline constexpr std::array<Target, 8> targets = {{{"file", file},
                                                   {"shop", shop},
                                                   {"bundle", bundle},
                                                   {"record", record},
                                                   {"code", code},
                                                   {"picture", picture},
                                                   {"render", render},
                                                   {"filled", filled}}};

} // namespace benchleaf::fuzz
