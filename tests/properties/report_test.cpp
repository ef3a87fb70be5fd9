// What is printed of records: the rules of layout over reports of every size, in every language, on every paper; what the customer's page says; what is due.
//
//     BENCHLEAF_LOOK=/tmp/look test_properties_report        # writes the pages as PDF to be looked at
#include "base/text.h"
#include "driver/pipeline.h"
#include "history/history.h"
#include "labels/labels.h"
#include "pages/lay_out.h"
#include "properties/layout_rules.h"
#include "properties/sample_records.h"
#include "report/due.h"
#include "report/forecast.h"
#include "report/report.h"
#include "text/text.h"

#include <cstdlib>
#include <random>

using namespace benchleaf;
using namespace benchleaf::layout_rules;

namespace {

using sample::Visit;

driver::PrintOptions in(std::string_view language, pages::Paper paper = pages::Paper::a4) {
    driver::PrintOptions options;
    options.language = language;
    options.paper = paper;
    return options;
}

void look_at(const driver::Shopful& shop, const report::Report& report, const driver::PrintOptions& options,
             const std::string& name) {
    const char* folder = std::getenv("BENCHLEAF_LOOK");
    if (folder == nullptr) return;
    std::filesystem::create_directories(folder);
    auto bytes = driver::pdf_of(shop, report, options);
    REQUIRE(bytes);
    std::ofstream(std::string(folder) + "/" + name + ".pdf", std::ios::binary) << bytes.value();
}

pages::Pages laid_out(const report::Report& report, pages::Paper paper) {
    messages::Messages said;
    auto all = pages::lay_out(report, paper, said);
    for (const auto& message : said.all()) MESSAGE(message.text);
    REQUIRE(all.has_value());
    return std::move(*all);
}

std::string all_words(const pages::Pages& all) {
    std::string words;
    for (const pages::Page& page : all.pages)
        for (const pages::Box& box : page.boxes) words += words_in(box);
    return words;
}

// A visit as they mostly are: two brakes, four pads, two discs.
Visit common() {
    Visit visit{"2026-0412", "2026-11-25", "12 460 km", "18 460 km"};
    visit.more = "customer: R. Alder\n";
    for (const char* side : {"left", "right"}) {
        visit.read.push_back(
            sample::pad("inner-pad", side, side[0] == 'l' ? "6.4 mm" : "3.9 mm",
                        side[0] == 'l' ? "within, limit-at: 24 100 km" : "not-to-next-service, limit-at: 17 800 km"));
        visit.read.push_back(sample::pad("outer-pad", side, "6.7 mm"));
        visit.read.push_back(
            fmt::format("limit: disc-thickness, of: front-disc, at: {}, read: 4.42 mm, minimum: 4.00 mm, "
                        "uncertainty: 0.01 mm, keep: 4.20 mm, verdict: within",
                        side));
        visit.read.push_back(fmt::format(
            "limit: disc-runout, of: front-disc, at: {}, read: 0.04 mm, maximum: 0.10 mm, verdict: within", side));
        visit.found.push_back(fmt::format("of: front-disc, at: {}, found: good", side));
        visit.found.push_back(
            fmt::format("of: front-caliper, at: {}, found: {}", side, side[0] == 'l' ? "advise" : "good"));
    }
    visit.of_card =
        "    checked:\n      - { step: 35, by: CD }\n"
        "    written:\n      - { step: 3, asked: \"Write down: Brake fluid, boiling point\", written: 212 °C }\n"
        "    also-found: left boot torn\n    declined: new tyres\n    done-by: AB\n    checked-by: CD\n"
        "    wrenches: FW-0118\n    gauges: FW-0031\n    date: 2026-11-25\n    time: \"16:40\"\n";
    visit.used =
        "used:\n  - { what: silicone brake grease, amount: 2.5 g }\n  - { what: brake cleaner, amount: 60 mL }\n";
    return visit;
}

// A vehicle that comes often: `count` readings of each of two pads, worn at an even rate with some noise, renewed now and then.
std::vector<Visit> many_visits(std::size_t count, unsigned seed) {
    std::mt19937 random(seed);
    std::uniform_int_distribution<int> noise(-1, 1);
    std::vector<Visit> all;
    int size[] = {90, 88};
    for (std::size_t i = 0; i < count; ++i) {
        const auto day = mechanics::Date{std::chrono::sys_days{std::chrono::year{1990} / 1 / 1} +
                                         std::chrono::days{static_cast<int>(i) * 60}};
        Visit visit{fmt::format("v{:04}", i), mechanics::print(day), fmt::format("{} km", 1000 + 1200 * i),
                    fmt::format("{} km", 1000 + 1200 * (i + 3))};
        bool renew = false;
        for (int side = 0; side < 2; ++side) {
            size[side] -= 4 + noise(random);
            const int shown = std::max(size[side], 5);
            visit.read.push_back(sample::pad("inner-pad", side == 0 ? "left" : "right",
                                             fmt::format("{}.{} mm", shown / 10, shown % 10),
                                             shown < 19   ? "past"
                                             : shown < 21 ? "doubtful"
                                             : shown < 41 ? "not-to-next-service"
                                                          : "within"));
            renew = renew || shown < 25;
        }
        if (renew)
            for (int side = 0; side < 2; ++side) {
                visit.renewed.push_back(
                    fmt::format("of: inner-pad, at: {}, batch: FP-2210 / {}", side == 0 ? "left" : "right", i));
                size[side] = 90;
            }
        all.push_back(std::move(visit));
    }
    return all;
}

// Without the ends of lines, wherever they fall.
std::string in_one_line(const std::string& text) {
    std::string made;
    for (const char c : text)
        if (c != '\n' && c != ' ')
            made += c;
        else if (!made.empty() && made.back() != ' ')
            made += ' ';
    return made;
}

void check_layout(const report::Report& report, pages::Paper paper) {
    CAPTURE(pages::name(paper));
    CAPTURE(report.language);
    const pages::Pages all = laid_out(report, paper);
    CHECK_NONE(faults_of(all));
    CHECK_NONE(cover_faults(all));
    // Nothing is lost: each cell, line and reading stands on some page, whatever breaks its lines.
    std::string words = all_words(all);
    const auto bare = [](std::string text) {
        std::string made;
        for (const char c : text)
            if (c != ' ' && c != '\xC2' && c != '\xA0' && c != '-') made += c;
        return made;
    };
    words = bare(words);
    for (const report::Block& block : report.blocks) {
        CHECK(words.find(bare(block.heading)) != std::string::npos);
        for (const report::Part& part : block.parts) {
            if (const auto* table = std::get_if<report::Table>(&part))
                for (const auto& row : table->rows)
                    if (words.find(bare(row.front())) == std::string::npos) FAIL_CHECK("lost: " << row.front());
            if (const auto* paragraph = std::get_if<report::Paragraph>(&part))
                if (words.find(bare(paragraph->text)) == std::string::npos) FAIL_CHECK("lost: " << paragraph->text);
        }
    }
    const std::string text = text::print(report);
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = text.find('\n', at);
        if (base::code_points(std::string_view(text).substr(at, end - at)) > 80)
            FAIL_CHECK("wider than 80: " << text.substr(at, end - at));
        at = end + 1;
    }
}

} // namespace

