// `--messages sarif` by the published schema of SARIF 2.1.0 (npm @microsoft/jest-sarif carries it), as somebody else's validator reads it
// (Debian's python3-jsonschema): of a faulty shop with fixes, of one that is clean, and of the case of every check.
#include "cases/case.h"
#include "cases/pipeline.h"
#include "driver/pipeline.h"
#include "gates/program.h"
#include "messages/render.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

namespace fs = std::filesystem;
using namespace benchleaf;
using namespace benchleaf::gates;

namespace {

const std::string root = BENCHLEAF_SOURCE_DIR;
const std::string schema = root + "/.build/npm/node_modules/@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json";

Ran judged(const std::vector<std::string>& logs) {
    REQUIRE_MESSAGE(fs::exists(schema), "the schema of SARIF is missing: `sh .ci/packages test` fetches it");
    std::vector<std::string> words = {root + "/tests/outside/check_sarif.py", schema};
    words.insert(words.end(), logs.begin(), logs.end());
    return run("/usr/bin/python3", words);
}

std::string said_of(const std::string& shop, int status) {
    const Ran ran = run({"--shop", shop, "check", "--messages", "sarif"});
    CHECK(ran.status == status);
    return ran.err;
}

} // namespace

TEST_CASE("what the program says of a faulty shop and of a clean one is SARIF 2.1.0") {
    const std::string folder = scratch("sarif");
    const std::string faulty = said_of(root + "/tests/rendered/faulty", 1);
    CHECK(faulty.find("\"fixes\"") != std::string::npos);
    write(folder + "/faulty.sarif", faulty);
    const std::string clean = said_of(root + "/procedures", 0);
    CHECK(clean.find("\"ruleId\"") == std::string::npos);
    write(folder + "/clean.sarif", clean);
    const Ran ran = judged({folder + "/faulty.sarif", folder + "/clean.sarif"});
    CHECK_MESSAGE(ran.status == 0, ran.out << ran.err);

    // The validator sees what is wrong, in form and beyond it.
    for (const auto& each :
         std::vector<std::pair<std::string, std::string>>{{"\"level\": \"error\"", "\"level\": \"grave\""},
                                                          {"\"startLine\": ", "\"startLine\": -"},
                                                          {"\"ruleIndex\": 0", "\"ruleIndex\": 1"},
                                                          {"\"runs\"", "\"walks\""}}) {
        std::string spoiled = faulty;
        CAPTURE(each.first);
        const auto at = spoiled.find(each.first);
        REQUIRE(at != std::string::npos);
        write(folder + "/spoiled.sarif", spoiled.replace(at, each.first.size(), each.second));
        CHECK(judged({folder + "/spoiled.sarif"}).status == 1);
    }
}

TEST_CASE("the messages of every check are SARIF 2.1.0") {
    const std::string folder = scratch("sarif-checks");
    std::vector<std::string> logs;
    std::size_t with_fixes = 0;
    for (const cases::StagedRule& staged : cases::rules()) {
        const std::string name(staged.rule->name);
        const cases::Case read = cases::read_case(cases::read_file(root + "/tests/cases/checks/" + name + ".yaml"));
        const auto ran = cases::run(cases::files_of(read), staged.stage);
        const std::string log = messages::render_sarif(ran->messages, ran->sources, "1");
        CAPTURE(name);
        CHECK(log.find(fmt::format("\"ruleId\": \"{}\"", name)) != std::string::npos);
        with_fixes += log.find("\"fixes\"") == std::string::npos ? 0 : 1;
        logs.push_back(folder + "/" + name + ".sarif");
        write(logs.back(), log);
    }
    CHECK(logs.size() > 100);
    CHECK(with_fixes > 10);
    const Ran ran = judged(logs);
    CHECK_MESSAGE(ran.status == 0, ran.out << ran.err);
}
