// A law over the demo shop spoiled at random: where a card comes out otherwise, the digest of its procedure is another one, so its approval has
// fallen. But for what is a vehicle's or the shop's own: there nothing is changed here.
#include "driver/meanings.h"
#include "driver/pipeline.h"

#include <cstdlib>
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <map>
#include <random>
#include <set>

using namespace benchleaf;

namespace {

using Digests = std::map<std::string, std::string>;

struct State {
    bool good = false;
    Digests procedures; // by the procedure
    Digests cards;      // by procedure and vehicle
};

State state_of(const driver::Files& files) {
    State state;
    const auto shop = driver::link_shop(files);
    if (shop->messages.any_error() || shop->linked.model == nullptr) return state;
    const meaning::Meaning all = driver::meaning_of(*shop);
    driver::PrintOptions options;
    options.until = driver::Stage::card;
    for (const linked::Procedure& procedure : shop->linked.procedures) {
        const std::string& name = procedure.source->id.value;
        state.procedures[name] = driver::procedure_digest(all, all.find(meaning::Kind::procedure, name));
        for (const linked::Vehicle& vehicle : shop->linked.vehicles) {
            const auto work = driver::make_blank(*shop, procedure.id, vehicle.id, options);
            for (const driver::PagedCard& card : work->cards)
                state.cards[name + " " + vehicle.source->id.value] = card.card.head.digest;
        }
    }
    state.good = true;
    return state;
}

// One small change: a digit counted up, a letter of a word put in twice, a line taken out, or one with the line below it changed about.
std::string spoiled(const std::string& text, std::mt19937& random) {
    std::vector<std::string> lines;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = text.find('\n', at);
        lines.push_back(text.substr(at, end - at));
        at = end == std::string::npos ? text.size() : end + 1;
    }
    const std::size_t line = random() % lines.size();
    std::string& one = lines[line];
    switch (random() % 4) {
    case 0: {
        std::vector<std::size_t> digits;
        for (std::size_t i = 0; i < one.size(); ++i)
            if (one[i] >= '0' && one[i] <= '8') digits.push_back(i);
        if (!digits.empty()) ++one[digits[random() % digits.size()]];
        break;
    }
    case 1: {
        std::vector<std::size_t> letters;
        for (std::size_t i = 0; i < one.size(); ++i)
            if (one[i] >= 'a' && one[i] <= 'z') letters.push_back(i);
        if (letters.empty()) break;
        const std::size_t at = letters[random() % letters.size()];
        one.insert(at, 1, one[at]);
        break;
    }
    case 2:
        one.clear();
        break;
    default:
        if (line + 1 < lines.size()) std::swap(lines[line], lines[line + 1]);
    }
    std::string made;
    for (const std::string& each : lines) made += each + "\n";
    return made;
}

} // namespace

TEST_CASE("no card becomes another while its procedure's digest stays") {
    const auto read = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
    REQUIRE(read.ok());
    const driver::Files& demo = read.value().files;
    const State before = state_of(demo);
    REQUIRE(before.good);
    CHECK(before.cards.size() > 40);
    std::vector<std::string> paths;
    for (const auto& each : demo)
        if (each.first.ends_with(".yaml") && each.first != "shop.yaml" && !each.first.starts_with("vehicles/") &&
            !each.first.starts_with("jobs/") && !each.first.starts_with("approvals/"))
            paths.push_back(each.first);
    const char* wanted = std::getenv("BENCHLEAF_ROUNDS");
    const int rounds = wanted != nullptr ? std::atoi(wanted) : BENCHLEAF_TIME_SLACK > 5 ? 20 : 120;
    const char* seed = std::getenv("BENCHLEAF_SEED");
    std::mt19937 random(seed != nullptr ? static_cast<unsigned>(std::atoi(seed)) : 11U); // NOLINT: the same every time
    int good = 0, touched = 0;
    for (int round = 0; round < rounds; ++round) {
        driver::Files files = demo;
        const std::string& path = paths[random() % paths.size()];
        const std::string text = files[path];
        files[path] = spoiled(text, random);
        if (files[path] == text) continue;
        const State after = state_of(files);
        if (!after.good) continue;
        ++good;
        for (const auto& each : after.cards) {
            const std::string& card = each.first;
            const std::string& digest = each.second;
            const auto was = before.cards.find(card);
            if (was == before.cards.end() || was->second == digest) continue;
            const std::string procedure = card.substr(0, card.find(' '));
            ++touched;
            CAPTURE(path);
            CAPTURE(card);
            if (before.procedures.at(procedure) == after.procedures.at(procedure)) {
                std::size_t at = 0;
                while (text[at] == files[path][at]) ++at;
                const std::size_t begin = text.rfind('\n', at) + 1;
                CAPTURE(text.substr(begin, 300));
                FAIL_CHECK("the card changed, and the procedure's digest did not");
            }
        }
    }
    CHECK(good > rounds / 6);
    CHECK(touched > rounds / 20);
    MESSAGE(rounds << " changes, " << good << " without an error, " << touched << " cards touched");
}
