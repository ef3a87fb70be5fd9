#include "messages/message.h"

#include "base/text.h"

#include <algorithm>
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

std::string_view name_of(Level level) {
    return level == Level::error ? "error" : level == Level::warning ? "warning" : "note";
}

std::size_t Messages::count(Level level) const {
    return static_cast<std::size_t>(
        std::count_if(all_.begin(), all_.end(), [level](const Message& m) { return m.rule->level == level; }));
}

void Messages::sort_and_unite(const source::Sources& sources) {
    const auto key = [&sources](const Message& m) {
        const source::Span at = m.labels.empty() ? source::Span{} : m.labels.front().span;
        const std::string_view path = at.known() ? std::string_view(sources.file(at.file).path) : std::string_view();
        return std::tuple(path, at.begin, at.end, m.rule->name, std::string_view(m.text));
    };
    std::stable_sort(all_.begin(), all_.end(), [&](const Message& a, const Message& b) { return key(a) < key(b); });
    all_.erase(
        std::unique(all_.begin(), all_.end(), [&](const Message& a, const Message& b) { return key(a) == key(b); }),
        all_.end());
}

} // namespace benchleaf::messages
