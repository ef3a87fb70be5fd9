// What is due: several vehicles, kilometres, miles, hours, dates alone, renewals, vehicles that are not to be driven. The figures are worked by hand beside each.
#include "driver/pipeline.h"
#include "history/history.h"
#include "mechanics/use.h"
#include "properties/sample_records.h"
#include "report/due.h"
#include "report/forecast.h"

using namespace benchleaf;
using report::DueState;
using sample::Visit;

namespace {

mechanics::Date day(std::string_view text) {
    const auto parsed = mechanics::parse_date(text);
    REQUIRE(parsed);
    return *parsed;
}

units::Quantity quantity(std::string_view text) {
    const auto read = units::parse_quantity(text);
    REQUIRE(std::holds_alternative<units::Quantity>(read));
    return std::get<units::Quantity>(read);
}

std::string shown(const std::optional<units::Quantity>& of) {
    return of ? units::print(*of, {.plain_spaces = true}) : "-";
}

report::Dues due_at(const std::vector<Visit>& visits, std::string_view at) {
    const auto shop = sample::shop_with(visits);
    return report::due(history::look_back(shop->model), driver::report_shop(*shop, {}), day(at));
}

// Another vehicle that has nothing to do with the first.
Visit other(Visit visit, const std::string& frame) {
    visit.identity = "frame: " + frame;
    return visit;
}

// A limit that the demo shop does not have, so that the figures are the record's alone.
std::string shoe(std::string_view size, std::string_view verdict = "within") {
    return fmt::format("limit: shoe-lining, of: shoe, read: {}, minimum: 1.5 mm, keep: 2.0 mm, verdict: {}", size,
                       verdict);
}

Visit read(const std::string& id, const std::string& date, const std::string& meter, const std::string& next,
           const std::string& what) {
    Visit visit{id, date, meter, next};
    visit.read.push_back(what);
    return visit;
}

} // namespace

TEST_CASE("the use of a vehicle: mean of its visits") {
    using mechanics::NoUse;
    const std::vector<mechanics::Stand> stands{{day("2026-01-01"), quantity("1 000 km")},
                                               {day("2026-01-31"), quantity("1 100 km")},
                                               {day("2026-04-11"), quantity("2 000 km")}};
    const auto found = mechanics::use_of(stands);
    REQUIRE(std::holds_alternative<mechanics::Use>(found));
    const auto& use = std::get<mechanics::Use>(found);
    CHECK(use.per_day == doctest::Approx(10)); // 1 000 km in 100 days
    CHECK(shown(mechanics::meter_on(use, day("2026-04-21"))) == "2 100 km");
    CHECK(shown(mechanics::meter_on(use, day("2026-02-01"))) == "2 000 km");
    CHECK(mechanics::day_of(use, quantity("2 100 km")) == day("2026-04-21"));
    CHECK(mechanics::day_of(use, quantity("2 109 km")) == day("2026-04-21"));
    CHECK(mechanics::day_of(use, quantity("2 110 km")) == day("2026-04-22"));
    CHECK(mechanics::day_of(use, quantity("1 500 km")) == day("2026-04-11"));
    CHECK(!mechanics::day_of(use, quantity("500 h")));
    CHECK(!mechanics::day_of(use, quantity("2 000 000 km")));
    const auto why = [](std::vector<mechanics::Stand> of) { return std::get<NoUse>(mechanics::use_of(of)); };
    CHECK(why({stands[0]}) == NoUse::too_few);
    CHECK(why({stands[0], {day("2026-01-01"), quantity("1 050 km")}}) == NoUse::too_few);
    CHECK(why({stands[0], {day("2026-02-01"), quantity("1 000 km")}}) == NoUse::not_run);
    CHECK(why({stands[1], {day("2026-02-01"), quantity("1 000 km")}, stands[2]}) == NoUse::not_run);
    CHECK(why({stands[0], {day("2026-02-01"), quantity("10 h")}}) == NoUse::other_units);
}

