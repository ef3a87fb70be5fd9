#include "driver/mend.h"

#include "driver/asked.h"
#include "driver/pipeline.h"

#include "fixes/fixes.h"
#include "syntax/syntax.h"

#include <algorithm>
#include <memory>
#include <set>
#include <tuple>

namespace benchleaf::driver {

namespace {

constexpr int most_rounds = 8; // of fixes that meet each other and have to wait for a round of their own

// How many were made.
std::size_t apply(std::span<const messages::Fix> fixes, source::FileId id, const Shopful& shop, Files& files) {
    const source::File& file = shop.sources.file(id);
    const fixes::Applied applied = fixes::apply(fixes, id, file.text);
    std::string& bytes = files[file.path];
    const std::size_t mark = bytes.size() - syntax::without_byte_order_mark(bytes).size();
    bytes.replace(mark, std::string::npos, applied.text);
    return applied.applied;
}

std::unique_ptr<Shopful> make_sure_ones(Mended& mended, const std::vector<std::string>& paths, const CheckShop& check) {
    for (int round = 0;; ++round) {
        auto shop = check(mended.files, {});
        if (shop == nullptr) return shop;
        const std::vector<source::FileId> roots = roots_of(shop->sources, paths);
        const messages::Messages shown = shown_of(*shop, roots);
        std::size_t made = 0;
        for (const source::FileId id : roots)
            if (const auto fixes = fixes::fixes_of(shown, id); !fixes.empty())
                made += apply(fixes, id, *shop, mended.files);
        mended.fixes += made;
        if (made == 0 || round + 1 == most_rounds) return shop;
    }
}

// Some messages have no place, as one of a card's page.
std::string_view path_of(const messages::Message& message, const Shopful& shop) {
    if (message.labels.empty() || !message.labels.front().span.known()) return {};
    return shop.sources.file(message.labels.front().span.file).path;
}

using Told = std::multiset<std::tuple<std::string_view, std::string_view, std::string_view>>;

Told told_of(const Shopful& shop) {
    Told told;
    for (const messages::Message& each : shop.messages.all())
        told.emplace(path_of(each, shop), each.rule->name, each.text);
    return told;
}

bool is_better(const Shopful& after, const Shopful& before) {
    const Told now = told_of(after);
    const Told then = told_of(before);
    return now.size() < then.size() && std::includes(then.begin(), then.end(), now.begin(), now.end());
}

} // namespace

Mended mend(const Files& before, const std::vector<std::string>& paths, int tries, const CheckShop& check) {
    Mended sure{before, 0, 0};
    auto shop = make_sure_ones(sure, paths, check);
    if (shop == nullptr) return sure;
    Mended mended = sure;
    std::set<std::pair<std::string, std::string>> tried; // what is said of a file
    for (; tries > 0; --tries) {
        const messages::Messages shown = shown_of(*shop, roots_of(shop->sources, paths));
        const messages::Message* next = nullptr;
        for (const messages::Message& each : shown.all()) {
            if (each.fixes.empty() || !each.fixes.front().to_try) continue;
            // What stands in another file than the message is not the mistake.
            const std::string_view path = path_of(each, *shop);
            if (path != shop->sources.file(each.fixes.front().edits.front().span.file).path) continue;
            if (tried.emplace(path, each.text).second) {
                next = &each;
                break;
            }
        }
        if (next == nullptr) break;
        Mended attempt = mended;
        attempt.fixes += apply(std::span(&next->fixes.front(), 1), next->fixes.front().edits.front().span.file, *shop,
                               attempt.files);
        auto after = check(attempt.files, {.unused = false}); // what that finds was hidden by the error
        if (after == nullptr) return sure;
        if (attempt.fixes == mended.fixes || !is_better(*after, *shop)) continue;
        mended = std::move(attempt);
        ++mended.tried;
        shop = std::move(after);
    }
    return shop->messages.any_error() ? sure : mended;
}

messages::Messages told_by_cause(const Files& files, const Shopful& shop, const messages::Messages& shown,
                                 std::size_t& gone, const CheckShop& check) {
    constexpr std::size_t most_errors = 8; // more are hardly of one mistake
    int tries = 4;                         // each costs a check of the whole shop
    gone = 0;
    const std::size_t errors = shown.count(messages::Level::error);
    if (errors < 2 || errors > most_errors) return shown;
    for (const messages::Message& cause : shown.all()) {
        if (cause.rule->level != messages::Level::error || cause.fixes.empty()) continue;
        const messages::Fix& fix = cause.fixes.front();
        if (fix.edits.empty() || path_of(cause, shop) != shop.sources.file(fix.edits.front().span.file).path) continue;
        if (tries-- == 0) break;
        Files attempt = files;
        if (apply(std::span(&fix, 1), fix.edits.front().span.file, shop, attempt) == 0) continue;
        const auto after = check(attempt, {.unused = false});
        if (after == nullptr) return shown;
        if (after->messages.any_error() || !is_better(*after, shop)) continue;
        const Told left = told_of(*after);
        messages::Messages kept;
        for (const messages::Message& each : shown.all()) {
            const bool stays = left.contains({path_of(each, shop), each.rule->name, each.text});
            if (&each == &cause || stays || each.rule->level != messages::Level::error)
                kept.add(each);
            else
                ++gone;
        }
        return kept;
    }
    return shown;
}

Statement said_of(const Files& files, const Shopful& shop, const std::vector<std::string>& paths, Saying saying,
                  const CheckShop& check) {
    Statement said;
    said.shown = shown_of(shop, roots_of(shop.sources, paths));
    if (saying.by_cause) said.shown = told_by_cause(files, shop, said.shown, said.gone, check);
    const auto& all = said.shown.all();
    const auto to_try = std::count_if(all.begin(), all.end(), [](const messages::Message& each) {
        return std::any_of(each.fixes.begin(), each.fixes.end(), [](const messages::Fix& fix) { return fix.to_try; });
    });
    // Where there are few it is known before it is said.
    constexpr int few = 4;
    if (!saying.tries || to_try == 0) return said;
    if (to_try > few)
        said.then = "`check --fix` tries whether what is missing mends it\n";
    else if (mend(files, paths, few, check).tried > 0)
        said.then = "`check --fix` shows what is missing, and `check --fix --yes` adds it\n";
    return said;
}

} // namespace benchleaf::driver
