// The kinds of file that a shop is made of, and where each lies.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

namespace benchleaf::model {

enum class Kind : std::uint8_t { shop, catalogue, vehicle, procedure, job, record, answers, approval };

inline constexpr std::array<std::string_view, 8> kind_words = {"shop", "catalogue", "vehicle", "procedure",
                                                               "job",  "record",    "answers", "approval"};

constexpr std::string_view word(Kind kind) {
    return kind_words[static_cast<std::size_t>(kind)];
}
constexpr std::optional<Kind> kind_of(std::string_view word) {
    for (std::size_t i = 0; i < kind_words.size(); ++i)
        if (kind_words[i] == word) return static_cast<Kind>(i);
    return std::nullopt;
}

// The folder that a kind lies in, below the shop's root; empty for the shop itself and for procedures, which may lie in
// any other.
constexpr std::string_view folder(Kind kind) {
    switch (kind) {
    case Kind::catalogue:
        return "catalogue";
    case Kind::vehicle:
        return "vehicles";
    case Kind::job:
        return "jobs";
    case Kind::record:
        return "records";
    case Kind::answers:
        return "answers";
    case Kind::approval:
        return "approvals";
    case Kind::shop:
    case Kind::procedure:
        return "";
    }
    return "";
}

} // namespace benchleaf::model