TEST_CASE("two readings: the mean rate, the margin for the soonest") {
    // 5.0 to 4.0 mm in 1 000 km; 2.5 left to 1.5 (no uncertainty): 2 500 km on at the rate, 2 000 at 1.25 times it. 10 km a day.
    const std::vector<Visit> visits{read("a1", "2026-01-01", "1 000 km", "3 000 km", shoe("5.0 mm")),
                                    read("a2", "2026-04-11", "2 000 km", "4 500 km", shoe("4.0 mm"))};
    const report::Dues dues = due_at(visits, "2026-05-01");
    REQUIRE(dues.list.size() == 1);
    const report::Due& one = dues.list.front();
    CHECK(one.state == DueState::before_service);
    CHECK(shown(one.expected) == "4 500 km");
    CHECK(shown(one.soonest) == "4 000 km");
    CHECK(one.by == day("2026-10-28")); // 200 days after 11 April
    CHECK(one.thing == "shoe – shoe-lining");
    CHECK(shown(one.meter) == "2 200 km");
    // It lasts to a service that comes sooner.
    auto sooner = visits;
    sooner[1].next_service = "4 000 km";
    CHECK(due_at(sooner, "2026-05-01").list.empty());
    // In hours and in miles the same.
    for (const char* unit : {"h", "mi"}) {
        auto in_unit = visits;
        for (Visit& each : in_unit)
            for (std::string* text : {&each.meter, &each.next_service}) text->replace(text->find("km"), 2, unit);
        const report::Dues same = due_at(in_unit, "2026-05-01");
        REQUIRE(same.list.size() == 1);
        CHECK(shown(same.list.front().soonest) == std::string("4 000 ") + unit);
        CHECK(same.list.front().by == day("2026-10-28"));
    }
}

TEST_CASE("one visit: no day can be told, and that is said") {
    const report::Dues dues = due_at({read("a1", "2026-01-01", "1 000 km", "3 000 km", shoe("5.0 mm"))}, "2030-01-01");
    CHECK(dues.list.empty());
    REQUIRE(dues.unknown.size() == 1);
    CHECK(dues.unknown.front().no_day == report::NoDay::one_visit);
    CHECK(!dues.unknown.front().by);
    // A verdict is known all the same.
    const report::Dues short_one = due_at(
        {read("a1", "2026-01-01", "1 000 km", "3 000 km", shoe("1.9 mm", "not-to-next-service, limit-at: 2 000 km"))},
        "2026-01-02");
    REQUIRE(short_one.list.size() == 1);
    CHECK(short_one.list.front().state == DueState::before_service);
    CHECK(shown(short_one.list.front().expected) == "2 000 km");
    CHECK(short_one.list.front().no_day == report::NoDay::one_visit);
}

TEST_CASE("services: by the meter, by the calendar, by whichever is first") {
    const Visit first{"a1", "2026-01-01", "1 000 km", "2 000 km"};
    Visit last{"a2", "2026-04-11", "2 000 km", "2 500 km"}; // 10 km a day: 31 May
    CHECK(due_at({first, last}, "2026-05-30").list.empty());
    const report::Dues met = due_at({first, last}, "2026-05-31");
    REQUIRE(met.list.size() == 1);
    CHECK(met.list.front().state == DueState::service_due);
    CHECK(met.list.front().by == day("2026-05-31"));
    last.more = "next-service-date: 2026-05-01\n";
    CHECK(due_at({first, last}, "2026-04-30").list.empty());
    const report::Dues by_day = due_at({first, last}, "2026-05-01");
    REQUIRE(by_day.list.size() == 1);
    CHECK(by_day.list.front().by == day("2026-05-01"));
    // A vehicle without a meter has its date alone.
    Visit plain{"b1", "2026-01-01", "", ""};
    plain.more = "next-service-date: 2026-06-01\n";
    CHECK(due_at({plain}, "2026-05-31").list.empty());
    CHECK(due_at({plain}, "2026-05-31").unknown.empty());
    REQUIRE(due_at({plain}, "2026-06-01").list.size() == 1);
    CHECK(due_at({plain}, "2026-06-01").list.front().by == day("2026-06-01"));
}

