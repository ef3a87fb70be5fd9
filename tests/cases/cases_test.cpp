// Every case file gives exactly the messages written in it, and every fix that a message offers can be applied and takes
// its message away. With BENCHLEAF_BLESS=1 the files are rewritten instead.
#include "base/text.h"
#include "cases/case.h"
#include "cases/pipeline.h"
#include "driver/mend.h"
#include "driver/pipeline.h"
#include "fixes/fixes.h"
#include "messages/render.h"
#include "source/source.h"

#include <algorithm>
#include <cstdlib>
#include <doctest/doctest.h>
#include <filesystem>

using namespace benchleaf;

namespace {

std::vector<std::filesystem::path> case_files() {
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(BENCHLEAF_SOURCE_DIR "/tests/cases"))
        if (entry.path().extension() == ".yaml") files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    return files;
}

void try_fixes(const std::map<std::string, std::string>& files, const cases::Ran& ran, const std::string& stage) {
    for (const messages::Message& message : ran.messages.all()) {
        for (const messages::Fix& fix : message.fixes) {
            CAPTURE(fix.title);
            REQUIRE(!fix.edits.empty());
            const source::FileId file = fix.edits.front().span.file;
            const source::File& read = ran.sources.file(file);
            const auto applied = fixes::apply(std::span(&fix, 1), file, read.text);
            CHECK(applied.applied == 1);
            CHECK(applied.text != read.text);
            CHECK(!fixes::unified_diff(read.path, read.text, applied.text).empty());
            auto changed = files;
            changed[read.path] = applied.text;
            const auto again = cases::run(changed, stage);
            const auto same = [&](const messages::Message& other) {
                return cases::described(other, again->sources) == cases::described(message, ran.sources) &&
                       other.text == message.text;
            };
            CHECK_MESSAGE(std::none_of(again->messages.all().begin(), again->messages.all().end(), same),
                          "the fix leaves its message in place");
        }
    }
}

} // namespace

TEST_CASE("every case gives exactly its messages") {
    const char* bless = std::getenv("BENCHLEAF_BLESS");
    std::size_t ran_cases = 0;
    std::size_t waiting = 0;
    for (const auto& path : case_files()) {
        const std::string stage = cases::stage_of(path.parent_path().filename().string(), path.stem().string());
        if (stage.empty()) {
            ++waiting;
            continue;
        }
        ++ran_cases;
        INFO(path.string());
        const std::string before = cases::read_file(path);
        const cases::Case read = cases::read_case(before);
        const auto files = cases::files_of(read);
        const auto ran = cases::run(files, stage);
        std::vector<cases::Expectation> given;
        for (const auto& message : ran->messages.all()) given.push_back(cases::described(message, ran->sources));
        if (bless && std::string_view(bless) == "1") {
            const std::string after = cases::blessed(read, given);
            if (after != before) std::ofstream(path, std::ios::binary) << after;
            continue;
        }
        std::vector<cases::Expectation> expected = read.expected;
        std::sort(expected.begin(), expected.end());
        std::sort(given.begin(), given.end());
        std::vector<cases::Expectation> missing;
        std::vector<cases::Expectation> surplus;
        std::set_difference(expected.begin(), expected.end(), given.begin(), given.end(), std::back_inserter(missing));
        std::set_difference(given.begin(), given.end(), expected.begin(), expected.end(), std::back_inserter(surplus));
        for (const auto& e : missing) FAIL_CHECK(fmt::format("not given: {}:{}: {}", e.file, e.line, e.what));
        for (const auto& e : surplus) FAIL_CHECK(fmt::format("not expected: {}:{}: {}", e.file, e.line, e.what));
        if (!surplus.empty()) MESSAGE(messages::render_human(ran->messages, ran->sources, {}));
        try_fixes(files, *ran, stage);
        // Printing must hold for whatever stands in the file.
        CHECK(messages::render_json(ran->messages, ran->sources).front() == '[');
        const std::string shown = messages::render_human(ran->messages, ran->sources, {false, 60});
        CHECK(!base::first_bad_utf8(shown));
        CHECK(shown.find('\x1b') == std::string::npos);
    }
    CHECK(ran_cases > 20);
    MESSAGE(ran_cases << " cases ran, " << waiting << " wait for a later stage");
}

// Else a check that stopped finding anything could be blessed away.
TEST_CASE("the case of every check has it found at least once") {
    for (const cases::StagedRule& staged : cases::rules()) {
        const std::string name(staged.rule->name);
        CAPTURE(name);
        const auto path = std::string(BENCHLEAF_SOURCE_DIR "/tests/cases/checks/") + name + ".yaml";
        const cases::Case read = cases::read_case(cases::read_file(path));
        CHECK(std::any_of(read.expected.begin(), read.expected.end(),
                          [&](const cases::Expectation& each) { return each.what.ends_with(" [" + name + "]"); }));
    }
}

TEST_CASE("the runner sees a missing, a surplus and a misplaced message") {
    const std::string text = "a: \"x\n#~^ error 4-5 [unclosed-quote]\n";
    const cases::Case read = cases::read_case(text);
    REQUIRE(read.expected.size() == 1);
    CHECK(read.expected[0].line == 1);
    CHECK(cases::files_of(read).begin()->second == "a: \"x\n");
    const auto ran = cases::run(cases::files_of(read), "syntax");
    REQUIRE(ran->messages.all().size() == 1);
    CHECK(cases::described(ran->messages.all()[0], ran->sources) == read.expected[0]);
    CHECK(cases::read_case("a: b  #~ error 1-2 [x] note 3-4 [y]\n").expected.size() == 2);
    CHECK(cases::read_case("#~v error 1-1 [x]\n").expected[0].line == 1);
    CHECK(cases::files_of(cases::read_case("#~v error 1-1 [x]\n")).begin()->second.empty());
    const cases::Case shop =
        cases::read_case("# two\n#== file: a.yaml\na: b\n#== file: b.yaml\nc: d  #~ error 1-2 [x]\n");
    REQUIRE(shop.files.size() == 2);
    CHECK(shop.expected[0].file == "b.yaml");
    CHECK(cases::files_of(shop).at("a.yaml") == "a: b\n");
    CHECK(cases::blessed(shop, shop.expected) ==
          "# two\n#== file: a.yaml\na: b\n#== file: b.yaml\nc: d  #~ error 1-2 [x]\n");
    CHECK(cases::decode("a\\x09[\\*3", true) == "a\t[[[");
}

TEST_CASE("whatever is wrong, --fix makes its fixes or leaves the files as they are") {
    std::size_t changed = 0;
    constexpr std::size_t stride = BENCHLEAF_TIME_SLACK > 5 ? 4 : 1; // a slow build looks at one of so many
    const auto paths = case_files();
    for (std::size_t i = 0; i < paths.size(); i += stride) {
        const auto& path = paths[i];
        INFO(path.string());
        auto files = cases::files_of(cases::read_case(cases::read_file(path)));
        files.try_emplace("shop.yaml", "shop: yard\nname: Yard\n"); // the program opens no folder without one
        const driver::Mended mended = driver::mend(files, {});
        CHECK(mended.files.size() == files.size());
        CHECK((mended.fixes == 0) == (mended.files == files));
        changed += mended.fixes == 0 ? 0 : 1;
    }
    CHECK(changed > 0);
}
