#include "driver/future.h"

#include "bundle/bundle.h"
#include "driver/meanings.h"
#include "driver/shop_state.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>
#include <tuple>
#include <utility>

namespace benchleaf::driver {

namespace {

// By what a message is known again when lines have moved.
using Said = std::tuple<std::string, std::string_view, std::string>;

Said said(const messages::Message& message, const Shopful& shop) {
    const bool placed = !message.labels.empty() && message.labels.front().span.known();
    return {placed ? shop.sources.file(message.labels.front().span.file).path : std::string(), message.rule->name,
            message.text};
}

messages::Messages what_is_new(const Shopful& before, const Shopful& after, const std::vector<Coming>& files) {
    std::set<std::string> coming;
    for (const Coming& each : files) coming.insert(each.path);
    std::multiset<Said> known;
    for (const messages::Message& each : before.messages.all()) known.insert(said(each, before));
    messages::Messages fresh;
    for (const messages::Message& each : after.messages.all()) {
        const Said now = said(each, after);
        const auto was = known.find(now);
        const bool in_the_way = each.rule->level == messages::Level::error && coming.contains(std::get<0>(now));
        if (was == known.end() || in_the_way)
            fresh.add(each);
        else
            known.erase(was);
    }
    return fresh;
}

void put(Future& future, const Files& mine, const std::string& path, std::string bytes) {
    Coming file{path, bytes, std::nullopt};
    if (const auto there = mine.find(path); there != mine.end()) file.before = there->second;
    if (file.before != bytes) future.coming.push_back(std::move(file));
    future.meant.files[path] = std::move(bytes);
}

base::Result<base::Done> put_texts(Future& future, const Meant& mine, const Meant& theirs,
                                   const adopted::Offered& offered) {
    for (const adopted::Landing& each : adopted::landings(theirs.side(), mine.side(), offered)) {
        if (!each.mine.known() && mine.files.contains(each.path))
            return base::Failure{fmt::format(
                "{} is there already, and is something else: it stays as it is, and nothing was written", each.path)};
        const Meant& from = each.theirs.known() ? theirs : mine;
        const source::FileId file = each.theirs.known() ? each.theirs : each.mine;
        const std::string& bytes = from.files.at(from.shop->sources.file(file).path);
        put(future, mine.files, each.path, edited_bytes(*from.shop, file, bytes, each.edits));
    }
    return base::Done{};
}

base::Result<base::Done> put_pictures(Future& future, const std::string& root, const Meant& mine, const Meant& theirs,
                                      const adopted::Offered& offered, int& status) {
    for (const std::string& path : adopted::pictures_taken(offered)) {
        Coming file{path, theirs.pictures.at(path), std::nullopt};
        if (!mine.side().digest_of_picture(path).empty()) {
            auto bytes = read_bytes(root + "/" + path, bundle::most_bytes);
            if (!bytes) return status = machine_failed, bytes.failure();
            file.before = std::move(bytes.value());
        }
        future.meant.pictures[path] = file.bytes;
        future.coming.push_back(std::move(file));
    }
    return base::Done{};
}

// Whether each may be written where it belongs, beside all that lies there.
base::Result<base::Done> look_at_places(const std::string& root, const std::vector<Coming>& files, int& status) {
    const auto there = all_paths_in(root);
    if (!there) return status = machine_failed, there.failure();
    const std::set<std::string> lies_there(there.value().begin(), there.value().end());
    std::vector<std::string> paths;
    for (const Coming& each : files) {
        paths.push_back(each.path);
        if (const auto place = place_in(root, each.path); !place) return place.failure();
        if (lies_there.contains(each.path) && !each.before)
            return base::Failure{
                fmt::format("{} is there already, and is no file of the shop: it stays as it is", each.path)};
    }
    if (const auto wrong = bundle::wrong_beside(there.value(), paths)) return base::Failure{*wrong};
    return base::Done{};
}

} // namespace

base::Result<std::unique_ptr<Future>> make_future(const std::string& root, const Meant& mine, const Meant& theirs,
                                                  const adopted::Offered& offered, int& status) {
    status = input_has_errors;
    auto future = std::make_unique<Future>();
    Meant& meant = future->meant;
    meant.files = mine.files;
    if (auto made = put_texts(*future, mine, theirs, offered); !made) return made.failure();
    if (auto made = put_pictures(*future, root, mine, theirs, offered, status); !made) return made.failure();
    if (auto good = look_at_places(root, future->coming, status); !good) return good.failure();
    meant.files.shelf = std::make_shared<Shelf>(root, meant.pictures);
    meant.shop = check_shop(meant.files, {.unused = false}); // a catalogue may have more than is used here
    future->fresh = what_is_new(*mine.shop, *meant.shop, future->coming);
    if (!future->fresh.any_error()) meant.meaning = meaning_of(*meant.shop);
    return future;
}

} // namespace benchleaf::driver