TEST_CASE("what was renewed after it was read is not due; what was read since is") {
    Visit worn = read("a2", "2026-04-11", "2 000 km", "4 500 km", shoe("1.2 mm", "past"));
    CHECK(due_at({worn}, "2026-05-01").list.front().state == DueState::past_the_limit);
    worn.renewed.push_back("of: shoe");
    CHECK(due_at({worn}, "2026-05-01").list.empty());
    const Visit later = read("a3", "2026-07-20", "3 000 km", "4 500 km", shoe("1.4 mm", "doubtful"));
    const report::Dues dues = due_at({worn, later}, "2026-08-01");
    REQUIRE(dues.list.size() == 1);
    CHECK(dues.list.front().state == DueState::in_doubt);
    CHECK(dues.list.front().record == "a3");
}

TEST_CASE("what was put right in the same job is not due; what was read low last is") {
    Visit job = read("a2", "2026-04-11", "2 000 km", "4 500 km", shoe("1.2 mm", "past"));
    job.read.push_back(shoe("2.5 mm"));
    CHECK(due_at({job}, "2026-05-01").list.empty());
    std::swap(job.read[0], job.read[1]);
    REQUIRE(due_at({job}, "2026-05-01").list.size() == 1);
    CHECK(due_at({job}, "2026-05-01").list.front().state == DueState::past_the_limit);
}

TEST_CASE("a vehicle that is not to be driven stands first, until the same work is finished") {
    Visit stopped = read("a1", "2026-01-01", "1 000 km", "9 000 km", shoe("5.0 mm"));
    stopped.outcome = "not-to-be-driven";
    const Visit worn = other(read("b1", "2026-01-02", "500 km", "900 km", shoe("1.2 mm", "past")), "B-1");
    const report::Dues dues = due_at({stopped, worn}, "2026-01-10");
    REQUIRE(dues.list.size() == 2);
    CHECK(dues.list[0].state == DueState::not_to_be_driven);
    CHECK(report::name(dues.list[0].state) == "NOT TO BE DRIVEN");
    CHECK(dues.list[0].record == "a1");
    CHECK(dues.list[1].state == DueState::past_the_limit);
    // Other work does not lift it; the same work does.
    Visit lights = read("a2", "2026-02-01", "1 100 km", "9 000 km", shoe("5.0 mm"));
    lights.card = "battery-on";
    CHECK(due_at({stopped, lights}, "2026-02-02").list.front().state == DueState::not_to_be_driven);
    stopped.card_before = lights.card_before =
        "front-wheels-off"; // of both: that it was done again says nothing of the brake
    CHECK(due_at({stopped, lights}, "2026-02-02").list.front().state == DueState::not_to_be_driven);
    lights.card = stopped.card;
    CHECK(due_at({stopped, lights}, "2026-02-02").list.empty());
}

