#include "messages/message.h"

#include "base/text.h"

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <tuple>

namespace benchleaf::messages {

Message& Messages::add(const Rule& rule, source::Span at, std::string text, std::string label) {
    all_.push_back({&rule, std::move(text), {{at, std::move(label)}}, {}, {}});
    return all_.back();
}

void correct_slip(Message& message, source::Span at, std::string_view word, std::string_view meant,
                  std::string_view as) {
    if (!base::is_slip(word, meant)) return;
    const std::string better(as.empty() ? meant : as);
    message.fixes.push_back({"write `" + better + "`", {{at, better}}});
}

std::string help_of(const Message& message) {
    if (message.also.empty()) return message.help;
    return message.help + (message.help.empty() ? "" : "; ") + "the same at " + std::to_string(message.also.size()) +
           (message.also.size() == 1 ? " more place" : " more places");
}

std::string_view name_of(Level level) {
    return level == Level::error ? "error" : level == Level::warning ? "warning" : "note";
}

std::size_t Messages::count(Level level) const {
    return static_cast<std::size_t>(
        std::count_if(all_.begin(), all_.end(), [level](const Message& m) { return m.rule->level == level; }));
}

namespace {

// The edit as an insertion; nothing where the span stands in brackets that begin on another line, or in braces on its own.
std::optional<Edit> below(const Edit& edit, std::string_view text) {
    const std::size_t before = edit.span.begin == 0 ? std::string_view::npos : text.rfind('\n', edit.span.begin - 1);
    const std::size_t line = before == std::string_view::npos ? 0 : before + 1;
    const std::size_t key = text.find_first_not_of(" -", line);
    if (key == std::string_view::npos || key > edit.span.begin || text[key] < 'a' || text[key] > 'z')
        return std::nullopt;
    std::size_t end = std::min(text.find('\n', edit.span.end == 0 ? 0 : edit.span.end - 1), text.size());
    const bool carriage_return = end > 0 && text[end - 1] == '\r';
    end -= carriage_return ? 1 : 0;
    Edit made;
    made.span = edit.span;
    made.span.begin = made.span.end = static_cast<std::uint32_t>(end);
    for (std::string_view rest = edit.text; !rest.empty();) {
        const std::size_t stop = std::min(rest.find('\n'), rest.size());
        made.text += carriage_return ? "\r\n" : "\n";
        made.text += std::string(key - line, ' ');
        made.text += rest.substr(0, stop);
        rest.remove_prefix(std::min(stop + 1, rest.size()));
    }
    return made;
}

// The edit as an insertion; nothing where the entry beside does not begin its line.
std::optional<Edit> as_insertion(const Edit& edit, std::string_view text) {
    const std::size_t first = text.rfind('\n', edit.span.begin == 0 ? 0 : edit.span.begin - 1);
    const std::size_t line = edit.span.begin == 0 || first == std::string_view::npos ? 0 : first + 1;
    const std::size_t dash = text.find_first_not_of(' ', line);
    if (dash == std::string_view::npos || text[dash] != '-' || dash > edit.span.begin) return std::nullopt;
    if (edit.span.begin > dash && text.find_first_not_of(' ', dash + 1) < edit.span.begin) return std::nullopt;
    const std::string_view indent = text.substr(line, dash - line);
    // An entry may end in the blanks before the next one.
    const std::size_t last = text.substr(0, edit.span.end).find_last_not_of(" \r\n");
    const std::size_t end = std::min(text.find('\n', last), text.size());
    const bool carriage_return = end > 0 && text[end - 1] == '\r';
    const std::string_view line_end = carriage_return ? "\r\n" : "\n";
    const bool after = edit.puts == Puts::entries_after;
    Edit made;
    made.span = edit.span;
    made.span.begin = made.span.end = static_cast<std::uint32_t>(after ? end - (carriage_return ? 1 : 0) : line);
    for (std::string_view rest = edit.text; !rest.empty();) {
        const std::size_t stop = std::min(rest.find('\n'), rest.size());
        for (const std::string_view part : {after ? line_end : "", indent, rest.substr(0, stop), after ? "" : line_end})
            made.text += part;
        rest.remove_prefix(std::min(stop + 1, rest.size()));
    }
    return made;
}

} // namespace

void Messages::sort_and_unite(const source::Sources& sources) {
    for (Message& message : all_)
        std::erase_if(message.fixes, [&](Fix& fix) {
            for (Edit& edit : fix.edits) {
                if (edit.puts == Puts::text) continue;
                const std::string_view text = sources.file(edit.span.file).text;
                const auto made = edit.puts == Puts::lines_below ? below(edit, text) : as_insertion(edit, text);
                if (!made) return true;
                edit = *made;
            }
            return false;
        });
    std::vector<source::Span> told;
    for (const Message& each : all_)
        if (each.tells.known()) told.push_back(each.tells);
    if (!told.empty())
        std::erase_if(all_, [&](const Message& each) {
            return !each.labels.empty() && std::find(told.begin(), told.end(), each.labels.front().span) != told.end();
        });
    const auto key = [&sources](const Message& m) {
        const source::Span at = m.labels.empty() ? source::Span{} : m.labels.front().span;
        const std::string_view path = at.known() ? std::string_view(sources.file(at.file).path) : std::string_view();
        return std::tuple(path, at.begin, at.end, m.rule->name, std::string_view(m.text));
    };
    std::stable_sort(all_.begin(), all_.end(), [&](const Message& a, const Message& b) { return key(a) < key(b); });
    const auto at = [](const Message& m) { return m.labels.empty() ? source::Span{} : m.labels.front().span; };
    std::vector<Message> kept;
    kept.reserve(all_.size());
    std::map<std::pair<const Rule*, std::string>, std::size_t> by_cause;
    std::set<std::tuple<const Message*, std::size_t, std::uint32_t, std::uint32_t>>
        listed; // where else a kept one is at
    for (Message& each : all_) {
        Message* same = !kept.empty() && key(kept.back()) == key(each) ? &kept.back() : nullptr;
        if (!each.cause.empty()) {
            const std::size_t own = same == nullptr ? kept.size() : kept.size() - 1;
            const auto [found, fresh] = by_cause.try_emplace({each.rule, each.cause}, own);
            if (!fresh) same = &kept[found->second];
        }
        if (same == nullptr) {
            for (const source::Span also : each.also)
                listed.emplace(kept.data() + kept.size(), also.file.index(), also.begin, also.end);
            kept.push_back(std::move(each));
            continue;
        }
        each.also.push_back(at(each));
        for (const source::Span also : each.also)
            if (!(also == at(*same)) && !each.cause.empty() &&
                listed.emplace(same, also.file.index(), also.begin, also.end).second)
                same->also.push_back(also);
    }
    all_ = std::move(kept);
}

} // namespace benchleaf::messages
