#include "driver/meanings.h"

#include "digest/digest.h"
#include "driver/picture_files.h"

namespace benchleaf::driver {

namespace {

meaning::DigestOfPicture from_shelf(const Shopful& shop) {
    return [&shop](const std::string& path) {
        if (shop.shelf == nullptr) return std::string("missing");
        const Shelf::Held held = shop.shelf->at(path, shop.keeps_pixels);
        return held.picture == nullptr ? std::string("missing") : held.picture->sha256;
    };
}

} // namespace

meaning::Meaning meaning_of(const Shopful& shop) {
    if (shop.linked.model == nullptr) return {}; // too much of it could not be read
    return meaning::meaning_of(shop.linked, from_shelf(shop));
}

meaning::Meaning meaning_of(const Shopful& shop, const std::vector<linked::ProcedureId>& procedures) {
    if (shop.linked.model == nullptr) return {};
    std::call_once(shop.indexing, [&] { shop.index = meaning::index_of(shop.linked); });
    return meaning::meaning_of(*shop.index, from_shelf(shop), procedures);
}

std::string procedure_digest(const meaning::Meaning& meaning, meaning::ThingId procedure) {
    return digest::sha256_hex(meaning::canonical(meaning, procedure));
}

std::string in_groups(std::string_view digest) {
    std::string to;
    for (std::size_t i = 0; i < 16 && i < digest.size(); ++i) {
        if (i % 4 == 0 && i > 0) to += ' ';
        to += digest[i];
    }
    return to;
}

} // namespace benchleaf::driver
