// `benchleaf history` and `benchleaf due`: what the real program reckons from records on the disk, against NIST's reference data and an example worked by
// hand; how a vehicle is found; what is refused.
#include "driver/pipeline.h"
#include "driver/records.h"
#include "gates/program.h"
#include "history/history.h"
#include "properties/sample_records.h"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace benchleaf;
using sample::Visit;

namespace {

std::string shop_on_disk(const std::string& name, const std::vector<Visit>& visits) {
    const std::string folder = gates::scratch(name);
    gates::write(folder + "/shop.yaml", "shop: weir-lane\nname: Weir Lane\nlanguage: en\n");
    for (const Visit& each : visits) gates::write(folder + "/" + sample::path_of(each), sample::text_of(each));
    return folder;
}

gates::Ran ask(const std::string& folder, const std::vector<std::string>& words) {
    return gates::run(words, {.folder = folder});
}

nlohmann::json json_of(const gates::Ran& ran) {
    CHECK_MESSAGE(ran.status == 0, ran.err);
    return nlohmann::json::parse(ran.out);
}

bool near(const nlohmann::json& value, double certified, double part) {
    return std::abs(value.get<double>() - certified) <= part * std::abs(certified);
}

// 7.9, 7.7, 6.9 mm at 10 000, 12 000, 14 000 km.
std::vector<Visit> rough_pads() {
    std::vector<Visit> all;
    const std::pair<const char*, const char*> read[] = {
        {"10 000 km", "7.9 mm"}, {"12 000 km", "7.7 mm"}, {"14 000 km", "6.9 mm"}};
    int day = 1;
    for (const auto& [meter, size] : read) {
        Visit visit{"2026-000" + std::to_string(day), "2026-0" + std::to_string(day) + "-01", meter, "21 000 km"};
        visit.read.push_back(sample::pad("inner-pad", "left", size));
        all.push_back(std::move(visit));
        ++day;
    }
    return all;
}

} // namespace

TEST_CASE("history: NIST StRD, Norris, as the readings of a part that grows (data and certified values from memory)") {
    std::vector<std::pair<double, double>> norris{
        {0.2, 0.1},     {337.4, 338.8}, {118.2, 118.1}, {884.6, 888.0}, {10.1, 9.2},    {226.5, 228.1},
        {666.3, 668.5}, {996.3, 998.5}, {448.6, 449.1}, {777.0, 778.9}, {558.2, 559.2}, {0.4, 0.3},
        {0.6, 0.1},     {775.5, 778.1}, {666.9, 668.8}, {338.0, 339.3}, {447.5, 448.9}, {11.6, 10.8},
        {556.0, 557.7}, {228.1, 228.3}, {995.8, 998.0}, {887.6, 888.8}, {120.2, 119.6}, {0.3, 0.3},
        {0.3, 0.6},     {556.8, 557.6}, {339.1, 339.3}, {887.2, 888.0}, {999.0, 998.5}, {779.0, 778.9},
        {11.1, 10.2},   {118.3, 117.6}, {229.2, 228.9}, {669.1, 668.4}, {448.9, 449.2}, {0.5, 0.2}};
    std::sort(norris.begin(), norris.end());
    std::vector<Visit> visits;
    for (std::size_t i = 0; i < norris.size(); ++i) {
        Visit visit{fmt::format("n{:02}", i), fmt::format("2026-{:02}-{:02}", i / 28 + 1, i % 28 + 1),
                    fmt::format("{:.1f} km", norris[i].first), ""};
        visit.read.push_back(fmt::format(
            "limit: bore, of: cylinder, read: {:.1f} mm, maximum: 2000.0 mm, keep: 1900.0 mm, verdict: within",
            norris[i].second));
        visits.push_back(std::move(visit));
    }
    const auto json = json_of(ask(shop_on_disk("norris", visits), {"history", "TX30418", "--as", "json"}));
    const auto& line = json.at("things").at(0).at("forecast").at("line");
    constexpr double nine_digits = 1e-9;
    CHECK(line.at("points") == 36);
    CHECK(near(line.at("intercept"), -0.262323073774029, nine_digits));
    CHECK(near(line.at("slope"), 1.00211681802045, nine_digits));
    CHECK(near(line.at("deviation"), 0.884796396144373, nine_digits));
    CHECK(near(line.at("slope-error"), 0.429796848199937e-03, nine_digits));
}

