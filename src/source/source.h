// Files as the user wrote them, and places in them. A Span is a half-open range of bytes in one file; every node, name
// and value that was read keeps its Span, so that a message can point at it. Lines and columns are worked out only when
// a message is printed.
#pragma once

#include "base/id.h"

#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::source {

using FileId = base::Id<struct FileTag>;

struct Span {
    FileId file;
    std::uint32_t begin = 0; // bytes from the start of the file's text
    std::uint32_t end = 0;

    bool known() const { return file.known(); }
    bool operator==(const Span&) const = default;
};

// A value together with where it was written.
template <class T>
struct Spanned {
    T value{};
    Span span;
};

struct Position {
    std::uint32_t line;   // from 1
    std::uint32_t column; // from 1, in code points
};

struct File {
    std::string path;                               // as shown in messages: relative to the shop where it lies inside
    std::string_view text;                          // without a byte order mark
    std::string own_text;                           // which that is of, where nobody else holds it
    mutable std::vector<std::uint32_t> line_starts; // filled at the first question
};

// All files of one run. Ids stay valid; texts do not move.
class Sources {
public:
    Sources() = default;
    Sources(const Sources&) = delete;
    Sources& operator=(const Sources&) = delete;
    Sources(Sources&&) = default; // the files stay where they are
    Sources& operator=(Sources&&) = default;

    FileId add(std::string path, std::string text);
    FileId lend(std::string path, std::string_view text); // whoever lends it holds it as long as this is asked for it
    const File& file(FileId id) const { return files_.at(id.index()); }
    std::size_t size() const { return files_.size(); }

    std::string_view text(Span span) const;
    Position position(FileId file, std::uint32_t offset) const;
    std::string_view line(FileId file, std::uint32_t line_number) const; // without its line end

private:
    std::deque<File> files_;
};

} // namespace benchleaf::source
