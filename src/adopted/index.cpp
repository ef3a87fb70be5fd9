#include "adopted/index.h"

#include "base/require.h"

#include <algorithm>

namespace benchleaf::adopted {

namespace {

template <class T>
void add_list(std::vector<ListAt>& to, Kind kind, const model::Given<std::vector<model::Named<T>>>& list) {
    if (!list) return;
    ListAt at{kind, list->span, {}};
    for (const model::Named<T>& each : list->value) at.entries.push_back({each.id.span, each.whole});
    to.push_back(std::move(at));
}

} // namespace

std::uint64_t place_of(Span span) {
    return (std::uint64_t{span.file.value} << 32U) | span.begin;
}

std::vector<ListAt> lists_of(const model::Catalogue& catalogue) {
    std::vector<ListAt> to;
    add_list(to, Kind::part, catalogue.parts);
    add_list(to, Kind::fastener, catalogue.fasteners);
    add_list(to, Kind::circuit, catalogue.circuits);
    add_list(to, Kind::setting, catalogue.settings);
    add_list(to, Kind::adjustment, catalogue.adjustments);
    add_list(to, Kind::torque, catalogue.torques);
    add_list(to, Kind::limit, catalogue.limits);
    add_list(to, Kind::consumable, catalogue.consumables);
    add_list(to, Kind::tool, catalogue.tools);
    add_list(to, Kind::caution, catalogue.cautions);
    return to;
}

std::string_view catalogue_part(std::string_view name) {
    const std::size_t slash = name.find('/');
    return slash == std::string_view::npos ? std::string_view() : name.substr(0, slash);
}

std::string_view own_part(std::string_view name) {
    return name.substr(name.find('/') + 1);
}

std::string_view unquoted(std::string_view written) {
    if (written.size() >= 2 && (written.front() == '"' || written.front() == '\'') && written.back() == written.front())
        return written.substr(1, written.size() - 2);
    return written;
}

Index::Index(const Side& side) : side_(side) {
    const meaning::Meaning& meaning = *side.meaning;
    for (std::size_t i = 0; i < meaning.things.size(); ++i) {
        const meaning::Thing& thing = meaning.things[i];
        if (thing.kind == Kind::picture) continue;
        things_.emplace(place_of(thing.declared), ThingId(i));
        in_file_[thing.declared.file.value].push_back(ThingId(i));
        if (!meaning::is_file(thing.kind) && thing.kind != Kind::torque)
            names_[std::string(own_part(thing.name))].emplace(catalogue_part(thing.name));
    }
    const auto& catalogues = side.linked->model->catalogues;
    for (std::size_t i = 0; i < catalogues.size(); ++i) {
        const model::Catalogue& each = catalogues[i];
        catalogues_.emplace(place_of(each.id.span), CatalogueId(i));
        files_.emplace(each.id.span.file.value, CatalogueId(i));
        called_.try_emplace(each.id.value, CatalogueId(i));
        for (const ListAt& list : lists_of(each))
            for (const EntryAt& entry : list.entries) entries_.emplace(place_of(entry.id), entry);
    }
    uses_ = side.linked->uses;
    std::stable_sort(uses_.begin(), uses_.end(),
                     [](const linked::Use& a, const linked::Use& b) { return place_of(a.at) < place_of(b.at); });
    // A name that two look-ups asked for stands there once.
    uses_.erase(
        std::unique(uses_.begin(), uses_.end(),
                    [](const linked::Use& a, const linked::Use& b) { return place_of(a.at) == place_of(b.at); }),
        uses_.end());
}

ThingId Index::thing_at(Span declared) const {
    const auto found = things_.find(place_of(declared));
    return found == things_.end() ? ThingId() : found->second;
}

CatalogueId Index::catalogue_at(Span declared) const {
    const auto found = catalogues_.find(place_of(declared));
    return found == catalogues_.end() ? CatalogueId() : found->second;
}

CatalogueId Index::catalogue_in(FileId file) const {
    const auto found = files_.find(file.value);
    return found == files_.end() ? CatalogueId() : found->second;
}

CatalogueId Index::catalogue_called(std::string_view name) const {
    const auto found = called_.find(name);
    return found == called_.end() ? CatalogueId() : found->second;
}

const EntryAt& Index::entry_at(Span declared) const {
    const auto found = entries_.find(place_of(declared));
    base::require(found != entries_.end(), "an entry stands in its catalogue");
    return found->second;
}

std::vector<const linked::Use*> Index::uses_in(Span span) const {
    std::vector<const linked::Use*> found;
    auto at = std::lower_bound(uses_.begin(), uses_.end(), place_of(span),
                               [](const linked::Use& use, std::uint64_t place) { return place_of(use.at) < place; });
    for (; at != uses_.end() && at->at.file == span.file && at->at.begin < span.end; ++at) found.push_back(&*at);
    return found;
}

const std::vector<ThingId>& Index::things_in(FileId file) const {
    static const std::vector<ThingId> none;
    const auto found = in_file_.find(file.value);
    return found == in_file_.end() ? none : found->second;
}

const std::set<std::string>& Index::catalogues_with(std::string_view name) const {
    static const std::set<std::string> none;
    const auto found = names_.find(name);
    return found == names_.end() ? none : found->second;
}

} // namespace benchleaf::adopted
