#include "messages/message.h"

#include "base/text.h"

#include <algorithm>
#include <map>
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

void Messages::sort_and_unite(const source::Sources& sources) {
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
    for (Message& each : all_) {
        Message* same = !kept.empty() && key(kept.back()) == key(each) ? &kept.back() : nullptr;
        if (!each.cause.empty()) {
            const auto [found, fresh] = by_cause.try_emplace({each.rule, each.cause}, kept.size());
            if (!fresh) same = &kept[found->second];
        }
        if (same == nullptr) {
            kept.push_back(std::move(each));
            continue;
        }
        each.also.push_back(at(each));
        for (const source::Span also : each.also)
            if (!(also == at(*same)) && std::find(same->also.begin(), same->also.end(), also) == same->also.end() &&
                !each.cause.empty())
                same->also.push_back(also);
    }
    all_ = std::move(kept);
}

} // namespace benchleaf::messages
