// The cover sheet of a job: what the job is, in the order in which it is read before anybody picks up a tool. It is the only leaf with the
// customer's name and words: cards lie about and are copied.
#pragma once

#include "card/card.h"

#include <cstdint>
#include <string>
#include <vector>

namespace benchleaf::card {

struct CoverLine {
    std::string text;                 // "disc micrometer"
    std::string amount;               // "0.42 L", "2 ×"; may be empty
    std::string about;                // of a wrench: its serial number, its calibration
    std::vector<std::uint32_t> cards; // that it is for, in order
};

struct CoverList {
    std::string title;
    std::string name; // of its boxes: "tool"
    std::vector<CoverLine> lines;
};

struct CoverCard {
    std::uint32_t number = 0;
    std::string title;
    std::string minutes; // "35–50 min"; may be empty
};

// The few words that stand on a cover sheet alone.
struct CoverWords {
    std::string customer, says, work, sheets, pages, fetch, fetch_cards, who, does_work, name, started, finished;
};

struct Cover {
    std::string language;
    Head head; // its title says what it is
    std::string customer;
    std::string says; // the customer, of the vehicle
    std::vector<CoverCard> cards;
    std::string minutes;
    std::string stopped;             // what to do when the work stops half-way
    std::vector<TorqueLine> torques; // of all cards, in the order of work
    std::vector<CoverList> fetch;    // without those that would be empty
    std::vector<std::string> signs;  // the initials that may sign; may be none
    std::string check_rule;          // who may do the second check
    std::string next_service;
    Foot foot;
    Words words;
    CoverWords own;
    std::string file_stem; // "2026-0412-0-cover"
};

// "1–3, 5"
std::string numbers(const std::vector<std::uint32_t>& cards);

} // namespace benchleaf::card
