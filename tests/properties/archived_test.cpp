// A shop whose records are read one at a time (driver/archived.h), held against the same one with all of them in memory: the same messages,
// the same cards and the same sources go with them, whatever is done to the records, which lie on a disk here as they do in a shop.
#include "card/build.h"
#include "driver/pipeline.h"
#include "gates/program.h"
#include "messages/render.h"
#include "properties/sample_records.h"

#include <doctest/doctest.h>
#include <random>

using namespace benchleaf;

namespace {

// All that a check says, and every job's cards with what they were made of.
std::string all_of(const std::string& root, driver::Records records) {
    const auto read = driver::read_shop(root, records);
    REQUIRE(read);
    REQUIRE((read.value().files.archive != nullptr) == (records == driver::Records::in_the_archive));
    const auto checked = driver::check_shop(read.value().files, {});
    REQUIRE(!checked->failed);
    std::string all = messages::render_human(checked->messages, checked->sources, {});
    const auto shop = driver::link_shop(read.value().files);
    for (const linked::Job& job : shop->linked.jobs) {
        const auto work = driver::make_job(*shop, job.id, {});
        all += "== " + work->name + "\n" + messages::render_human(work->messages, shop->sources, {});
        for (const driver::PagedCard& each : work->cards) all += card::dump(each.card);
        if (!work->cards.empty()) all += driver::sources_of(*shop, *work, read.value().files);
    }
    return all;
}

std::vector<sample::Visit> visits() {
    std::vector<sample::Visit> all;
    for (const auto& [id, date, meter] :
         {std::tuple("2025-0001", "2025-03-01", "4 000 km"), std::tuple("2025-0002", "2025-09-01", "8 000 km"),
          std::tuple("2026-0001", "2026-03-01", "11 000 km")}) {
        sample::Visit visit{id, date, meter, "18 460 km"};
        visit.found = {"of: front-disc, at: left, found: advise", "of: front-disc, at: right, found: good"};
        all.push_back(visit);
    }
    return all;
}

std::string fresh_shop() {
    const std::string root = gates::scratch("archived");
    std::filesystem::copy(BENCHLEAF_SOURCE_DIR "/procedures", root,
                          std::filesystem::copy_options::recursive | std::filesystem::copy_options::overwrite_existing);
    for (const sample::Visit& each : visits()) gates::write(root + "/" + sample::path_of(each), sample::text_of(each));
    return root;
}

std::vector<std::filesystem::path> records_of(const std::string& root) {
    std::vector<std::filesystem::path> all;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(root + "/records"))
        if (entry.is_regular_file()) all.push_back(entry.path());
    std::sort(all.begin(), all.end());
    return all;
}

// One of them lost, doubled, moved to another vehicle, or spoiled by a few letters, sealed anew or not.
void spoil(const std::string& root, std::mt19937& random) {
    const auto all = records_of(root);
    const std::filesystem::path& one = all[random() % all.size()];
    std::string text = gates::read(one);
    switch (random() % 7) {
    case 0:
        std::filesystem::remove(one);
        return;
    case 1:
        gates::write(one.parent_path() / "again.yaml", text);
        return;
    case 2:
        gates::write(root + "/records/another/" + one.filename().string(), text);
        return;
    case 3:
        text.erase(random() % text.size(), 1 + random() % 4);
        break;
    case 4:
        text.insert(random() % text.size(), "x");
        break;
    case 5:
        text.resize(random() % text.size());
        break;
    default:
        if (const std::size_t km = text.find("000 km"); km != std::string::npos) text.replace(km, 3, "300");
    }
    if (const std::size_t seal = text.rfind("\nseal: "); seal != std::string::npos && random() % 2 == 0)
        text = driver::sealed(text.substr(0, seal + 1));
    gates::write(one, text);
}

} // namespace

TEST_CASE("records that are read one at a time give what they give in memory") {
    std::mt19937 random(41);                                 // NOLINT(cert-msc51-cpp): the same run each time
    constexpr int shops = BENCHLEAF_TIME_SLACK > 5 ? 4 : 16; // the release build makes all
    for (int i = 0; i < shops; ++i) {
        const std::string root = fresh_shop();
        for (int times = 0; times < i % 4; ++times) spoil(root, random);
        CAPTURE(i);
        CHECK(all_of(root, driver::Records::in_the_archive) == all_of(root, driver::Records::with_the_files));
    }
}

TEST_CASE("a record is let go where no card and no message shows it") {
    const std::string root = fresh_shop();
    sample::Visit of_another{"2024-0009", "2024-03-01", "900 km", "18 460 km"};
    of_another.identity = "frame: XX9-00001";
    gates::write(root + "/records/xx9-00001/2024-0009.yaml", sample::text_of(of_another));
    const auto read = driver::read_shop(root, driver::Records::in_the_archive);
    REQUIRE(read);
    const auto shop = driver::link_shop(read.value().files);
    CHECK(shop->left_out == 1);
    CHECK(shop->heads.size() == visits().size() + 1);
    REQUIRE(shop->model.records.size() == visits().size()); // the others are of a vehicle that has a job
    for (const model::Record& each : shop->model.records) {
        CHECK(each.id.value != "2024-0009");
        CHECK(each.cards.has_value());
    }
    // Those that share a number with one that is shown are needed to tell whose they are.
    of_another.id = "2024-0010";
    of_another.identity = "frame: XX9-00001, registration: TX 30 418";
    gates::write(root + "/records/xx9-00001/2024-0010.yaml", sample::text_of(of_another));
    const auto more = driver::read_shop(root, driver::Records::in_the_archive);
    REQUIRE(more);
    CHECK(driver::link_shop(more.value().files)->left_out == 0);
}
