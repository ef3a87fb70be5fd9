#include "source/source.h"

#include "base/text.h"

#include <algorithm>
#include <mutex>

namespace benchleaf::source {

namespace {

// Several threads may ask at a time for the lines of a file; that is seldom, and so one lock for all files is enough.
const std::vector<std::uint32_t>& line_starts(const File& file) {
    static std::mutex filling;
    const std::lock_guard lock(filling);
    if (file.line_starts.empty()) {
        file.line_starts.push_back(0);
        for (std::size_t i = 0; i < file.text.size(); ++i)
            if (file.text[i] == '\n') file.line_starts.push_back(static_cast<std::uint32_t>(i + 1));
    }
    return file.line_starts;
}

} // namespace

FileId Sources::add(std::string path, std::string text) {
    File& file = files_.emplace_back();
    file.path = std::move(path);
    file.own_text = std::move(text);
    file.text = file.own_text;
    return FileId(files_.size() - 1);
}

FileId Sources::lend(std::string path, std::string_view text) {
    File& file = files_.emplace_back();
    file.path = std::move(path);
    file.text = text;
    return FileId(files_.size() - 1);
}

std::string_view Sources::text(Span span) const {
    const std::string_view all = file(span.file).text;
    return all.substr(std::min<std::size_t>(span.begin, all.size()), span.end - span.begin);
}

Position Sources::position(FileId id, std::uint32_t offset) const {
    const File& in = file(id);
    const auto& starts = line_starts(in);
    const auto after = std::upper_bound(starts.begin(), starts.end(), offset);
    const auto line = static_cast<std::uint32_t>(after - starts.begin());
    const std::uint32_t start = starts[line - 1];
    const std::string_view before = in.text.substr(start, offset - start);
    return {line, static_cast<std::uint32_t>(base::code_points(before)) + 1};
}

std::string_view Sources::line(FileId id, std::uint32_t number) const {
    const File& in = file(id);
    const auto& starts = line_starts(in);
    if (number == 0 || number > starts.size()) return {};
    const std::size_t start = starts[number - 1];
    std::size_t end = number < starts.size() ? starts[number] : in.text.size();
    while (end > start && (in.text[end - 1] == '\n' || in.text[end - 1] == '\r')) --end;
    return in.text.substr(start, end - start);
}

} // namespace benchleaf::source
