// Records as text, as `record` writes them, for tests of what is reckoned and printed from them. Vehicles and figures are invented.
#pragma once

#include "driver/pipeline.h"
#include "driver/records.h"
#include "history/history.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <memory>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::sample {

struct Visit {
    std::string id;
    std::string date;
    std::string meter;        // empty: not written down
    std::string next_service; // likewise
    std::string outcome = "finished";
    std::string vehicle = "ostrel-haul-300";
    std::string name = "Ostrel Haul 300";
    std::string identity = "registration: TX 30 418, frame: OH3-00417";
    std::string more = {}; // keys of the record before its outcome
    std::vector<std::string> read =
        {}; // "limit: pad-thickness, of: inner-pad, at: left, read: 6.4 mm, minimum: 2.0 mm"
    std::vector<std::string> found = {}; // "of: front-disc, at: left, found: good"
    std::vector<std::string> renewed = {};
    std::string of_card = {}; // further keys of it, indented
    std::string card = "front-disc-service";
    std::string card_before = {}; // one of which nothing is written
    std::string used = {};
};

inline std::string text_of(const Visit& visit) {
    std::string text = fmt::format("record: {0}\njob: {0}\nvehicle: {1}\nname: {2}\nidentity: {{ {3} }}\n", visit.id,
                                   visit.vehicle, visit.name, visit.identity);
    if (!visit.meter.empty()) text += "meter: " + visit.meter + "\n";
    text += "date: " + visit.date + "\n";
    if (!visit.next_service.empty()) text += "next-service: " + visit.next_service + "\n";
    text += visit.more + "outcome: " + visit.outcome + "\n";
    text += "cards:\n";
    if (!visit.card_before.empty())
        text += fmt::format("  - card: {}\n    digest: 0123456789abcdef\n", visit.card_before);
    text += fmt::format("  - card: {}\n    title: Front disc brake – pads and guides\n    revision: 3\n"
                        "    digest: e01c09aaf8c38666\n",
                        visit.card);
    int step = 0;
    const auto list = [&](const char* key, const std::vector<std::string>& all) {
        if (all.empty()) return;
        text += fmt::format("    {}:\n", key);
        for (const std::string& each : all) text += fmt::format("      - {{ step: {}, {} }}\n", ++step, each);
    };
    list("readings", visit.read);
    list("found", visit.found);
    list("renewed", visit.renewed);
    text += visit.of_card + visit.used;
    return driver::sealed(text);
}

// In the folder of its vehicle: by its frame, else by the first number that is told.
inline std::string path_of(const Visit& visit) {
    history::Identity identity;
    std::istringstream numbers(visit.identity);
    for (std::string each; std::getline(numbers >> std::ws, each, ',');) {
        const std::size_t colon = each.find(": ");
        identity.push_back({{each.substr(0, colon), {}}, {each.substr(colon + 2), {}}});
    }
    return "records/" + history::folder_of(identity) + "/" + visit.id + ".yaml";
}

// The demo shop with these records, read as the program reads it.
inline std::unique_ptr<driver::Shopful> shop_with(const std::vector<Visit>& visits) {
    namespace fs = std::filesystem;
    static const driver::Files demo = [] {
        driver::Files files;
        const fs::path root = fs::path(BENCHLEAF_SOURCE_DIR) / "procedures";
        for (const auto& entry : fs::recursive_directory_iterator(root)) {
            if (entry.path().extension() != ".yaml") continue;
            std::ifstream in(entry.path());
            std::stringstream text;
            text << in.rdbuf();
            files.emplace(fs::relative(entry.path(), root).string(), text.str());
        }
        return files;
    }();
    driver::Files files = demo;
    for (const Visit& each : visits) files.emplace(path_of(each), text_of(each));
    auto shop = driver::link_shop(files);
    for (const messages::Message& message : shop->messages.all())
        if (message.rule->level == messages::Level::error) FAIL_CHECK(message.text);
    REQUIRE(shop->model.records.size() == visits.size());
    return shop;
}

// A pad that was read and what followed.
inline std::string pad(std::string_view item, std::string_view side, std::string_view size,
                       std::string_view verdict = "within") {
    return fmt::format("limit: pad-thickness, of: {}, at: {}, read: {}, minimum: 2.0 mm, uncertainty: 0.1 mm, keep: "
                       "4.1 mm, verdict: {}",
                       item, side, size, verdict);
}

} // namespace benchleaf::sample
