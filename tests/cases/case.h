// A case file: one file or a small shop, with the messages that it must give written beside its lines. README.md in this
// folder says how. Everything that begins with `#~` or `#==` is taken out before the bytes go to the compiler, so a line
// may carry an expectation even inside a text.
#pragma once

#include "messages/message.h"
#include "source/source.h"

#include <cctype>
#include <fmt/format.h>
#include <fstream>
#include <map>
#include <optional>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::cases {

struct Expectation {
    std::string file;
    std::size_t line = 0; // of the primary label; 0 for a message without a place
    std::string what;     // "error 9-11 [quantity-without-unit]"
    auto operator<=>(const Expectation&) const = default;
};

struct Piece { // a line of one file of the case, without its expectations
    std::string text;
};

struct CaseFile {
    std::string path;
    std::optional<std::string> header; // its `#== file:` line; none for a case of one file
    std::vector<std::string> lines;    // the last is what stands behind the last line end
    bool bytes = false;
};

struct Case {
    bool bytes = false;           // `#== bytes`: \xHH is a byte, \*N repeats the character before it until there are N
    std::vector<std::string> top; // comment lines before the first file of a shop
    std::vector<CaseFile> files;
    std::vector<Expectation> expected;
};

inline std::string read_file(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::stringstream all;
    all << in.rdbuf();
    return all.str();
}

inline std::string decode(std::string_view text, bool bytes) {
    if (!bytes) return std::string(text);
    std::string to;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '\\' && i + 3 < text.size() && text[i + 1] == 'x') {
            to += static_cast<char>(std::stoi(std::string(text.substr(i + 2, 2)), nullptr, 16));
            i += 3;
        } else if (text[i] == '\\' && i + 2 < text.size() && text[i + 1] == '*' && !to.empty()) {
            std::size_t count = 0;
            std::size_t k = i + 2;
            for (; k < text.size() && std::isdigit(static_cast<unsigned char>(text[k])) != 0; ++k)
                count = count * 10 + static_cast<std::size_t>(text[k] - '0');
            to.append(count > 0 ? count - 1 : 0, to.back());
            i = k - 1;
        } else {
            to += text[i];
        }
    }
    return to;
}

// Where a file that holds `text` would lie in a shop, by its first key.
inline std::string path_for(std::string_view text) {
    std::stringstream lines{std::string(text)};
    std::string line;
    while (std::getline(lines, line)) {
        if (line.empty() || line[0] == '#') continue;
        const std::size_t colon = line.find(": ");
        if (colon == std::string::npos) break;
        const std::string key = line.substr(0, colon);
        std::string name = line.substr(colon + 2);
        name = name.substr(0, name.find_first_of(" \r"));
        if (key == "shop") return "shop.yaml";
        if (key == "catalogue") return "catalogue/" + name + ".yaml";
        if (key == "vehicle") return "vehicles/" + name + ".yaml";
        if (key == "job") return "jobs/" + name + ".yaml";
        if (key == "procedure") return "brakes/" + name + ".yaml";
        break;
    }
    return "example.yaml";
}

inline std::vector<std::string> lines_of(std::string_view text) {
    std::vector<std::string> lines;
    for (;;) {
        const std::size_t at = text.find('\n');
        lines.emplace_back(text.substr(0, at));
        if (at == std::string_view::npos) return lines;
        text.remove_prefix(at + 1);
    }
}

inline std::string joined(const std::vector<std::string>& lines) {
    std::string to;
    for (std::size_t i = 0; i < lines.size(); ++i) to += (i > 0 ? "\n" : "") + lines[i];
    return to;
}

// "error 9-11 [a] warning 3-4 [b]" → its parts.
inline std::vector<std::string> expectations_in(std::string_view text) {
    std::vector<std::string> found;
    for (;;) {
        const std::size_t begin = text.find_first_not_of(' ');
        const std::size_t close = text.find(']');
        if (begin == std::string_view::npos || close == std::string_view::npos) return found;
        found.emplace_back(text.substr(begin, close + 1 - begin));
        text.remove_prefix(close + 1);
    }
}

