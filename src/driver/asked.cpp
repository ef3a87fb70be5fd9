#include "driver/asked.h"

#include <algorithm>

namespace benchleaf::driver {

bool lies_below(std::string_view path, std::string_view root) {
    return root.empty() || path == root || (path.starts_with(root) && path[root.size()] == '/');
}

std::vector<source::FileId> roots_of(const source::Sources& sources, const std::vector<std::string>& paths) {
    std::vector<source::FileId> roots;
    for (std::size_t i = 0; i < sources.size(); ++i) {
        const std::string& path = sources.file(source::FileId(i)).path;
        if (paths.empty() ||
            std::any_of(paths.begin(), paths.end(), [&](const auto& p) { return lies_below(path, p); }))
            roots.emplace_back(i);
    }
    return roots;
}

messages::Messages shown_of(const Shopful& shop, const std::vector<source::FileId>& roots) {
    if (roots.size() == shop.sources.size()) return shop.messages;
    Concerns only(shop.sources.size(), Concern::none);
    for (const source::FileId root : roots) only[root.index()] = Concern::own;
    messages::Messages shown = messages_about(shop.messages, only);
    const messages::Messages needed = messages_about(shop.messages, concerns_of(shop, roots));
    for (const messages::Message& message : needed.all())
        if (message.rule->level == messages::Level::error) shown.add(message);
    shown.sort_and_unite(shop.sources);
    return shown;
}

} // namespace benchleaf::driver