TEST_CASE("of two records of one day and meter a name alone never says that a vehicle may be driven") {
    const auto signed_at = [](const std::string& id, const std::string& time, const std::string& date = {}) {
        Visit visit = read(id, "2026-11-25", "1 000 km", "9 000 km", shoe("5.0 mm"));
        if (!date.empty()) visit.of_card += fmt::format("    date: {}\n", date);
        if (!time.empty()) visit.of_card += fmt::format("    time: \"{}\"\n", time);
        return visit;
    };
    const auto stopped_at = [](const std::string& id, const std::string& time) {
        Visit visit = read(id, "2026-11-25", "1 000 km", "9 000 km", shoe("5.0 mm"));
        if (!time.empty())
            visit.more = fmt::format("stopped: {{ card: 1, date: 2026-11-25, time: \"{}\", step: 3 }}\n", time);
        visit.outcome = "stopped";
        visit.of_card = "    time: \"07:00\"\n"; // of a card that was done before: the stop counts
        return visit;
    };
    const auto is_stopped = [](const std::vector<Visit>& visits) {
        const report::Dues dues = due_at(visits, "2026-11-26");
        return !dues.list.empty() && dues.list.front().state == DueState::not_to_be_driven;
    };
    const std::vector<std::pair<std::string, std::string>> names{
        {"2026-999", "2026-1000"}, {"2026-1000", "2026-999"}, {"b", "a"}};
    for (const auto& each : names) {
        const std::string& finished = each.first;
        const std::string& stopped = each.second;
        CAPTURE(finished);
        CHECK(is_stopped({signed_at(finished, ""), stopped_at(stopped, "")}));
        CHECK(is_stopped({signed_at(finished, "16:00"), stopped_at(stopped, "")}));
        CHECK(is_stopped({signed_at(finished, ""), stopped_at(stopped, "09:00")}));
        CHECK(is_stopped({signed_at(finished, "09:00"), stopped_at(stopped, "17:00")}));
        CHECK(is_stopped({signed_at(finished, "17:00"), stopped_at(stopped, "17:00")}));
        CHECK(is_stopped({signed_at(finished, "5 pm"), stopped_at(stopped, "09:00")}));
        CHECK(!is_stopped({signed_at(finished, "17:00"), stopped_at(stopped, "09:00")}));
        CHECK(!is_stopped({signed_at(finished, "08:00", "2026-11-26"), stopped_at(stopped, "09:00")}));
        // The meter comes before the clock.
        Visit further = signed_at(finished, "08:00");
        further.meter = "1 003 km";
        CHECK(!is_stopped({further, stopped_at(stopped, "09:00")}));
        further.meter = "997 km";
        further.of_card = "    time: \"17:00\"\n";
        CHECK(is_stopped({further, stopped_at(stopped, "09:00")}));
        // A third one, that is surely later, lifts it whatever the first two are.
        Visit third = signed_at("c", "");
        third.meter = "1 001 km";
        CHECK(!is_stopped({signed_at(finished, ""), stopped_at(stopped, ""), third}));
        // What goes on with it takes its place.
        Visit goes_on = signed_at("0", "");
        goes_on.more = "continues: " + stopped + "\n";
        CHECK(!is_stopped({stopped_at(stopped, "09:00"), goes_on}));
    }
}

TEST_CASE("visits of one day and meter stand by their times, else by the numbers in their names") {
    const auto order = [](const std::vector<Visit>& visits) {
        const auto shop = sample::shop_with(visits);
        const auto history = history::look_back(shop->model);
        REQUIRE(history.vehicles.size() == 1);
        std::string names;
        for (const model::Record* each : history.vehicles.front().visits) names += each->id.value + " ";
        return names;
    };
    const auto visit = [](const std::string& id, const std::string& time = {}) {
        Visit made = read(id, "2026-11-25", "1 000 km", "9 000 km", shoe("5.0 mm"));
        if (!time.empty()) made.of_card = fmt::format("    time: \"{}\"\n", time);
        return made;
    };
    CHECK(order({visit("2026-1000"), visit("2026-999"), visit("2026-99-b"), visit("2026-099")}) ==
          "2026-099 2026-99-b 2026-999 2026-1000 ");
    CHECK(order({visit("a", "17:00"), visit("b", "09:30"), visit("c", "12:00")}) == "b c a ");
    // Also found as open: what the later one saw.
    Visit morning = visit("2026-1000", "09:00");
    morning.found = {"of: front-disc, at: left, found: act-now"};
    Visit afternoon = visit("2026-999", "16:00");
    afternoon.found = {"of: front-disc, at: left, found: good"};
    CHECK(due_at({morning, afternoon}, "2026-11-26").list.empty());
    std::swap(morning.of_card, afternoon.of_card);
    REQUIRE(due_at({morning, afternoon}, "2026-11-26").list.size() == 1);
    CHECK(due_at({morning, afternoon}, "2026-11-26").list.front().state == DueState::act_now);
    // Nothing on that day can be told of two that gainsay each other by a third: the order is some order, and the program ends.
    Visit first = visit("x", "17:00"), second = visit("y", "12:00"), third = visit("z", "09:00");
    first.meter = "1 000 km";
    second.meter = "";
    third.meter = "1 001 km";
    CHECK(order({first, second, third}).size() == 6);
}

