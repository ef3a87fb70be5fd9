// The stages by name, in their order: what `--stop-after` takes and by what `explain` groups the checks.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

namespace benchleaf::driver {

enum class Stage : std::uint8_t { folder, syntax, model, linked, wording, fitted, proof, card, pages, record };

struct StageSays {
    std::string_view name;
    std::string_view about; // what it looks at, for the list of checks
};

inline constexpr std::array<StageSays, 10> stages = {{
    {"folder", "the files of the shop"},
    {"syntax", "how a file is spelled"},
    {"model", "what a key may hold"},
    {"linked", "names and what they stand for"},
    {"wording", "how steps and cautions are worded, in English"},
    {"fitted", "values for a vehicle"},
    {"proof", "the close-out"},
    {"card", "what the card needs"},
    {"pages", "the card on paper"},
    {"record", "what was filled in on the cards"},
}};

constexpr const StageSays& says(Stage stage) {
    return stages[static_cast<std::size_t>(stage)];
}
constexpr std::optional<Stage> stage_of(std::string_view name) {
    for (std::size_t i = 0; i < stages.size(); ++i)
        if (stages[i].name == name) return static_cast<Stage>(i);
    return std::nullopt;
}

} // namespace benchleaf::driver
