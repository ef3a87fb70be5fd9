#include "record/asks.h"

#include "base/text.h"
#include "labels/labels.h"
#include "record/names.h"

#include <algorithm>

namespace benchleaf::record {

namespace {

// "4,40" where that is how the card writes four and two fifths.
std::string with_point(std::string text) {
    const std::size_t comma = text.find(',');
    const auto digits = [](std::string_view part) {
        return !part.empty() && part.find_first_not_of("0123456789") == std::string_view::npos;
    };
    const std::size_t end =
        std::min(text.find_first_not_of("0123456789", comma == std::string::npos ? 0 : comma + 1), text.size());
    if (comma == std::string::npos || !digits(std::string_view(text).substr(0, comma)) ||
        !digits(std::string_view(text).substr(comma + 1, end - comma - 1)) ||
        text.find(',', comma + 1) != std::string::npos)
        return text;
    text[comma] = '.';
    return text;
}

} // namespace

Answers filled_in(const Sheet& sheet, const Answers& boxes, Written written) {
    const auto units = written == Written::in_a_form ? units_of_boxes(sheet) : std::map<std::string, std::string>();
    const labels::Labels* words = sheet.cards.empty() ? nullptr : labels::find(sheet.cards.front()->language);
    const bool comma = words != nullptr && words->decimal_mark() == ',';
    Answers made;
    for (const auto& [box, text] : boxes) {
        std::string answer(base::trimmed(text));
        if (answer.empty()) continue;
        if (const auto unit = units.find(box); unit != units.end()) {
            if (comma) answer = with_point(std::move(answer));
            if (!unit->second.empty() && std::holds_alternative<units::Decimal>(units::parse_decimal(answer)))
                answer += " " + unit->second;
        }
        made.emplace(box, std::move(answer));
    }
    // A repeat that was not good after its last round: every round is ticked, and yes is not.
    for (std::size_t i = 0; i < sheet.cards.size(); ++i)
        for (const card::Section& section : sheet.cards[i]->sections)
            for (const card::Row& row : section.rows) {
                const auto* repeat = std::get_if<card::Repeat>(&row.what);
                if (repeat == nullptr) continue;
                for (std::size_t column = 1; column <= section.columns.size(); ++column) {
                    const std::string name = prefix_of(sheet, i + 1) + row.name + "/";
                    const std::string at = "/" + std::to_string(column);
                    bool all = true;
                    for (std::uint32_t round = 1; round <= repeat->rounds; ++round)
                        all = all && made.contains(name + "round-" + std::to_string(round) + at);
                    if (all && !made.contains(name + "yes" + at)) made.emplace(name + "over" + at, "x");
                }
            }
    return made;
}

} // namespace benchleaf::record
