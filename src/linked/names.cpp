#include "linked/names.h"

#include "base/text.h"
#include "linked/missing_uses.h"
#include "linked/reports.h"

#include <algorithm>
#include <array>
#include <optional>
#include <set>

namespace benchleaf::linked {

namespace {

constexpr std::uint8_t item_kind = bit(Kind::item);

} // namespace

Wanted wanted(model::Refers refers) {
    using R = model::Refers;
    switch (refers) {
    case R::item:
        return {item_kind, 0x3F, "item"};
    case R::part:
        return {item_kind, bit(Sort::part), "part"};
    case R::fastener:
        return {item_kind, static_cast<std::uint8_t>(bit(Sort::fastener) | bit(Sort::clip)), "fastener"};
    case R::circuit:
        return {item_kind, bit(Sort::circuit), "circuit"};
    case R::setting:
        return {item_kind, bit(Sort::setting), "setting"};
    case R::adjustment:
        return {item_kind, bit(Sort::adjustment), "adjustment"};
    case R::limit:
        return {bit(Kind::limit), 0x3F, "limit"};
    case R::consumable:
        return {bit(Kind::consumable), 0x3F, "consumable"};
    case R::tool:
        return {bit(Kind::tool), 0x3F, "tool"};
    case R::tool_or_consumable:
        return {static_cast<std::uint8_t>(bit(Kind::tool) | bit(Kind::consumable)), 0x3F, "tool or consumable"};
    case R::caution:
        return {bit(Kind::caution), 0x3F, "caution"};
    case R::torque:
        return {item_kind, bit(Sort::fastener), "fastener"};
    default:
        return {0, 0, "name"};
    }
}

std::string_view sort_word(Sort sort) {
    switch (sort) {
    case Sort::fastener:
        return "fastener";
    case Sort::clip:
        return "fastener secured by its fit";
    case Sort::part:
        return "part";
    case Sort::circuit:
        return "circuit";
    case Sort::setting:
        return "setting";
    case Sort::adjustment:
        return "adjustment";
    }
    return "item";
}

std::string with_article(std::string_view noun) {
    const bool vowel = !noun.empty() && std::string_view("aeiou").find(noun.front()) != std::string_view::npos;
    return (vowel ? "an " : "a ") + std::string(noun);
}

std::string_view kind_word(const Linked& linked, const Entry& entry) {
    switch (entry.kind) {
    case Kind::item:
        return sort_word(linked.items[entry.index].sort);
    case Kind::limit:
        return "limit";
    case Kind::consumable:
        return "consumable";
    case Kind::tool:
        return "tool";
    case Kind::caution:
        return "caution";
    }
    return "name";
}

std::uint8_t sorts_with(std::string_view place) {
    const auto those = [](auto... sorts) { return static_cast<std::uint8_t>((bit(sorts) | ...)); };
    if (place == "tight" || place == "snug" || place == "loose") return those(Sort::fastener);
    if (place == "in") return those(Sort::clip);
    if (place == "off") return those(Sort::fastener, Sort::clip, Sort::part);
    if (place == "on") return those(Sort::part);
    if (place == "ready") return those(Sort::circuit, Sort::adjustment);
    return those(Sort::part, Sort::setting);
}

namespace {

template <class Thing>
std::string among_all(const Linked& linked, const Thing& thing) {
    return thing.catalogue.known() ? linked.catalogues[thing.catalogue.index()].id + "/" + thing.id : thing.id;
}

} // namespace

std::string name_among_all(const Linked& linked, ItemId id) {
    return among_all(linked, linked.items[id.index()]);
}
std::string name_among_all(const Linked& linked, LimitId id) {
    return among_all(linked, linked.limits[id.index()]);
}

bool named_as_its_file(const source::Sources& sources, std::string_view name, Span declared) {
    if (!declared.known()) return false;
    std::string_view stem = sources.file(declared.file).path;
    stem.remove_prefix(stem.rfind('/') + 1);
    return stem.substr(0, stem.rfind('.')) == name;
}

Names::Names(const Linked& linked, const source::Sources& sources, const messages::Messages& said)
    : linked_(&linked), said_(&said), sources_(&sources) {
    tables_.resize(linked.catalogues.size());
    listed_.resize(linked.catalogues.size());
    for (const bool by_file : {true, false}) // a file that is called otherwise comes behind one that is called so
        for (std::size_t i = 0; i < linked.catalogues.size(); ++i)
            if (named_as_its_file(sources, linked.catalogues[i].id, linked.catalogues[i].declared) == by_file)
                catalogues_.try_emplace(linked.catalogues[i].id, i);
}

const Entry* Names::declare(std::string_view name, Entry entry) {
    const std::size_t catalogue = entry.catalogue.index();
    const auto [at, fresh] = tables_[catalogue].try_emplace(name, entry);
    if (!fresh) return &at->second;
    listed_[catalogue].emplace_back(name, entry);
    all_[name].push_back(entry);
    return nullptr;
}

const Entry* Names::in(CatalogueId catalogue, std::string_view name) const {
    if (!catalogue.known() || catalogue.index() >= tables_.size()) return nullptr;
    const Table& table = tables_[catalogue.index()];
    const auto found = table.find(name);
    return found == table.end() ? nullptr : &found->second;
}

bool Names::sees(const Scope& scope, CatalogueId catalogue) const {
    return scope.everything || std::binary_search(scope.used.begin(), scope.used.end(), catalogue);
}

bool Names::suits(const Entry& entry, const Wanted& wanted) const {
    if ((wanted.kinds & bit(entry.kind)) == 0) return false;
    return entry.kind != Kind::item || (wanted.sorts & bit(linked_->items[entry.index].sort)) != 0;
}

const Entry* Names::take(const Entry& entry, std::string_view name, Span at, const Wanted& wanted,
                         messages::Messages& messages) {
    if (suits(entry, wanted)) {
        asked_.emplace(entry.kind, entry.index);
        if (&messages == said_) uses.push_back({at, entry.declared});
        return &entry;
    }
    report_wrong_sort(messages, at, std::string(name), wanted.noun, kind_word(*linked_, entry), entry.declared);
    return nullptr;
}

const Entry* Names::find(const Scope& scope, std::string_view name, Span at, const Wanted& wanted,
                         messages::Messages& messages) {
    if (name.empty()) return nullptr;
    if (name.find('/') != std::string_view::npos) return find_qualified(scope, name, at, wanted, messages);

    const Entry* own = in(scope.own, name);
    if (own != nullptr && (wanted.kinds & bit(own->kind)) != 0) return take(*own, name, at, wanted, messages);

    const auto found = all_.find(name);
    if (found == all_.end()) return unknown(scope, name, at, wanted, messages);

    // Those of the wanted kind that can be seen from here. Whichever list is shorter is walked.
    std::vector<const Entry*> seen;
    const Entry* other_kind = own;
    const Entry* unseen = nullptr;
    const auto look_at = [&](const Entry& entry) {
        if ((wanted.kinds & bit(entry.kind)) == 0) {
            if (other_kind == nullptr) other_kind = &entry;
        } else {
            seen.push_back(&entry);
        }
    };
    if (scope.everything || found->second.size() <= scope.used.size()) {
        for (const Entry& entry : found->second) {
            if (sees(scope, entry.catalogue)) {
                look_at(entry);
            } else if (unseen == nullptr && suits(entry, wanted)) {
                unseen = &entry;
            }
        }
    } else {
        for (const CatalogueId catalogue : scope.used) {
            if (const Entry* entry = in(catalogue, name)) look_at(*entry);
        }
        if (seen.empty()) {
            for (const Entry& entry : found->second) {
                if (!sees(scope, entry.catalogue) && suits(entry, wanted)) {
                    unseen = &entry;
                    break;
                }
            }
        }
    }

    if (seen.size() == 1) return take(*seen.front(), name, at, wanted, messages);
    if (seen.size() > 1) {
        std::vector<std::pair<std::string, Span>> where;
        for (const Entry* entry : seen)
            where.emplace_back(linked_->catalogues[entry->catalogue.index()].id, entry->declared);
        report_ambiguous_name(messages, at, std::string(name), wanted.noun, where);
        for (const Entry* entry : seen) {
            asked_.emplace(entry->kind, entry->index);
            if (suits(*entry, wanted)) return entry;
        }
        return nullptr;
    }
    if (unseen != nullptr) return not_used(scope, *unseen, name, at, wanted, messages);
    if (other_kind != nullptr) return take(*other_kind, name, at, wanted, messages);
    return unknown(scope, name, at, wanted, messages);
}

const Entry* Names::find_qualified(const Scope& scope, std::string_view name, Span at, const Wanted& wanted,
                                   messages::Messages& messages) {
    const std::size_t slash = name.find('/');
    const std::string_view catalogue_name = name.substr(0, slash);
    const std::string_view own_name = name.substr(slash + 1);
    const auto known = catalogues_.find(catalogue_name);
    if (known == catalogues_.end()) {
        if (scope.blind) return nullptr;
        std::vector<std::string_view> candidates;
        for (const Catalogue& each : linked_->catalogues) candidates.push_back(each.id);
        const std::string_view near = base::nearest(catalogue_name, candidates);
        report_unknown_name(messages, at, std::string(catalogue_name), "catalogue", {}, std::string(near), Span{},
                            near.empty() ? std::string() : std::string(near) + '/' + std::string(own_name));
        return nullptr;
    }
    const CatalogueId catalogue = known->second;
    if (const Entry* entry = in(catalogue, own_name)) {
        if (sees(scope, catalogue)) return take(*entry, name, at, wanted, messages);
        if (suits(*entry, wanted)) return not_used(scope, *entry, name, at, wanted, messages);
    }
    std::vector<std::string_view> candidates;
    if (catalogue.index() < listed_.size()) {
        for (const auto& [each, entry] : listed_[catalogue.index()]) {
            if (suits(entry, wanted)) candidates.push_back(each);
        }
    }
    const std::string_view near = base::nearest(own_name, candidates);
    const Entry* meant = near.empty() ? nullptr : in(catalogue, near);
    report_unknown_name(messages, at, std::string(own_name), wanted.noun, "catalogue " + std::string(catalogue_name),
                        std::string(near), meant == nullptr ? Span{} : meant->declared,
                        near.empty() ? std::string() : std::string(catalogue_name) + '/' + std::string(near));
    return meant;
}

// The entry stands in a catalogue that the file does not use: one more entry in `uses` mends it.
const Entry* Names::not_used(const Scope& scope, const Entry& entry, std::string_view name, Span at,
                             const Wanted& wanted, messages::Messages& messages) {
    asked_.emplace(entry.kind, entry.index);
    lent.push_back(entry.catalogue);
    if (scope.blind) return &entry; // the one that could not be read may be that
    const std::string& catalogue = linked_->catalogues[entry.catalogue.index()].id;
    std::vector<messages::Edit> edits;
    if (scope.uses != nullptr && scope.uses->has_value() && (*scope.uses)->span.known()) {
        const Span list = (*scope.uses)->span;
        const std::string_view text = sources_->text(list);
        if (text.ends_with(']') && !(*scope.uses)->value.empty()) {
            edits.push_back({{list.file, list.end - 1, list.end - 1}, ", " + catalogue});
        } else if (text.find('\n') == std::string_view::npos && base::is_kebab_case(text)) {
            edits.push_back({list, '[' + std::string(text) + ", " + catalogue + ']'});
        }
    } else if (scope.after.known() && sources_->file(scope.after.file).text.find("\nuses") == std::string::npos) {
        // (A `uses` that is there and could not be read says what is wrong itself.)
        edits.push_back({{scope.after.file, scope.after.end, scope.after.end}, "\nuses: [" + catalogue + "]"});
    }
    report_not_used(messages, at, std::string(name), wanted.noun, catalogue, entry.declared, std::move(edits));
    return &entry;
}

std::string_view same_words(std::string_view name, const std::vector<std::string_view>& names) {
    auto words = base::split(name, '-');
    if (words.size() < 2) return {};
    std::sort(words.begin(), words.end());
    std::string_view found;
    for (const std::string_view other : names) {
        auto parts = base::split(other, '-');
        std::sort(parts.begin(), parts.end());
        if (parts != words || other == found) continue;
        if (!found.empty()) return {};
        found = other;
    }
    return found;
}

namespace {

// The lower shock nut may be the lower shock bolt.
bool is_same_but_a_nut(const std::vector<std::string_view>& one, const std::vector<std::string_view>& other) {
    static constexpr std::array<std::string_view, 5> kinds = {"bolt", "nut", "screw", "stud", "pin"};
    const auto is_kind = [](std::string_view word) {
        return std::find(kinds.begin(), kinds.end(), word) != kinds.end();
    };
    return one.size() > 1 && one.size() == other.size() && is_kind(one.back()) && is_kind(other.back()) &&
           std::equal(one.begin(), one.end() - 1, other.begin());
}

} // namespace

std::vector<std::string> those_with(std::string_view word, const std::vector<std::string_view>& names) {
    std::vector<std::string> all;
    constexpr std::size_t most = 3;
    const auto words = base::split(word, '-');
    for (const std::string_view name : names) {
        const auto parts = base::split(name, '-');
        if (std::find(parts.begin(), parts.end(), word) != parts.end() || is_same_but_a_nut(words, parts))
            all.push_back('`' + std::string(name) + '`');
    }
    if (all.size() > most) all.clear();
    return all;
}

const Entry* Names::unknown(const Scope& scope, std::string_view name, Span at, const Wanted& wanted,
                            messages::Messages& messages) {
    if (scope.blind) return nullptr;
    std::vector<std::string_view> candidates;
    const auto gather = [&](bool seen) {
        candidates.clear();
        for (std::size_t i = 0; i < listed_.size(); ++i) {
            if (sees(scope, CatalogueId(i)) != seen) continue;
            for (const auto& [each, entry] : listed_[i]) {
                if (suits(entry, wanted) && std::find(beside.begin(), beside.end(), each) == beside.end())
                    candidates.push_back(each);
            }
        }
    };
    const bool counts = &messages == said_;
    Asked asked{at, wanted, scope.own, nullptr, {}, false, scope.used};
    if (!asked.catalogue.known() && scope.used.size() == 1) asked.catalogue = scope.used.front();
    asked.wanted.sorts &= hinted;
    gather(true);
    std::string_view near = base::nearest(name, candidates);
    if (near.empty()) near = same_words(name, candidates);
    const Entry* meant = nullptr;
    if (!near.empty()) {
        meant = in(scope.own, near);
        if (meant == nullptr || !suits(*meant, wanted)) {
            for (const Entry& entry : all_.at(near)) {
                if (sees(scope, entry.catalogue) && suits(entry, wanted)) {
                    meant = &entry;
                    break;
                }
            }
        }
    }
    asked.near = meant;
    asked.near_name = near;
    if (counts) unknown_[std::string(name)].push_back(asked);
    if (holes.contains(std::string(name))) return nullptr;
    std::optional<Missing> entry;
    if (near.empty() && wanted.kinds != 0) entry = missing(std::string(name), {asked});
    report_unknown_name(messages, at, std::string(name), wanted.noun, {}, std::string(near),
                        meant == nullptr ? Span{} : meant->declared, std::string(near), those_with(name, candidates),
                        entry ? &*entry : nullptr);
    if (meant != nullptr) {
        Missed& missed = missed_[{{meant->kind, meant->index}, std::string(name)}];
        missed.noun = wanted.noun;
        missed.meant = *meant;
        if (std::find(missed.at.begin(), missed.at.end(), at) == missed.at.end()) missed.at.push_back(at);
    }
    return meant;
}

void Names::asked_besides(std::string_view name, Span at) {
    unknown_[std::string(name)].push_back({at, wanted(model::Refers::limit), {}, nullptr, {}, true, {}});
}

std::set<std::string> Names::undeclared() const {
    std::set<std::string> found;
    for (const auto& [name, places] : unknown_) {
        if (all_.contains(name)) continue;
        std::set<std::pair<std::size_t, std::uint32_t>> distinct;
        bool slip = false;
        bool as_entry = false;
        for (const Asked& each : places) {
            distinct.emplace(each.at.file.index(), each.at.begin);
            as_entry = as_entry || !each.besides;
            if (each.near == nullptr) continue;
            slip = slip || base::is_slip(name, each.near_name) ||
                   !asked_.contains({each.near->kind, each.near->index}); // or that one is misspelt
        }
        if (distinct.size() > 1 && as_entry && !slip) found.insert(name);
    }
    return found;
}

namespace {

// Does the catalogue have a list of that key?
bool has_list(const model::Catalogue& catalogue, std::string_view key) {
    return (key == "parts" && catalogue.parts) || (key == "fasteners" && catalogue.fasteners) ||
           (key == "circuits" && catalogue.circuits) || (key == "settings" && catalogue.settings) ||
           (key == "adjustments" && catalogue.adjustments) || (key == "limits" && catalogue.limits) ||
           (key == "consumables" && catalogue.consumables) || (key == "tools" && catalogue.tools) ||
           (key == "cautions" && catalogue.cautions);
}

} // namespace

Missing Names::missing(const std::string& name, const std::vector<Asked>& places) const {
    Missing missing;
    missing.name = name;
    std::uint8_t kinds = 0xFF;
    std::uint8_t sorts = every_sort;
    std::set<std::pair<std::size_t, std::uint32_t>> distinct;
    CatalogueId asks; // the first that it would stand in itself
    std::vector<std::size_t> seen(linked_->catalogues.size(), 0);
    for (const Asked& each : places) {
        if (distinct.emplace(each.at.file.index(), each.at.begin).second) {
            if (!missing.first.known())
                missing.first = each.at;
            else if (!missing.second.known())
                missing.second = each.at;
        }
        if (each.besides) continue;
        // Where two uses do not go together, the first one counts.
        if ((kinds & each.wanted.kinds) != 0) kinds &= each.wanted.kinds;
        if ((each.wanted.kinds & item_kind) != 0 && (sorts & each.wanted.sorts) != 0) sorts &= each.wanted.sorts;
        if (!asks.known()) asks = each.catalogue;
        for (const CatalogueId catalogue : each.seen) ++seen[catalogue.index()];
        if (missing.like.empty() && each.near != nullptr) {
            missing.like = each.near_name;
            missing.like_declared = each.near->declared;
        }
    }
    missing.places = distinct.size();
    missing.kinds = kinds;
    missing.sorts = sorts;
    // Each look goes through all files. Where dozens of names are missing, nobody reads that far.
    constexpr std::size_t most_looked_up = 40;
    std::shared_ptr<const MissingUses>& known = uses_[name];
    if (known == nullptr)
        known = std::make_shared<const MissingUses>(uses_.size() > most_looked_up ? MissingUses()
                                                                                  : uses_of(*linked_->model, name));
    missing.uses = *known;
    // Where all that ask for it see it: the one that has such a list, and of several, the one that asks itself; without such a list, the one
    // with the parts.
    const std::string_view list = list_for(missing);
    const std::size_t most = seen.empty() ? 0 : *std::max_element(seen.begin(), seen.end());
    const bool of_parts = list != "tools" && list != "consumables" && list != "settings" && list != "cautions";
    std::size_t best = 0;
    CatalogueId home;
    bool several = false;
    for (std::size_t i = 0; i < seen.size(); ++i) {
        if (most == 0 || seen[i] < most) continue;
        const model::Catalogue& from = linked_->model->catalogues[i];
        const bool empty = std::any_of(empty_lists.begin(), empty_lists.end(), [&](const EmptyList& each) {
            return each.catalogue.index() == i && each.key == list;
        });
        const std::size_t rank = (empty                    ? 8U
                                  : has_list(from, list)   ? 4U
                                  : of_parts && from.parts ? 1U
                                                           : 0U) +
                                 (asks.known() && asks.index() == i ? 2U : 0U);
        several = rank == best && best != 0 ? true : rank > best ? false : several;
        if (rank > best) home = CatalogueId(i);
        best = std::max(best, rank);
    }
    if (several) home = CatalogueId();
    if (!home.known() && asks.known() && best < 4) home = asks;
    if (home.known()) missing.catalogue = sources_->file(linked_->catalogues[home.index()].declared.file).path;
    for (const EmptyList& each : empty_lists)
        if (home.known() && each.catalogue == home && each.key == list) missing.empty_list = each.span;
    missing.new_list =
        home.known() && !missing.empty_list.known() && !has_list(linked_->model->catalogues[home.index()], list);
    return missing;
}

void Names::tell_undeclared(messages::Messages& messages) const {
    for (const std::string& name : holes) {
        const auto found = unknown_.find(name);
        if (found == unknown_.end()) continue;
        Missing entry = missing(name, found->second);
        if (entry.uses.worked.known() && entry.uses.worked != entry.first) entry.second = entry.uses.worked;
        report_undeclared(messages, entry);
    }
}

void Names::tell_misspelt(messages::Messages& messages) const {
    for (const auto& [key, missed] : missed_) {
        if (missed.at.size() < 2 || asked_.contains(key.first)) continue;
        const auto of_this = [&missed = missed](const messages::Message& message) {
            return message.rule == &checks::unknown_name.rule && message.labels.size() == 2 &&
                   message.labels[1].span == missed.meant.declared &&
                   std::find(missed.at.begin(), missed.at.end(), message.labels[0].span) != missed.at.end();
        };
        messages::Messages kept;
        for (const messages::Message& message : messages.all())
            if (!of_this(message)) kept.add(message);
        report_misspelt_entry(kept, missed.meant.declared, std::string(sources_->text(missed.meant.declared)),
                              kind_word(*linked_, missed.meant), key.second, missed.at);
        messages = std::move(kept);
    }
}

} // namespace benchleaf::linked