TEST_CASE("the customer's page of a common visit is one page, in every language, on A4 and Letter") {
    const auto shop = sample::shop_with({common()});
    for (const labels::Labels& each : labels::languages())
        for (const pages::Paper paper : papers) {
            const auto options = in(each.language, paper);
            const report::Report page =
                report::customer_page(driver::report_shop(*shop, options), shop->model.records.front());
            check_layout(page, paper);
            if (paper != pages::Paper::a5) CHECK(laid_out(page, paper).pages.size() == 1);
            look_at(*shop, page, options, fmt::format("customer-{}-{}", each.language, pages::name(paper)));
        }
}

TEST_CASE("reports of 1 to 200 visits keep the rules of layout") {
    for (const std::size_t count : {1U, 2U, 3U, 12U, 200U}) {
        CAPTURE(count);
        const auto shop = sample::shop_with(many_visits(count, static_cast<unsigned>(count)));
        const history::History history = history::look_back(shop->model);
        REQUIRE(history.vehicles.size() == 1);
        for (const pages::Paper paper : papers)
            for (const labels::Labels& each : labels::languages()) {
                if (count > 12 && each.language != "de" && each.language != "el") continue;
                const auto options = in(each.language, paper);
                const report::Report report =
                    report::of_history(driver::report_shop(*shop, options), history.vehicles.front());
                check_layout(report, paper);
                if (each.language == "de")
                    look_at(*shop, report, options, fmt::format("history-{}-{}", count, pages::name(paper)));
            }
    }
}