TEST_CASE("history and due: an example worked by hand") {
    // x̄ = 12 000, ȳ = 7.5; slope −0.00025; residuals −0.1, +0.2, −0.1: s² = 0.06, s(slope) = √0.06 / √(8·10⁶) = 8.6603·10⁻⁵; t(0.95, 1) = tan(0.45 π) =
    // 6.31375; bound 0.00025 + 0.00054679 = 0.00079679. From 6.9 mm down to 2.0 + 0.1 there are 4.8: 19 200 km at the rate, 6 024 at the bound.
    const std::string folder = shop_on_disk("worked", rough_pads());
    const auto json = json_of(ask(folder, {"history", "oh3 00417", "--as", "json"}));
    const auto& forecast = json.at("things").at(0).at("forecast");
    CHECK(near(forecast.at("line").at("rate"), 0.00025, 1e-9));
    CHECK(near(forecast.at("line").at("rate-bound"), 0.00079679, 1e-4));
    CHECK(forecast.at("expected").at("value") == 33200);
    CHECK(forecast.at("soonest").at("value") == 20024);
    CHECK(forecast.at("soonest").at("unit") == "km");

    const gates::Ran text = ask(folder, {"history", "TX 30 418"});
    CHECK(text.status == 0);
    CHECK(text.out.find("limit expected at 33 200 km, at the soonest at 20 024 km") != std::string::npos);
    CHECK(text.out.find("0.25 mm per 1 000 km through 3 readings; at most 0.797 mm (95 %)") != std::string::npos);

    // 4 000 km from 1 January to 1 March, 59 days: 67.797 km a day. To 20 024 there are 6 024 km: 88.85 days, so 88 days after 1 March: 28 May.
    const auto due = json_of(ask(folder, {"due", "--at", "2026-03-02", "--json"}));
    REQUIRE(due.at("due").size() == 1);
    const auto& one = due.at("due").at(0);
    CHECK(one.at("state") == "before-next-service");
    CHECK(one.at("soonest").at("value") == 20024);
    CHECK(one.at("by") == "2026-05-28");
    CHECK(one.at("meter").at("value") == 14068);
    const gates::Ran due_text = ask(folder, {"due", "--at", "2026-03-02"});
    CHECK(due_text.out.find("before the next service · by 2026-05-28") != std::string::npos);
}

TEST_CASE("history: a vehicle by any number of it, or a job; else the nearest") {
    const std::string folder = shop_on_disk("identity", rough_pads());
    const std::string same = ask(folder, {"history", "TX 30 418"}).out;
    CHECK(!same.empty());
    for (const char* name : {"tx30418", "TX-30-418", "OH3-00417", "oh300417", "2026-0002"}) {
        const gates::Ran ran = ask(folder, {"history", name});
        CHECK(ran.status == 0);
        CHECK(ran.out == same);
    }
    const gates::Ran unknown = ask(folder, {"history", "TX 30 419"});
    CHECK(unknown.status == 2);
    CHECK(unknown.out.empty());
    CHECK(unknown.err.find("`TX 30 419`; did you mean `TX 30 418`?") != std::string::npos);
    CHECK(ask(folder, {"due", "--at", "2026-02-30"}).status == 2);
    CHECK(ask(folder, {"history", "tx30418", "--language", "xx"}).status == 2);
}

TEST_CASE("history and due: a record that was changed, or that cannot be read, is not passed over") {
    for (const bool changed : {true, false}) {
        const std::string folder = shop_on_disk("unsound", rough_pads());
        const std::string path = folder + "/" + sample::path_of(rough_pads()[1]);
        std::string text = gates::read(path);
        if (changed)
            text.replace(text.find("7.7 mm"), 6, "7.2 mm");
        else
            text.replace(text.find("7.7 mm"), 6, "7.7 xy");
        gates::write(path, text);
        for (const auto& words : {std::vector<std::string>{"history", "TX30418"}, {"due", "--at", "2026-03-02"}}) {
            const gates::Ran ran = ask(folder, words);
            CHECK(ran.status == 1);
            CHECK(ran.out.find("mm") == std::string::npos); // no reading
            CHECK(ran.err.find("2026-0002.yaml") != std::string::npos);
        }
    }
}

