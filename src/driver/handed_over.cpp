#include "driver/handed_over.h"

#include "bundle/bundle.h"
#include "driver/job_cards.h"
#include "driver/meanings.h"
#include "driver/picture_files.h"
#include "driver/shop_state.h"
#include "pictures/pictures.h"
#include "syntax/syntax.h"

#include <array>
#include <fmt/format.h>
#include <utility>

namespace benchleaf::driver {

namespace {

// What is a shop's own, and what it is called.
constexpr std::array<std::pair<std::string_view, std::string_view>, 5> own_places{{{"shop.yaml", "a shop's own file"},
                                                                                   {"jobs/", "a job"},
                                                                                   {"records/", "a record"},
                                                                                   {"answers/", "answers to a card"},
                                                                                   {"approvals/", "an approval"}}};

std::string_view own_of_a_shop(std::string_view path) {
    for (const auto& [place, called] : own_places)
        if (place.ends_with('/') ? path.starts_with(place) : path == place) return called;
    return {};
}

base::Result<base::Done> look_at(const std::string& path, const Meant& meant) {
    for (const auto& [picture, bytes] : meant.pictures) {
        const Shelf::Held& held = meant.files.shelf->at(picture, false);
        if (held.picture == nullptr) return base::Failure{fmt::format("{}: {}: {}", path, picture, held.refused.why)};
    }
    // Nothing else could be taken for one that lacks: mine of that name shows something else.
    std::string lacking;
    for (const model::Procedure& procedure : meant.shop->model.procedures)
        for_each_picture(procedure, [&](const source::Spanned<std::string>& picture) {
            if (lacking.empty() && !meant.pictures.contains(picture.value))
                lacking = fmt::format("{}: {} shows the picture {}, which is not in it", path,
                                      meant.shop->sources.file(picture.span.file).path, picture.value);
        });
    if (!lacking.empty()) return base::Failure{lacking};
    return base::Done{};
}

void link_up(Meant& meant) {
    Files all = meant.files;
    all.insert(meant.pictures.begin(), meant.pictures.end());
    meant.files.shelf = std::make_shared<Shelf>(all);
    meant.shop = link_shop(meant.files, Stage::linked, false);
    meant.meaning = meaning_of(*meant.shop);
}

} // namespace

adopted::Side Meant::side() const {
    return {&shop->sources, &shop->linked, &meaning, [shelf = files.shelf](const std::string& path) {
                const Shelf::Held& held = shelf->at(path, false);
                if (held.picture != nullptr) return held.picture->sha256;
                return std::string(held.missing ? "" : "unreadable");
            }};
}

base::Result<std::unique_ptr<Meant>> read_handed_over(const std::string& path, const std::string& bytes) {
    auto unpacked = unpack(path, bytes);
    if (!unpacked) return unpacked.failure();
    const bool card = is_pdf(bytes);
    auto meant = std::make_unique<Meant>();
    for (bundle::Unpacked& each : unpacked.value()) {
        if (const std::string_view own = own_of_a_shop(each.path); !own.empty()) {
            if (card) continue;
            return base::Failure{
                fmt::format("{}: {} is {}, which nobody hands over; nothing of it is taken", path, each.path, own)};
        }
        if (each.picture)
            meant->pictures.emplace(std::move(each.path), std::move(each.bytes));
        else
            meant->files.emplace(std::move(each.path), std::move(each.bytes));
    }
    link_up(*meant);
    if (auto good = look_at(path, *meant); !good) return good.failure();
    return meant;
}

base::Result<std::unique_ptr<Meant>> renamed(const Meant& from, const std::vector<adopted::NewName>& names) {
    const auto made = adopted::renaming(from.side(), names);
    if (!made) return made.failure();
    const adopted::Renaming& renaming = made.value();
    auto meant = std::make_unique<Meant>();
    for (std::size_t i = 0; i < from.shop->sources.size(); ++i) {
        const source::FileId file(i);
        const std::string& path = from.shop->sources.file(file).path;
        const auto edits = renaming.edits.find(file);
        const auto to = renaming.paths.find(file);
        std::string bytes = from.files.at(path);
        if (edits != renaming.edits.end()) bytes = edited_bytes(*from.shop, file, bytes, edits->second);
        const std::string& path_now = to == renaming.paths.end() ? path : to->second;
        if (!meant->files.emplace(path_now, std::move(bytes)).second)
            return base::Failure{fmt::format("{} is there already", path_now)};
    }
    for (const auto& [path, bytes] : from.pictures) {
        const auto to = renaming.pictures.find(path);
        if (!meant->pictures.emplace(to == renaming.pictures.end() ? path : to->second, bytes).second)
            return base::Failure{fmt::format("{} is there already", to->second)};
    }
    link_up(*meant);
    return meant;
}

std::string edited_bytes(const Shopful& shop, source::FileId file, const std::string& bytes,
                         const std::vector<adopted::Edit>& edits) {
    if (edits.empty()) return bytes;
    const std::size_t mark = bytes.size() - syntax::without_byte_order_mark(bytes).size();
    return bytes.substr(0, mark) + adopted::edited(shop.sources, adopted::all_of(shop.sources, file), edits);
}

} // namespace benchleaf::driver
