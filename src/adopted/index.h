// Where the entries, lists and names of catalogues stand in their texts. Internal to adopted/.
#pragma once

#include "adopted/adopted.h"

#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace benchleaf::adopted {

std::uint64_t place_of(Span span);

struct EntryAt {
    Span id;
    Span whole;
};
struct ListAt {
    Kind kind{};
    Span value; // with its braces, where it has such
    std::vector<EntryAt> entries;
};
// In the order of kinds; those that the catalogue has.
std::vector<ListAt> lists_of(const model::Catalogue& catalogue);

class Index {
public:
    explicit Index(const Side& side);

    ThingId thing_at(Span declared) const;         // not known: nothing stands there
    CatalogueId catalogue_at(Span declared) const; // likewise
    CatalogueId catalogue_in(FileId file) const;   // that the file is; not known: it is none
    CatalogueId catalogue_called(std::string_view name) const;
    const EntryAt& entry_at(Span declared) const;
    std::vector<const linked::Use*> uses_in(Span span) const; // in the order of the file
    const model::Catalogue& source(CatalogueId id) const { return side_.linked->model->catalogues[id.index()]; }
    // Every thing that is declared in the file.
    const std::vector<ThingId>& things_in(FileId file) const;
    const std::set<std::string>& catalogues_with(std::string_view name) const; // that have an entry called so

private:
    const Side& side_;
    std::unordered_map<std::uint64_t, ThingId> things_;
    std::unordered_map<std::uint64_t, CatalogueId> catalogues_;
    std::unordered_map<std::uint32_t, CatalogueId> files_;
    std::unordered_map<std::uint64_t, EntryAt> entries_;
    std::unordered_map<std::uint32_t, std::vector<ThingId>> in_file_;
    std::map<std::string, CatalogueId, std::less<>> called_;
    std::map<std::string, std::set<std::string>, std::less<>> names_; // the catalogues that have an entry called so
    std::vector<linked::Use> uses_;                                   // by where they stand
};

// "caliper" of "disc-brake/caliper"; a torque's may have one more catalogue before it.
std::string_view catalogue_part(std::string_view name);
std::string_view own_part(std::string_view name);

// What a name is without the quotes that it may stand in.
std::string_view unquoted(std::string_view written);

} // namespace benchleaf::adopted