TEST_CASE("history and due: a damaged record of one vehicle stops nothing of another, and is named") {
    // Two vehicles, each in the folder of its frame; the second one's last record is damaged in many ways.
    const auto second = [](Visit visit) {
        visit.identity = "registration: TX 28 077, frame: OH3-00209";
        return visit;
    };
    const std::vector<Visit> pads = rough_pads();
    const std::string folder = gates::scratch("one-damaged");
    gates::write(folder + "/shop.yaml", "shop: weir-lane\nname: Weir Lane\nlanguage: en\n");
    for (const Visit& each : pads) {
        gates::write(folder + "/records/oh3-00417/" + each.id + ".yaml", sample::text_of(each));
        gates::write(folder + "/records/oh3-00209/" + each.id + ".yaml", sample::text_of(second(each)));
    }
    const std::string path = folder + "/records/oh3-00209/2026-0003.yaml";
    const std::string whole = gates::read(path);
    const auto both = json_of(ask(folder, {"due", "--at", "2026-03-02", "--json"}));
    CHECK(both.at("due").size() == 2);
    CHECK(both.at("left-out").empty());

    const auto changed = [&](const std::string& from, const std::string& to) {
        std::string text = whole;
        text.replace(text.find(from), from.size(), to);
        return text;
    };
    for (const std::string& text :
         {std::string(), whole.substr(0, 90), whole.substr(0, whole.size() / 2), std::string(whole.size(), '\0'),
          changed("6.9 mm", "8.9 mm"), changed("6.9 mm", "6.9 xy"), changed("OH3-00209", "OH3-00901")}) {
        INFO(text);
        gates::write(path, text);
        const gates::Ran listed = ask(folder, {"due", "--at", "2026-03-02", "--json"});
        CHECK(listed.status == 1);
        const auto json = nlohmann::json::parse(listed.out);
        REQUIRE(json.at("due").size() == 1);
        CHECK(json.at("due").at(0).at("identity") == "TX 30 418");
        CHECK(json.at("unknown").empty());
        REQUIRE(json.at("left-out").size() == 1);
        CHECK(json.at("left-out").at(0).at("file") == "records/oh3-00209/2026-0003.yaml");
        CHECK(json.at("left-out").at(0).at("vehicles").at(0) == "TX 28 077");
        CHECK(ask(folder, {"due", "--at", "2026-03-02"}).out.starts_with("NOT IN THIS LIST · TX 28 077 · "));

        const gates::Ran other = ask(folder, {"history", "TX 30 418"});
        CHECK(other.status == 0);
        CHECK(other.err == "benchleaf: records/oh3-00209/2026-0003.yaml is damaged, and of another vehicle; "
                           "`benchleaf check` says more\n");
        const gates::Ran its_own = ask(folder, {"history", "TX 28 077"});
        CHECK(its_own.status == 1);
        CHECK(its_own.out.empty());
        CHECK(ask(folder, {"history", "TX 99 999"}).status == 1); // it may be in what cannot be read
    }

    // A frame that names the first one in the second one's folder is of neither for sure.
    gates::write(path, changed("OH3-00209", "OH3-00417"));
    for (const char* name : {"TX 30 418", "TX 28 077"}) CHECK(ask(folder, {"history", name}).status == 1);
    CHECK(nlohmann::json::parse(ask(folder, {"due", "--json"}).out).at("due").empty());

    // Nobody can tell whose that is.
    gates::write(path, whole);
    gates::write(folder + "/records/tx-5/2026-0004.yaml", "");
    CHECK(ask(folder, {"history", "TX 30 418"}).status == 1);
    // But its folder is that of a job.
    gates::write(folder + "/jobs/2026-0009.yaml",
                 "job: 2026-0009\nvehicle: cart\nidentity: { registration: TX 5 }\ndate: 2026-03-01\ndo: [plate]\n");
    CHECK(ask(folder, {"history", "TX 30 418"}).status == 0);
    CHECK(ask(folder, {"history", "TX 5"}).status == 1);
}

TEST_CASE("history: as PDF into a folder") {
    const std::string folder = shop_on_disk("pdf", rough_pads());
    const gates::Ran ran = ask(folder, {"history", "TX30418", "--as", "pdf", "--paper", "a5", "--language", "de"});
    CHECK(ran.status == 0);
    CHECK(ran.out == "out/oh3-00417.history.pdf\n");
    CHECK(gates::read(folder + "/out/oh3-00417.history.pdf").starts_with("%PDF-"));
}