inline Case read_case(std::string_view text) {
    Case read;
    struct Below {
        std::size_t lines;
        std::vector<std::string> what;
    };
    std::vector<Below> below; // `#~v`, waiting for their lines
    std::vector<std::pair<std::size_t, Expectation>> placed;
    CaseFile* file = nullptr;
    const auto start = [&](std::string path, std::optional<std::string> header) {
        read.files.push_back({std::move(path), std::move(header), {}, false});
        file = &read.files.back();
    };
    std::vector<std::string> lines = lines_of(text);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        std::string line = lines[i];
        const bool last = i + 1 == lines.size();
        if (line.rfind("#== bytes", 0) == 0) {
            read.bytes = true;
            continue;
        }
        if (line.rfind("#== file: ", 0) == 0) {
            if (file && !file->header) { // comments on top of a shop
                read.top = file->lines;
                read.files.clear();
            } else if (file) {
                file->lines.emplace_back();
            }
            start(line.substr(10), line);
            continue;
        }
        if (!file) start("", std::nullopt);
        const std::string_view bare = std::string_view(line).substr(std::min(line.find_first_not_of(' '), line.size()));
        if (bare.rfind("#~^", 0) == 0 || bare.rfind("#~v", 0) == 0) {
            const char arrow = bare[2];
            std::size_t count = 0;
            while (2 + count < bare.size() && bare[2 + count] == arrow) ++count;
            const auto what = expectations_in(bare.substr(2 + count));
            if (arrow == 'v') {
                below.push_back({file->lines.size() + count, what});
            } else {
                for (const auto& w : what)
                    placed.push_back({read.files.size() - 1, {"", file->lines.size() + 1 - count, w}});
            }
            continue;
        }
        const std::size_t mark = line.find("#~ ");
        if (mark != std::string::npos) {
            for (const auto& w : expectations_in(std::string_view(line).substr(mark + 3)))
                placed.push_back({read.files.size() - 1, {"", file->lines.size() + 1, w}});
            line.resize(mark);
            while (!line.empty() && line.back() == ' ') line.pop_back();
        }
        file->lines.push_back(line);
        for (auto& b : below)
            if (b.lines == file->lines.size()) {
                for (const auto& w : b.what) placed.push_back({read.files.size() - 1, {"", b.lines, w}});
                b.lines = 0;
            }
        (void)last;
    }
    if (read.files.size() == 1 && !read.files[0].header) read.files[0].path = path_for(joined(read.files[0].lines));
    for (auto& [index, expectation] : placed) {
        expectation.file = read.files[index].path;
        if (expectation.what.find(" none ") != std::string::npos) {
            expectation.file.clear();
            expectation.line = 0;
        }
        read.expected.push_back(expectation);
    }
    return read;
}

inline std::map<std::string, std::string> files_of(const Case& read) {
    std::map<std::string, std::string> files;
    for (const CaseFile& file : read.files) files[file.path] = decode(joined(file.lines), read.bytes);
    return files;
}

inline Expectation described(const messages::Message& message, const source::Sources& sources) {
    const std::string_view level = message.rule->level == messages::Level::error     ? "error"
                                   : message.rule->level == messages::Level::warning ? "warning"
                                                                                     : "note";
    if (message.labels.empty() || !message.labels.front().span.known())
        return {"", 0, fmt::format("{} none [{}]", level, message.rule->name)};
    const source::Span at = message.labels.front().span;
    const auto begin = sources.position(at.file, at.begin);
    const auto end = sources.position(at.file, at.end);
    const std::string to = end.line == begin.line ? fmt::format("{}", end.column)
                                                  : fmt::format("+{}:{}", end.line - begin.line, end.column);
    return {sources.file(at.file).path, begin.line,
            fmt::format("{} {}-{} [{}]", level, begin.column, to, message.rule->name)};
}

// The case with the messages that were given in place of those that were expected.
inline std::string blessed(const Case& read, const std::vector<Expectation>& given) {
    std::string to;
    if (read.bytes) to += "#== bytes\n";
    for (const auto& line : read.top) to += line + "\n";
    bool first_file = true;
    for (const CaseFile& file : read.files) {
        if (file.header) to += *file.header + "\n";
        for (std::size_t i = 0; i < file.lines.size(); ++i) {
            std::string beside;
            for (const auto& g : given)
                if ((g.file == file.path && g.line == i + 1) || (g.line == 0 && first_file && i == 0))
                    beside += (beside.empty() ? "" : " ") + g.what;
            const std::string& line = file.lines[i];
            const bool last = i + 1 == file.lines.size();
            const bool alone = line.empty() || line.back() == ' ' || line.back() == '\t' || line.back() == '\r';
            if (!beside.empty() && last) to += "#~v " + beside + "\n"; // nothing may follow the last line
            if (!beside.empty() && !last && alone)
                to += "#~v " + beside + "\n" + line;
            else if (!beside.empty() && !last)
                to += line + "  #~ " + beside;
            else
                to += line;
            if (!last) to += "\n";
        }
        first_file = false;
    }
    return to;
}

} // namespace benchleaf::cases