TEST_CASE("long names and a vehicle that is not to be driven keep the rules of layout") {
    Visit visit = common();
    visit.outcome = "not-to-be-driven";
    visit.name = std::string(60, 'W') + " " + std::string(60, 'n');
    visit.read.push_back(
        sample::pad("a-part-that-the-shop-no-longer-has-" + std::string(60, 'x'), "left", "1.4 mm", "past"));
    visit.of_card += "    not-ticked: [8, 9]\n";
    const auto shop = sample::shop_with({visit});
    for (const labels::Labels& each : labels::languages())
        for (const pages::Paper paper : papers) {
            const auto options = in(each.language, paper);
            const report::Report page =
                report::customer_page(driver::report_shop(*shop, options), shop->model.records.front());
            check_layout(page, paper);
            REQUIRE(page.stop);
            CHECK(page.stop->headline == each.text(labels::Key::stop_headline));
            CHECK(all_words(laid_out(page, paper)).find(page.stop->headline.substr(0, 4)) != std::string::npos);
            look_at(*shop, page, options, fmt::format("stopped-{}-{}", each.language, pages::name(paper)));
        }
}

TEST_CASE("the customer's page says what is to be done, and by when") {
    const auto has = [](std::string text,
                        std::string_view words) { // whatever blank keeps a figure and its unit together
        for (const std::string_view blank : {"\u00a0", "\u202f"})
            for (std::size_t at = text.find(blank); at != std::string::npos; at = text.find(blank))
                text.replace(at, blank.size(), " ");
        return text.find(words) != std::string::npos;
    };
    const auto text_for = [](const Visit& visit) {
        const auto shop = sample::shop_with({visit});
        return in_one_line(
            text::print(report::customer_page(driver::report_shop(*shop, in("en")), shop->model.records.front())));
    };
    const std::string good = text_for(common());
    CHECK(good.find("before 17 800 km") != std::string::npos);
    CHECK(good.find("inner brake pad – lining thickness, right before 17 800 km") != std::string::npos);
    CHECK(good.find("limit expected at 24 100 km") != std::string::npos);
    CHECK(good.find("The customer declined") != std::string::npos);
    CHECK(good.find("next service at 18 460 km") != std::string::npos);
    CHECK(good.find("DRIVEN") == std::string::npos);
    CHECK(good.find("not independent") == std::string::npos);
    CHECK(good.find("212 °C") != std::string::npos);
    CHECK(good.find("Write down") == std::string::npos);

    // What was renewed after it was read is not advised any more.
    Visit renewed = common();
    renewed.renewed.push_back("of: inner-pad, at: right, batch: FP-2210 / 0926");
    const std::string after = text_for(renewed);
    CHECK(after.find("before 17 800 km") == std::string::npos);
    CHECK(after.find("renewed after this reading") != std::string::npos);
    CHECK(after.find("FP-2210 / 0926") != std::string::npos);
    // The other side is another thing.
    renewed.renewed.back() = "of: inner-pad, at: left, batch: FP-2210 / 0926";
    CHECK(text_for(renewed).find("before 17 800 km") != std::string::npos);

    Visit past = common();
    past.read[0] = sample::pad("inner-pad", "left", "1.8 mm", "past");
    past.outcome = "not-to-be-driven";
    const std::string stopped = text_for(past);
    CHECK(stopped.find("STOP – NOT TO BE DRIVEN") != std::string::npos);
    CHECK(stopped.find("at once, before it is driven") != std::string::npos);

    Visit alone = common();
    alone.of_card =
        "    checked:\n      - { step: 35, by: AB, time: \"17:20\", independent: not independent }\n    done-by: AB\n";
    CHECK(text_for(alone).find("second check not independent") != std::string::npos);

    // Expected at the mean rate beyond a service that it does not last to: no such figure is told.
    Visit margin = common();
    margin.read[0] = sample::pad("inner-pad", "left", "4.4 mm", "not-to-next-service, limit-at: 19 449 km");
    const std::string beyond = text_for(margin);
    CHECK(beyond.find("19 449") == std::string::npos);
    CHECK(beyond.find("lining thickness, left before the next service") != std::string::npos);

    // Put right in the same job: by a later reading of the same thing, on the same side, against the same figures.
    const auto pressure = [](const char* side, const char* size, const char* verdict, const char* least = "2.0 bar") {
        return fmt::format("limit: front-pressure, of: front-tyre, at: {}, read: {}, minimum: {}, verdict: {}", side,
                           size, least, verdict);
    };
    const auto found = [&](std::vector<std::string> read) {
        Visit job{"2026-0600", "2026-11-25", "12 460 km", "18 460 km"};
        job.read = std::move(read);
        return text_for(job);
    };
    const std::string at_once = "at once, before it is driven", put_right = "good · found 1.6 bar, left at 2.1 bar";
    const std::string low = pressure("left", "1.6 bar", "past"), set = pressure("left", "2.1 bar", "within");
    CHECK(has(found({low}), at_once));
    CHECK(has(found({low, set}), put_right));
    CHECK(!has(found({low, set}), at_once));
    CHECK(has(found({low, set}), "Nothing until the next service."));
    CHECK(!has(found({set}), "found 1.6"));
    CHECK(has(found({low, pressure("right", "2.1 bar", "within")}), at_once));
    CHECK(has(found({low, pressure("left", "2.1 bar", "within", "1.9 bar")}), at_once)); // held against something else
    CHECK(has(found({low, pressure("left", "1.9 bar", "past")}), at_once));
    CHECK(has(found({low, set, pressure("left", "1.7 bar", "past")}), at_once)); // the last one counts
    CHECK(has(found({set, low}), at_once));
    CHECK(has(found({low, pressure("left", "1.8 bar", "past"), set}), put_right)); // as it was found first
    CHECK(has(found({low, pressure("left", "2.0 bar", "doubtful")}), at_once));
    // Read once more: the same is told once, and what differs twice.
    const auto times = [](const std::string& text, std::string_view words) {
        std::size_t count = 0;
        for (std::size_t at = text.find(words); at != std::string::npos; at = text.find(words, at + 1)) ++count;
        return count;
    };
    CHECK(times(found({set, set}), "front tyre") == 1);
    CHECK(times(found({set, set}), "good") == times(found({set}), "good"));
    CHECK(times(found({set, pressure("left", "2.2 bar", "within")}), "good") == times(found({set}), "good") + 1);
    // In a repeat: the last round stands, and what was found first is told.
    Visit rounds{"2026-0600", "2026-11-25", "12 460 km", "18 460 km"};
    rounds.of_card =
        fmt::format("    readings:\n      - {{ step: 5, {} }}\n      - {{ step: 5, round: 2, {} }}\n", low, set);
    CHECK(has(text_for(rounds), put_right));
    CHECK(!has(text_for(rounds), at_once));
    // A new part in between is another story.
    Visit parts_between{"2026-0600", "2026-11-25", "12 460 km", "18 460 km"};
    parts_between.of_card = fmt::format("    readings:\n      - {{ step: 5, {} }}\n      - {{ step: 9, {} }}\n    "
                                        "renewed: {{ step: 7, of: front-tyre, at: left }}\n",
                                        low, set);
    CHECK(has(text_for(parts_between), "renewed after this reading"));
    CHECK(!has(text_for(parts_between), "found 1.6"));
    CHECK(!has(text_for(parts_between), at_once));

    // Sides with one part number are one line; what is told there is not told again.
    Visit sets = common();
    for (const char* side : {"left", "right"})
        sets.renewed.push_back(fmt::format("of: outer-pad, at: {}, batch: FP-2210", side));
    sets.used += "  - { what: outer brake pad, amount: 2 × }\n";
    const std::string parts = text_for(sets);
    CHECK(parts.find("outer brake pad, left and right renewed · FP-2210") != std::string::npos);
    CHECK(parts.find("2 ×") == std::string::npos);
    CHECK(parts.find("silicone brake grease 2.5 g · brake cleaner 60 mL") != std::string::npos);

    // Of several points the one that decides.
    Visit points = common();
    points.read = {
        "limit: disc-runout, of: front-disc, at: left, read: [0.04 mm, 0.07 mm, 0.05 mm], maximum: 0.10 mm, verdict: "
        "within",
        "limit: disc-thickness, of: front-disc, at: left, read: [4.42 mm, 4.40 mm], minimum: 4.00 mm, verdict: within",
        "limit: hose-gap, of: hose, read: [26 mm, 31 mm], within: 25..35 mm, verdict: within"};
    const std::string decisive = text_for(points);
    CHECK(decisive.find("left, greatest 0.07 mm") != std::string::npos);
    CHECK(decisive.find("left, smallest 4.40 mm") != std::string::npos);
    CHECK(decisive.find("26–31 mm good") != std::string::npos);

    // "Nothing until the next service" is said of a visit only where nothing was left open.
    Visit clean{"2026-0500", "2026-11-25", "12 460 km", "18 460 km"};
    clean.read.push_back(sample::pad("inner-pad", "left", "6.4 mm"));
    CHECK(text_for(clean).find("Nothing until the next service.") != std::string::npos);
    clean.of_card = "    also-found: left boot torn\n";
    CHECK(text_for(clean).find("Nothing until the next service.") == std::string::npos);
    clean.of_card.clear();
    clean.outcome = "not-to-be-driven";
    CHECK(text_for(clean).find("Nothing until the next service.") == std::string::npos);

    Visit corrected = clean;
    corrected.outcome = "finished";
    corrected.id = "2026-0500-2";
    corrected.more = "corrects: 2026-0500\nreason: Left and right were mixed up.\n";
    CHECK(text_for(corrected).find("takes the place of 2026-0500. Left and right were mixed up.") != std::string::npos);
}

TEST_CASE("what cannot be printed is an error that says where, and no page") {
    const auto shop = sample::shop_with({common()});
    report::Report page = report::customer_page(driver::report_shop(*shop, in("en")), shop->model.records.front());
    const auto said_of = [](const report::Report& of) {
        messages::Messages said;
        CHECK(!pages::lay_out(of, pages::Paper::a5, said).has_value());
        REQUIRE(said.any_error());
        return said.all().front().text;
    };
    report::Report foreign = page;
    foreign.blocks.front().parts.emplace_back(report::Paragraph{"ไทย", false});
    CHECK(said_of(foreign).find("“What was done”") != std::string::npos);
    std::string endless;
    for (int i = 0; i < 3000; ++i) endless += "word ";
    page.blocks.front().parts.emplace_back(report::Paragraph{endless, false});
    CHECK(said_of(page).find("“What was done” is ") != std::string::npos);
}
