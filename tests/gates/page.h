// For tests that do what a page of the documentation says: its blocks in their order, a terminal in which its commands run, and what
// it shows held against what the program says.
//
// A comment just above a block says more of it: `<!-- file: jobs/r-17.yaml -->`, that it is this file; `<!-- fails: benchleaf check -->`,
// that a command that begins so has to fail.
#pragma once

#include "gates/program.h"

#include <doctest/doctest.h>
#include <sstream>

namespace benchleaf::gates {

// A fenced block of a page, or a table.
struct Block {
    std::string kind;   // "yaml", "sh", "text", "table"
    std::string file;   // of `<!-- file: … -->` just above it
    std::string before; // the paragraph above it
    std::vector<std::string> lines;
    std::vector<std::string> fails; // of each `<!-- fails: … -->`

    std::string text() const {
        std::string all;
        for (const std::string& line : lines) all += line + "\n";
        return all;
    }
};

inline std::vector<Block> blocks_of(const std::string& page) {
    std::vector<Block> blocks;
    std::stringstream lines(read(page));
    std::string paragraph;
    Block next;
    bool fenced = false;
    bool blank = true;
    const auto note = [](const std::string& line, std::size_t begin) {
        return line.substr(begin, line.find(" -->") - begin);
    };
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("```")) {
            fenced = !fenced;
            if (fenced) {
                next.kind = line.substr(3);
                next.before = paragraph;
                blocks.push_back(next);
            }
            next = {};
        } else if (fenced) {
            blocks.back().lines.push_back(line);
        } else if (line.starts_with("| ")) {
            if (blank) blocks.push_back({"table", "", paragraph, {}, {}});
            blocks.back().lines.push_back(line);
        } else if (line.starts_with("<!-- file: ")) {
            next.file = note(line, 11);
        } else if (line.starts_with("<!-- fails: ")) {
            next.fails.push_back(note(line, 12));
        } else if (!line.empty() && !line.starts_with("<!--")) {
            paragraph = blank ? line : paragraph + " " + line;
        }
        blank = line.empty();
    }
    CHECK(!fenced);
    return blocks;
}

// What stands in the text once is replaced, so that a test cannot go on with a page that has changed.
inline std::string replaced(std::string text, const std::string& from, const std::string& to) {
    CAPTURE(from);
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    REQUIRE(text.find(from, at + 1) == std::string::npos);
    return text.replace(at, from.size(), to);
}

// What a page (its path) shows is what the program says; else the page is wrong. With BENCHLEAF_BLESS=1 it is put right.
inline void hold(const std::string& page, const std::string& shown, const std::string& given) {
    const char* bless = std::getenv("BENCHLEAF_BLESS");
    if (bless && std::string_view(bless) == "1" && given != shown)
        write(page, replaced(read(page), shown, given));
    else
        CHECK(given == shown);
}

// A line of a terminal. Its `benchleaf` is the one that was built.
inline Ran shell(const std::string& line, const std::string& folder, const std::vector<std::string>& environment = {}) {
    return run("/bin/sh", {"-c", "PATH=\"" + std::string(BENCHLEAF_BINARY_DIR) + ":$PATH\"; " + line},
               {.folder = folder, .environment = environment});
}

} // namespace benchleaf::gates
