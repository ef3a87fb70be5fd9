#include "adopted/splice.h"

#include "base/text.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace benchleaf::adopted {

namespace {

std::size_t line_begin(std::string_view text, std::size_t at) {
    const std::size_t end = at == 0 ? std::string_view::npos : text.rfind('\n', at - 1);
    return end == std::string_view::npos ? 0 : end + 1;
}

// Before the line feed, and the carriage return before that.
std::size_t line_end(std::string_view text, std::size_t at) {
    std::size_t end = std::min(text.find('\n', at), text.size());
    if (end > at && text[end - 1] == '\r') --end;
    return end;
}

std::size_t blanks_before(std::string_view line) {
    return std::min(line.find_first_not_of(' '), line.size());
}

bool is_comment(std::string_view line) {
    return base::trimmed(line).starts_with('#');
}

// A literal text may end with the end of its line, which is not the entry's own.
std::size_t without_ends(std::string_view text, Span span) {
    std::size_t end = span.end;
    while (end > span.begin && (text[end - 1] == '\n' || text[end - 1] == '\r' || text[end - 1] == ' ')) --end;
    return end;
}

Span at(FileId file, std::size_t begin, std::size_t end) {
    return {file, static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)};
}

std::string without_returns(std::string text) {
    std::erase(text, '\r');
    return text;
}

// Lines behind the first one keep their places to each other. What stood in braces goes on behind where its entry begins.
std::string set_in(std::string_view text, std::size_t from, std::size_t to) {
    const auto lines = base::split(text, '\n');
    std::size_t least = std::string_view::npos;
    for (std::size_t i = 1; i < lines.size(); ++i)
        if (!base::trimmed(lines[i]).empty() && !is_comment(lines[i])) least = std::min(least, blanks_before(lines[i]));
    std::string all(lines.front());
    for (std::size_t i = 1; i < lines.size(); ++i) {
        const std::size_t has = blanks_before(lines[i]);
        const std::size_t base_of = least > from ? from : least - std::min<std::size_t>(least, 2);
        const std::size_t wants = has + to > base_of ? has + to - base_of : 0;
        all += '\n';
        if (has < lines[i].size()) all += std::string(wants, ' ');
        all += lines[i].substr(has);
    }
    return all;
}

// The list as lines, an entry each, with what is replaced in it.
std::string in_lines(const source::Sources& sources, const ListAt& list, const Changes& changes, std::size_t column) {
    const std::string_view text = sources.file(list.value.file).text;
    std::string all;
    for (std::size_t i = 0; i < list.entries.size(); ++i) {
        const EntryAt& entry = list.entries[i];
        const auto replaced = std::find_if(changes.replaced.begin(), changes.replaced.end(),
                                           [&](const Replaced& each) { return each.whole == entry.whole; });
        const std::size_t next =
            i + 1 < list.entries.size() ? list.entries[i + 1].whole.begin : std::size_t{list.value.end};
        std::string_view between = text.substr(entry.whole.end, next - entry.whole.end);
        Passage as = replaced != changes.replaced.end() ? replaced->by : passage(sources, entry.whole, {});
        if (const std::size_t comment = between.find('#'); comment != std::string_view::npos) {
            between = between.substr(comment);
            as.trailing = base::trimmed(between.substr(0, between.find('\n')));
        } else if (replaced == changes.replaced.end()) {
            as.trailing.clear();
        }
        as.comments.clear();
        all += "\n" + laid(as, column);
    }
    for (const Passage& each : changes.added) all += "\n" + laid(each, column);
    return all;
}

} // namespace

Passage passage(const source::Sources& sources, Span whole, const std::vector<Edit>& edits) {
    const std::string_view text = sources.file(whole.file).text;
    Passage made;
    const std::size_t line = line_begin(text, whole.begin);
    made.column = whole.begin - line;
    const std::size_t end = without_ends(text, whole);
    made.text = without_returns(edited(sources, at(whole.file, whole.begin, end), edits));
    const std::string_view behind = base::trimmed(text.substr(end, line_end(text, end) - end));
    if (behind.starts_with('#')) made.trailing = behind;
    if (!base::trimmed(text.substr(line, made.column)).empty()) return made; // in braces
    for (std::size_t above = line; above > 0;) {
        const std::size_t begin = line_begin(text, above - 1);
        const std::string_view words = text.substr(begin, above - begin);
        if (!is_comment(words) || blanks_before(words) != made.column) break;
        made.comments = without_returns(std::string(base::trimmed(words)) + "\n" + made.comments);
        above = begin;
    }
    return made;
}

std::string laid(const Passage& passage, std::size_t column) {
    const std::string blanks(column, ' ');
    std::string all;
    for (const std::string_view line : base::split(passage.comments, '\n'))
        if (!line.empty()) all += fmt::format("{}{}\n", blanks, line);
    all += blanks + set_in(passage.text, passage.column, column);
    if (!passage.trailing.empty()) all += " " + passage.trailing;
    return all;
}

std::vector<Edit> spliced(const source::Sources& sources, FileId file, const ListAt* list, const Changes& changes) {
    const std::string_view text = sources.file(file).text;
    if (list == nullptr || list->entries.empty()) {
        std::string all = fmt::format("{}\n{}:", text.ends_with('\n') ? "" : "\n", meaning::key_above(changes.kind));
        for (const Passage& each : changes.added) all += "\n" + laid(each, 2);
        return {{at(file, text.size(), text.size()), all + "\n"}};
    }
    if (text[list->value.begin] == '{') {
        std::size_t begin = list->value.begin;
        while (begin > 0 && text.find_first_of(" \r\n", begin - 1) == begin - 1) --begin; // behind the colon
        return {{at(file, begin, list->value.end), in_lines(sources, *list, changes, 2)}};
    }
    std::vector<Edit> edits;
    const std::size_t column = list->entries.front().whole.begin - line_begin(text, list->entries.front().whole.begin);
    for (const Replaced& each : changes.replaced) {
        const std::string by = set_in(each.by.text, each.by.column, column);
        edits.push_back({at(file, each.whole.begin, without_ends(text, each.whole)), by});
    }
    if (changes.added.empty()) return edits;
    const std::size_t end = line_end(text, without_ends(text, list->entries.back().whole));
    std::string all;
    for (const Passage& each : changes.added) all += "\n" + laid(each, column);
    edits.push_back({at(file, end, end), all});
    return edits;
}

Edit used_too(const source::Sources& sources, Span id, const model::Given<model::Refs<model::Refers::catalogue>>& uses,
              const std::vector<std::string>& more) {
    const std::string_view text = sources.file(id.file).text;
    const std::string names = fmt::format("{}", fmt::join(more, ", "));
    if (!uses) {
        const std::size_t end = line_end(text, id.end);
        return {at(id.file, end, end), fmt::format("\nuses: [{}]", names)};
    }
    const Span value = uses->span;
    if (uses->value.empty()) return {value, fmt::format("[{}]", names)};
    const Span last = uses->value.back().span;
    if (text[value.begin] == '[') return {at(id.file, last.end, last.end), ", " + names};
    const std::size_t line = line_begin(text, last.begin);
    if (const std::size_t dash = text.find_first_not_of(' ', line); text[dash] == '-') {
        const std::size_t end = line_end(text, last.end);
        std::string lines;
        for (const std::string& each : more) lines += fmt::format("\n{}- {}", std::string(dash - line, ' '), each);
        return {at(id.file, end, end), lines};
    }
    return {value, fmt::format("[{}, {}]", sources.text(value), names)};
}

} // namespace benchleaf::adopted