TEST_CASE("a vehicle keeps each number that it ever had, and the frame decides") {
    const auto visit = [](const std::string& id, const std::string& date, const std::string& identity) {
        Visit made = read(id, date, "1 000 km", "9 000 km", shoe("5.0 mm"));
        made.identity = identity;
        return made;
    };
    const auto vehicles = [](const std::vector<Visit>& visits) {
        const auto shop = sample::shop_with(visits);
        std::string all;
        for (const history::Vehicle& each : history::look_back(shop->model).vehicles) {
            all += all.empty() ? "" : " | ";
            for (const model::Record* record : each.visits) all += record->id.value + " ";
        }
        return all;
    };
    CHECK(vehicles({visit("a1", "2026-01-01", "registration: AB 1, frame: F1"),
                    visit("a2", "2026-02-01", "registration: AB 1"),
                    visit("a3", "2026-03-01", "registration: AB 2, frame: F1")}) == "a1 a2 a3 ");
    CHECK(vehicles({visit("a1", "2026-01-01", "registration: AB 1, frame: F1"),
                    visit("a2", "2026-02-01", "registration: AB 2, frame: F1"),
                    visit("a3", "2026-03-01", "registration: AB 1"),
                    visit("a4", "2026-04-01", "registration: ab-2")}) == "a1 a2 a3 a4 ");
    // That it was one is known only from the third.
    CHECK(vehicles({visit("a1", "2026-01-01", "registration: AB 1"), visit("a2", "2026-02-01", "frame: F1"),
                    visit("a3", "2026-03-01", "registration: AB 1, frame: F1")}) == "a1 a2 a3 ");
    CHECK(vehicles({visit("a1", "2026-01-01", "registration: AB 1, frame: F1"),
                    visit("b1", "2026-02-01", "registration: AB 1, frame: F2"),
                    visit("a2", "2026-03-01", "registration: AB 3, frame: F1"),
                    visit("b2", "2026-04-01", "registration: AB 1, frame: F2")}) == "a1 a2  | b1 b2 ");
    CHECK(vehicles({visit("a1", "2026-01-01", "registration: AB 1, engine: E1"),
                    visit("b1", "2026-02-01", "registration: AB 1, engine: E2")}) == "a1  | b1 ");
    // The last known of each sort is what it is called by.
    const auto shop = sample::shop_with(
        {visit("a1", "2026-01-01", "registration: AB 1, frame: F1"), visit("a2", "2026-02-01", "registration: AB 2")});
    CHECK(history::look_back(shop->model).vehicles.size() == 2); // nothing says that AB 2 is F1
}

