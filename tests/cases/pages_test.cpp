// The page of every check keeps the form that README.md in this folder gives, and its examples do what it says: the bad
// one gives this check's message and no other's, the good one none.
#include "cases/case.h"
#include "cases/pipeline.h"
#include "driver/pipeline.h"
#include "messages/render.h"
#include "source/source.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>

using namespace benchleaf;

namespace {

const std::vector<std::string> sections = {"What it finds", "Why it matters at the vehicle", "Bad example",
                                           "Good example", "When to disagree"};

struct Page {
    std::string title;
    std::string level;
    std::string summary;
    std::vector<std::string> sections;
    std::map<std::string, std::string> words;                                        // by section, without the examples
    std::map<std::string, std::vector<std::map<std::string, std::string>>> examples; // by section
};

Page read_page(std::string_view text) {
    Page page;
    std::string section;
    bool fenced = false;
    bool bytes = false;
    std::string example;
    for (const std::string& line : cases::lines_of(text)) {
        if (line.rfind("```", 0) == 0) {
            if (!fenced) {
                bytes = line == "```yaml bytes";
                fenced = true;
                example.clear();
                continue;
            }
            fenced = false;
            std::map<std::string, std::string> files;
            std::string path;
            for (const std::string& l : cases::lines_of(example)) {
                if (l.rfind("--- file: ", 0) == 0) {
                    path = l.substr(10);
                    files[path];
                    continue;
                }
                if (path.empty()) path = cases::path_for(example);
                files[path] += l + "\n";
            }
            // Splitting gave one empty line behind the last line end.
            if (!path.empty() && !files[path].empty()) files[path].pop_back();
            for (auto& [name, bytes_of_file] : files) bytes_of_file = cases::decode(bytes_of_file, bytes);
            page.examples[section].push_back(files);
        } else if (fenced) {
            example += line + "\n";
        } else if (line.rfind("# ", 0) == 0) {
            page.title = line.substr(2);
        } else if (line.rfind("## ", 0) == 0) {
            section = line.substr(3);
            page.sections.push_back(section);
        } else if (section.empty() && line.find(": ") != std::string::npos && page.level.empty()) {
            page.level = line.substr(0, line.find(": "));
            page.summary = line.substr(line.find(": ") + 2);
        } else {
            page.words[section] += line;
        }
    }
    return page;
}

} // namespace

TEST_CASE("every check has a page whose examples do what it says") {
    const auto rules = cases::rules();
    REQUIRE(!rules.empty());
    for (const auto& [rule, stage] : rules) {
        const std::string path = fmt::format(BENCHLEAF_SOURCE_DIR "/docs/checks/{}.md", rule->name);
        INFO(path);
        REQUIRE(std::filesystem::exists(path));
        const Page page = read_page(cases::read_file(path));
        CHECK(page.title == rule->name);
        CHECK(page.summary == rule->summary);
        const std::string_view level = rule->level == messages::Level::error     ? "error"
                                       : rule->level == messages::Level::warning ? "warning"
                                                                                 : "note";
        CHECK(page.level == level);
        CHECK(page.sections == sections);
        for (const char* section : {"What it finds", "Why it matters at the vehicle", "When to disagree"})
            CHECK(!page.words.count(section) == false);
        for (const bool bad : {true, false}) {
            const auto found = page.examples.find(bad ? "Bad example" : "Good example");
            REQUIRE(found != page.examples.end());
            REQUIRE(found->second.size() == 1);
            const auto ran = cases::run(found->second.front(), stage);
            INFO(messages::render_human(ran->messages, ran->sources, {}));
            CHECK(ran->messages.all().empty() != bad);
            for (const auto& message : ran->messages.all()) CHECK(message.rule->name == rule->name);
        }
    }
}
