// What is handed out of a shop's records, as content in the card's language with no thought of paper: the customer's page of one record, and a vehicle's
// readings over time. pages/ sets it, text/ prints it, with the head, the foot and the few words that a card has, too.
//
//     const Report page = customer_page(shop, record);
//     const Report over_time = of_history(shop, vehicle);
#pragma once

#include "card/card.h"
#include "history/history.h"
#include "report/shop.h"

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace benchleaf::report {

struct Paragraph {
    std::string text;
    bool strong = false;
};

struct Pairs { // "front disc, left": "good"
    std::vector<std::pair<std::string, std::string>> lines;
};

struct Table {
    std::vector<std::string> heads;
    std::vector<bool> right; // by column: figures, set to the right
    std::vector<std::vector<std::string>> rows;
};

// One thing on all of its sides, to be taken in at a glance.
struct Measured {
    struct Side {
        std::string name; // "left"; empty where there is one
        std::string read; // "6.4 mm"
        std::string verdict;
        bool bad = false;                 // anything but good
        std::optional<card::WearBar> bar; // `expected` is what was read
    };
    std::string name;  // "inner brake pad – lining thickness"
    std::string limit; // "at least 2.0 mm"
    std::vector<Side> sides;
};
struct Readings {
    std::vector<Measured> list;
};

// Readings over the meter, or over days: points by series, and what was reckoned from them. Positions are figures of the axes' units.
struct Plot {
    struct Point {
        double x = 0, y = 0;
    };
    struct Series {
        std::string name; // "left"; empty where there is one
        std::vector<Point> read;
        std::vector<double> renewed;
        std::vector<Point> line;     // through the readings: its two ends
        std::vector<Point> expected; // from the last reading on to the limit with its guard band
        std::vector<Point> soonest;
    };
    struct Tick {
        double at = 0;
        std::string text;
    };
    struct Axis {
        double from = 0, to = 1;
        std::vector<Tick> ticks;
        std::string name; // "meter reading, km"
    };
    Axis x, y;
    std::vector<Series> series;
    std::optional<double> limit;   // of y
    std::optional<double> guarded; // the limit with its guard band, where it is another
    std::optional<double> next_service;
    std::string limit_text, guarded_text, line_text, expected_text, soonest_text, renewed_text, next_service_text;
};

struct Signature {
    std::string role; // "done by"
    std::string who;
};
struct Signatures {
    std::vector<Signature> list;
};

using Part = std::variant<Paragraph, Pairs, Table, Readings, Plot, Signatures>;

struct Block {
    std::string heading;
    std::vector<Part> parts;
};

struct Report {
    std::string language; // BCP 47
    card::Head head;
    std::optional<card::Stop> stop; // NOT TO BE DRIVEN
    std::vector<Block> blocks;
    card::Foot foot;
    card::Words words;
    std::string file_stem; // "2026-0412.customer"
};

Report customer_page(const Shop& shop, const model::Record& record);

Report of_history(const Shop& shop, const history::Vehicle& vehicle);

} // namespace benchleaf::report