TEST_CASE("a record that fits two vehicles lifts nothing of either") {
    const auto visit = [](const std::string& id, const std::string& date, const std::string& identity) {
        Visit made = read(id, date, "1 000 km", "9 000 km", shoe("5.0 mm"));
        made.identity = identity;
        return made;
    };
    Visit stopped = visit("a1", "2026-01-01", "registration: AB 1, frame: F1");
    stopped.outcome = "stopped";
    const Visit other_one = visit("b1", "2026-01-02", "registration: AB 1, frame: F2");
    const Visit unclear = visit("c1", "2026-02-01", "registration: AB 1");
    const auto first = [](const std::vector<Visit>& visits) {
        const report::Dues dues = due_at(visits, "2026-02-02");
        return dues.list.empty() ? std::string("nothing") : std::string(report::name(dues.list.front().state));
    };
    CHECK(first({stopped, other_one, unclear}) == "NOT TO BE DRIVEN");
    CHECK(first({stopped, unclear}) == "nothing"); // there is one vehicle that has it
    // A day before the second one came there was one; on that day whose it is cannot be told any more.
    Visit early = unclear;
    early.date = "2026-01-02";
    CHECK(first({stopped, other_one, early}) == "NOT TO BE DRIVEN");
    Visit second_later = other_one;
    second_later.date = "2026-03-01";
    CHECK(first({stopped, unclear, second_later}) == "nothing");
    // What tells the frame afterwards puts it right.
    Visit corrected = visit("c1-2", "2026-02-01", "registration: AB 1, frame: F1");
    corrected.more = "corrects: c1\n";
    CHECK(first({stopped, other_one, unclear, corrected}) == "nothing");
}

TEST_CASE("a meter that went back gives no forecast; what does not wear has none") {
    const auto forecast_of = [](const std::vector<Visit>& visits) {
        const auto shop = sample::shop_with(visits);
        const auto history = history::look_back(shop->model);
        REQUIRE(history.vehicles.size() == 1);
        return report::forecast(driver::report_shop(*shop, {}), history.vehicles.front().series.front()).none;
    };
    using report::NoForecast;
    CHECK(forecast_of({read("a1", "2026-01-01", "5 000 km", "", shoe("5.0 mm")),
                       read("a2", "2026-02-01", "100 km", "", shoe("4.0 mm"))}) == NoForecast::meter_back);
    CHECK(forecast_of({read("a1", "2026-01-01", "5 000 km", "", shoe("5.0 mm"))}) == NoForecast::one_size);
    CHECK(forecast_of({read("a1", "2026-01-01", "", "", shoe("5.0 mm"))}) == NoForecast::no_meter);
    CHECK(forecast_of({read("a1", "2026-01-01", "5 000 km", "", shoe("5.0 mm")),
                       read("a2", "2026-02-01", "6 000 km", "", shoe("5.0 mm"))}) == NoForecast::no_wear);
    CHECK(forecast_of({read("a1", "2026-01-01", "5 000 km", "",
                            "limit: play, of: hub, read: 0.05 mm, maximum: 0.10 mm, verdict: within")}) ==
          NoForecast::does_not_wear);
    CHECK(!forecast_of({read("a1", "2026-01-01", "5 000 km", "", shoe("5.0 mm")),
                        read("a2", "2026-02-01", "6 000 km", "", shoe("4.9 mm"))}));
}

TEST_CASE("vehicles are sorted by the day; those without a day come after") {
    std::vector<Visit> visits;
    for (const char* frame : {"C-1", "C-2"}) {
        const bool slow = std::string_view(frame) == "C-1";
        Visit a = other(read(std::string(frame) + "-1", "2026-01-01", "1 000 km", "3 000 km", shoe("5.0 mm")), frame);
        Visit b = other(
            read(std::string(frame) + "-2", slow ? "2026-07-20" : "2026-04-11", "2 000 km", "4 500 km", shoe("4.0 mm")),
            frame);
        for (Visit* each : {&a, &b}) each->id[0] = 'c';
        visits.push_back(a);
        visits.push_back(b);
    }
    visits.push_back(other(
        read("d1", "2026-01-01", "1 000 km", "3 000 km", shoe("1.9 mm", "not-to-next-service, limit-at: 2 000 km")),
        "D-1"));
    const report::Dues dues = due_at(visits, "2026-08-01");
    REQUIRE(dues.list.size() == 3);
    CHECK(dues.list[0].identity == "C-2");
    CHECK(dues.list[1].identity == "C-1");
    CHECK(dues.list[2].identity == "D-1");
    CHECK(*dues.list[0].by < *dues.list[1].by);
}
