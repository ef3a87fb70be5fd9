// What the cases and the pages are run through: the program's own pipeline, from the files of a shop by their paths to messages, as far
// as the stage whose check is looked at. The example of an early check need not be a whole shop.
#pragma once

#include "cases/png.h"
#include "driver/pipeline.h"
#include "driver/rules.h"
#include "driver/stage.h"
#include "messages/message.h"

#include <map>
#include <memory>
#include <string>
#include <vector>

namespace benchleaf::cases {

using Ran = driver::Shopful; // its sources and messages

// A rule and the stage through which its cases are run.
struct StagedRule {
    const messages::Rule* rule;
    std::string stage;
};

inline constexpr const char* approved = "approved";       // asked for
inline constexpr const char* whole = "linked as a whole"; // what is unused shows only in a look over a whole shop

inline std::vector<StagedRule> rules() {
    std::vector<StagedRule> all;
    for (const driver::StageRule& each : driver::all_rules()) {
        std::string stage(driver::says(each.stage).name);
        if (each.rule->name == "unused-entry") stage = whole;
        if (each.rule->name == "not-approved")
            stage = approved;
        else if (each.rule->name == "allows-nothing")
            stage = "pages";
        else if (each.stage == driver::Stage::folder)
            stage = "model"; // the folder is looked over once its files are read
        all.push_back({each.rule, stage});
    }
    return all;
}

// Every case and example has these in its folder `pictures`, as bytes cannot be written beside words.
inline std::map<std::string, std::string> pictures() {
    static const std::map<std::string, std::string> all = [] {
        const std::string sound = png(400, 300, 0, 8, checkered);
        return std::map<std::string, std::string>{{"pictures/caliper.png", sound},
                                                  {"pictures/small.png", png(294, 200, 0, 8, checkered)},
                                                  {"pictures/enough.png", png(295, 200, 0, 8, checkered)},
                                                  {"pictures/cut-short.png", sound.substr(0, sound.size() / 2)},
                                                  {"pictures/empty.jpg", ""},
                                                  {"pictures/named-wrong.jpg", sound},
                                                  {"pictures/a.png", sound}};
    }();
    return all;
}
// Through the stages up to and with `stage`.
inline std::unique_ptr<Ran> run(std::map<std::string, std::string> files, const std::string& stage) {
    files.merge(pictures());
    driver::CheckOptions options;
    options.until = stage == whole ? driver::Stage::linked : driver::stage_of(stage).value_or(driver::Stage::record);
    options.approved = stage == approved;
    options.unused = stage == whole || options.until >= driver::Stage::proof;
    return driver::check_shop(files, options);
}

// Each error of a shop as "check: help".
inline std::vector<std::string> helps(const std::map<std::string, std::string>& files) {
    std::vector<std::string> all;
    const auto ran = run(files, "pages");
    for (const messages::Message& message : ran->messages.all()) {
        if (message.rule->level != messages::Level::error) continue;
        all.push_back(std::string(message.rule->name) + ": " + messages::help_of(message));
        // The other keys that an entry may have are tested once, in help_test.cpp.
        const std::size_t others = all.back().find("it may also have `");
        if (others != std::string::npos) all.back().replace(others, all.back().find("`)", others) + 1 - others, "…");
    }
    return all;
}

// The stage of a case by its folder, or of a check's case by the check; empty where there is none of that name.
inline std::string stage_of(const std::string& folder, const std::string& stem) {
    if (folder != "checks") return driver::stage_of(folder) ? folder : "";
    for (const StagedRule& staged : rules())
        if (staged.rule->name == stem) return staged.stage;
    return "";
}

} // namespace benchleaf::cases
