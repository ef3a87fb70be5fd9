// A small shop with one vehicle, for what is done hundreds of times: its files, somebody who answers the recorder about it, a file with the same answers,
// and what to look at when something has been done to it.
#pragma once

#include "gates/program.h"

#include "digest/digest.h"

#include <fmt/format.h>
#include <map>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace benchleaf::gates {

// Somebody who answers as on a good day: what the recorder offers, and for what it asks with these words, that.
using Says = std::vector<std::pair<std::string, std::string>>;
inline auto somebody(Says says) {
    return [says = std::move(says)](const std::string& asked) -> std::optional<std::string> {
        for (const auto& [words, answer] : says)
            if (asked.find(words) != std::string::npos) return answer;
        if (asked.ends_with("] > ")) return "";
        if (asked.find("econd check") != std::string::npos) return "CD";
        if (asked.find("initials") != std::string::npos) return "AB";
        if (asked.find("good, advise") != std::string::npos) return "good";
        if (asked.find("yes or no") != std::string::npos || asked.ends_with("yes > ")) return "yes";
        return "skip";
    };
}

// The same about the demo's first vehicle.
inline Says read_as(const std::string& pads, const std::string& disc = "4.40 mm") {
    return {{"disc thickness", disc},     {"disc runout", "0.02 0.03 0.05 0.04 0.03 0.02 0.01 0.02 mm"},
            {"brake pad, left  (", pads}, {"brake pad, right  (", pads},
            {"gauge used", "FW-0031"},    {"part number", "FP-2210 / 0926"},
            {"Customer told", "told"}};
}

inline bool has(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

inline void small_shop(const std::string& shop) {
    write(shop + "/shop.yaml", "shop: small-works\nname: Small Works\nsigns: [AB, CD]\n");
    write(shop + "/catalogue/frame.yaml", R"(catalogue: frame
parts: { plate: { name: plate, held-by: [bolt] }, pad: { name: brake pad } }
fasteners:
  bolt: { name: plate bolt, thread: M8x1.25, class: "8.8", critical: true }
torques: { bolt: { value: 25 N·m ±10 %, threads: dry, source: invented } }
limits:
  lining: { name: lining, of: pad, new: 9.0 mm, minimum: 2.0 mm, reads-to: 0.1 mm, uncertainty: 0.1 mm, source: invented }
)");
    write(shop + "/vehicles/cart.yaml", "vehicle: cart\nname: Cart\n");
    write(shop + "/work/plate.yaml", R"(procedure: plate
title: Plate
revision: 1
uses: frame
steps:
  - slacken: bolt
  - torque: bolt
    record: value
  - record: What the plate looks like
  - measure: lining
  - decide: lining
    if-not:
      - Write on the board that the lining is due.
)");
    write(shop + "/jobs/cart-1.yaml",
          "job: cart-1\nvehicle: cart\nidentity: { frame: CT 0417 }\ndate: 2026-11-25\ndo: [plate, plate]\n");
}

// Puts one word of a file in the place of another.
inline void spoil_in(const std::string& path, const std::string& from, const std::string& to) {
    std::string text = read(path);
    const std::size_t place = text.find(from);
    if (place == std::string::npos) throw std::logic_error(path + " has no " + from);
    write(path, text.replace(place, from.size(), to));
}

inline Says on_the_cart() {
    return {{"lining  (", "4.4 mm"}, {"±10 %) > ", "24.5 N·m"}, {"What the plate", "clean, left edge bent"}};
}

inline std::map<std::string, std::string> below(const std::string& folder) {
    std::map<std::string, std::string> files;
    if (std::filesystem::exists(folder))
        for (const auto& entry : std::filesystem::recursive_directory_iterator(folder))
            if (entry.is_regular_file() && entry.path().filename() != ".lock")
                files[entry.path().lexically_relative(folder)] = read(entry.path());
    return files;
}

inline bool sealed(const std::string& text) {
    const std::size_t at = text.rfind("\nseal: ");
    return at != std::string::npos &&
           text.substr(at + 1) == "seal: " + digest::sha256_hex(text.substr(0, at + 1)) + "\n";
}

// A file of answers for the small shop's job: what would be typed.
inline std::string answers(const std::vector<std::pair<std::string, std::string>>& other = {}) {
    std::map<std::string, std::string> boxes;
    for (const std::string card : {"card-1", "card-2"}) {
        for (const std::string step : {"1", "2", "3", "4"}) boxes[card + "/step-" + step + "/tick/1"] = "x";
        boxes[card + "/step-2/torque-1/value/1"] = "24.5 N·m";
        boxes[card + "/step-2/torque-1/initials/1"] = "AB";
        boxes[card + "/step-2/second-check/1"] = "CD";
        boxes[card + "/step-3/note/1"] = "clean";
        boxes[card + "/step-4/reading-1/1"] = "4.4 mm";
        boxes[card + "/step-5/yes/1"] = "x";
        boxes[card + "/close-out/1"] = "x";
        boxes[card + "/sign-off/1"] = "AB";
        boxes[card + "/sign-off/2"] = "CD";
        boxes[card + "/sign-off/5"] = "2026-11-25";
    }
    for (const auto& [box, text] : other) boxes[box] = text;
    std::string to = "answers: cart-1\nboxes:\n";
    for (const auto& [box, text] : boxes)
        if (!text.empty()) to += fmt::format("  {}: \"{}\"\n", box, text);
    return to;
}

// `  box: text` of a record, as it was filled in.
inline std::map<std::string, std::string> boxes_of(const std::string& record) {
    std::map<std::string, std::string> boxes;
    for (std::size_t at = record.find("\nboxes:\n") + 8; at < record.size() && record.compare(at, 2, "  ") == 0;) {
        const std::size_t end = record.find('\n', at);
        const std::size_t colon = record.find(": ", at);
        std::string text = record.substr(colon + 2, end - colon - 2);
        if (text.starts_with('"')) text = text.substr(1, text.size() - 2);
        boxes[record.substr(at + 2, colon - at - 2)] = text;
        at = end + 1;
    }
    return boxes;
}

} // namespace benchleaf::gates
