#include "adopted/adopted.h"
#include "adopted/index.h"
#include "adopted/splice.h"
#include "base/require.h"
#include "model/tree.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

namespace benchleaf::adopted {

namespace {

using Uses = model::Given<model::Refs<model::Refers::catalogue>>;
using Seen = std::map<std::string, std::set<std::string>, std::less<>>; // of each catalogue: which it uses

void with_line_ends_of(const source::Sources& sources, FileId file, std::vector<Edit>& edits) {
    if (sources.file(file).text.find("\r\n") == std::string::npos) return;
    for (Edit& edit : edits)
        for (std::size_t at = edit.text.find('\n'); at != std::string::npos; at = edit.text.find('\n', at + 2))
            edit.text.insert(at, 1, '\r');
}

class Lander {
public:
    Lander(const Side& theirs, const Side& mine, const Offered& offered)
        : theirs_(theirs), mine_(mine), offered_(offered), index_(theirs), mine_index_(mine) {}

    std::vector<Landing> run() {
        sort_entries();
        find_uses();
        for (const CatalogueId each : offered_.whole)
            land_file(theirs_.linked->catalogues[each.index()].declared, {}, &index_.source(each).uses);
        for (const Offer& offer : offered_.offers)
            if (meaning::is_file(offer.kind) && offer.is_taken()) land_thing(offer);
        for (const auto& [file, lists] : entries_) land_entries(file, lists);
        keep_my_names();
        return std::move(made_);
    }

private:
    using Lists = std::map<Kind, std::vector<const Offer*>>;

    const meaning::Thing& thing(const Offer& offer) const { return theirs_.meaning->at(offer.theirs); }

    // What goes into catalogues of mine, by their files.
    void sort_entries() {
        for (const Offer& offer : offered_.offers) {
            if (meaning::is_file(offer.kind) || offer.kind == Kind::picture || !offer.is_taken()) continue;
            const CatalogueId to = mine_index_.catalogue_called(catalogue_part(offer.name));
            if (!to.known()) continue; // it comes with its file
            entries_[mine_.linked->catalogues[to.index()].declared.file][offer.kind].push_back(&offer);
        }
    }

    // -- What a catalogue sees once everything has landed -------------------------------------------------------------
    void find_uses() {
        for (const Side* side : {&mine_, &theirs_})
            for (std::size_t i = 0; i < side->linked->catalogues.size(); ++i) {
                const linked::Catalogue& from = side->linked->catalogues[i];
                if (side == &theirs_ && !offered_.whole.contains(CatalogueId(i))) continue;
                for (const CatalogueId used : from.uses)
                    uses_[from.id].insert(side->linked->catalogues[used.index()].id);
            }
        for (const auto& [file, lists] : entries_) {
            const std::string& name = mine_.linked->catalogues[mine_index_.catalogue_in(file).index()].id;
            std::vector<std::string>& lacking = lacking_[file];
            lacking = not_seen({name}, asked_by(lists));
            std::erase(lacking, name);
            uses_[name].insert(lacking.begin(), lacking.end());
        }
    }

    // The catalogues whose names stand in a part of a file of theirs.
    std::set<std::string> catalogues_in(Span span) const {
        std::set<std::string> names;
        for (const linked::Use* use : index_.uses_in(span))
            if (const ThingId id = index_.thing_at(use->declared); id.known())
                if (const meaning::Thing& named = theirs_.meaning->at(id); !meaning::is_file(named.kind))
                    names.emplace(catalogue_part(named.name));
        return names;
    }

    std::set<std::string> asked_by(const Lists& lists) const {
        std::set<std::string> asked;
        for (const auto& [kind, offers] : lists)
            for (const Offer* offer : offers) asked.merge(catalogues_in(index_.entry_at(thing(*offer).declared).whole));
        return asked;
    }

    std::set<std::string> all_seen(std::vector<std::string> from) const {
        std::set<std::string> seen(from.begin(), from.end());
        while (!from.empty()) {
            const auto found = uses_.find(from.back());
            from.pop_back();
            if (found == uses_.end()) continue;
            for (const std::string& each : found->second)
                if (seen.insert(each).second) from.push_back(each);
        }
        return seen;
    }

    std::vector<std::string> not_seen(std::vector<std::string> from, const std::set<std::string>& asked) const {
        const std::set<std::string> seen = all_seen(std::move(from));
        std::vector<std::string> lacking;
        std::set_difference(asked.begin(), asked.end(), seen.begin(), seen.end(), std::back_inserter(lacking));
        return lacking;
    }

    // -- Names that would be taken for others in my shop ----------------------------------------------------------------
    // `from`: the catalogues that the text uses once it has landed; none: it sees all that there are.
    std::vector<Edit> whole_names(Span span, std::string_view own,
                                  const std::optional<std::vector<std::string>>& from) const {
        const std::set<std::string> seen = from ? all_seen(*from) : std::set<std::string>();
        std::vector<Edit> edits;
        for (const linked::Use* use : index_.uses_in(span)) {
            const std::string_view written = unquoted(theirs_.sources->text(use->at));
            const ThingId id = index_.thing_at(use->declared);
            if (!id.known() || written.find('/') != std::string_view::npos) continue;
            const meaning::Thing& named = theirs_.meaning->at(id);
            const std::string_view catalogue = catalogue_part(named.name);
            if (meaning::is_file(named.kind) || catalogue == own) continue;
            const auto meets = [&](const std::string& each) {
                return each != catalogue && (!from || seen.contains(each));
            };
            const std::set<std::string>& here = mine_index_.catalogues_with(written);
            const std::set<std::string>& there = index_.catalogues_with(written);
            if (std::any_of(here.begin(), here.end(), meets) || std::any_of(there.begin(), there.end(), meets))
                edits.push_back({use->at, named.name});
        }
        return edits;
    }

    // -- Landings -------------------------------------------------------------------------------------------------------
    // `uses`: null for a vehicle, which sees all that there is.
    void land_file(Span declared, FileId in_place_of, const Uses* uses) {
        Landing landing;
        landing.theirs = declared.file;
        landing.mine = in_place_of;
        landing.path =
            in_place_of.known() ? mine_.sources->file(in_place_of).path : theirs_.sources->file(declared.file).path;
        const Span all = all_of(*theirs_.sources, declared.file);
        const CatalogueId catalogue = index_.catalogue_in(declared.file);
        const std::string own = catalogue.known() ? theirs_.linked->catalogues[catalogue.index()].id : std::string();
        std::optional<std::vector<std::string>> from;
        if (uses != nullptr) {
            from.emplace();
            if (!own.empty()) from->push_back(own);
            if (*uses)
                for (const auto& each : (*uses)->value) from->push_back(each.name);
            if (const auto lacking = not_seen(*from, catalogues_in(all)); !lacking.empty()) {
                landing.edits.push_back(used_too(*theirs_.sources, declared, *uses, lacking));
                from->insert(from->end(), lacking.begin(), lacking.end());
            }
        }
        for (Edit& edit : whole_names(all, own, from)) landing.edits.push_back(std::move(edit));
        with_line_ends_of(*theirs_.sources, declared.file, landing.edits);
        made_.push_back(std::move(landing));
    }

    void land_thing(const Offer& offer) {
        const Uses* uses = nullptr;
        for (const linked::Procedure& each : theirs_.linked->procedures)
            if (each.source->id.span == thing(offer).declared) uses = &each.source->uses;
        land_file(thing(offer).declared, offer.mine.known() ? mine_.meaning->at(offer.mine).declared.file : FileId(),
                  uses);
    }

    void land_entries(FileId file, const Lists& by_kind) {
        const CatalogueId catalogue = mine_index_.catalogue_in(file);
        const model::Catalogue& source = mine_index_.source(catalogue);
        Landing landing{mine_.sources->file(file).path, file, {}, {}};
        const std::vector<ListAt> lists = lists_of(source);
        for (const auto& [kind, offers] : by_kind) {
            Changes changes{kind, {}, {}};
            for (const Offer* offer : offers) {
                const Span whole = index_.entry_at(thing(*offer).declared).whole;
                Passage as = passage(*theirs_.sources, whole, whole_names(whole, source.id.value, {{source.id.value}}));
                if (offer->mine.known())
                    changes.replaced.push_back(
                        {mine_index_.entry_at(mine_.meaning->at(offer->mine).declared).whole, std::move(as)});
                else
                    changes.added.push_back(std::move(as));
            }
            const auto list = std::find_if(lists.begin(), lists.end(),
                                           [kind = kind](const ListAt& each) { return each.kind == kind; });
            for (Edit& edit : spliced(*mine_.sources, file, list == lists.end() ? nullptr : &*list, changes))
                landing.edits.push_back(std::move(edit));
        }
        if (const std::vector<std::string>& lacking = lacking_[file]; !lacking.empty())
            landing.edits.push_back(used_too(*mine_.sources, source.id.span, source.uses, lacking));
        with_line_ends_of(*mine_.sources, file, landing.edits);
        made_.push_back(std::move(landing));
    }

    // -- Names of mine that would be taken for theirs -------------------------------------------------------------------
    void keep_my_names() {
        std::map<std::string, std::set<std::string>, std::less<>>
            fresh; // the catalogues in which an entry of that name is new
        for (const Offer& offer : offered_.offers)
            if (offer.stands == Stands::fresh && !meaning::is_file(offer.kind) && offer.kind != Kind::picture &&
                offer.kind != Kind::torque)
                fresh[std::string(own_part(offer.name))].emplace(catalogue_part(offer.name));
        for (std::size_t i = 0; i < mine_.sources->size() && !fresh.empty(); ++i) {
            const FileId file(i);
            std::vector<Edit> edits;
            for (const linked::Use* use : mine_index_.uses_in(all_of(*mine_.sources, file))) {
                const std::string_view written = unquoted(mine_.sources->text(use->at));
                const ThingId id = mine_index_.thing_at(use->declared);
                const auto found = id.known() ? fresh.find(written) : fresh.end();
                if (found == fresh.end()) continue;
                const meaning::Thing& named = mine_.meaning->at(id);
                const std::set<std::string>& seen = seen_from(file);
                const bool meets =
                    std::any_of(found->second.begin(), found->second.end(), [&](const std::string& each) {
                        return each != catalogue_part(named.name) && (seen.empty() || seen.contains(each));
                    });
                const CatalogueId own = mine_index_.catalogue_in(file);
                if (meaning::is_file(named.kind) || !meets ||
                    (own.known() && mine_.linked->catalogues[own.index()].id == catalogue_part(named.name)))
                    continue;
                edits.push_back({use->at, named.name});
            }
            if (!edits.empty()) add_edits(file, std::move(edits));
        }
    }

    // The catalogues whose names a file of mine sees; none for what sees all.
    const std::set<std::string>& seen_from(FileId file) {
        const auto [known, fresh] = seen_from_.try_emplace(file);
        if (!fresh) return known->second;
        std::vector<std::string> from;
        if (const CatalogueId own = mine_index_.catalogue_in(file); own.known())
            from.push_back(mine_.linked->catalogues[own.index()].id);
        for (const linked::Procedure& each : mine_.linked->procedures)
            if (each.source->id.span.file == file)
                for (const CatalogueId used : each.uses) from.push_back(mine_.linked->catalogues[used.index()].id);
        return known->second = all_seen(from);
    }

    void add_edits(FileId file, std::vector<Edit> edits) {
        const auto there =
            std::find_if(made_.begin(), made_.end(), [&](const Landing& each) { return each.mine == file; });
        if (there == made_.end())
            made_.push_back({mine_.sources->file(file).path, file, {}, std::move(edits)});
        else if (!there->theirs.known()) // else it is replaced
            for (Edit& edit : edits) add_apart(there->edits, std::move(edit));
    }

    // What lies in an edit goes with it.
    static void add_apart(std::vector<Edit>& to, Edit edit) {
        if (std::none_of(to.begin(), to.end(), [&](const Edit& each) {
                return edit.span.begin < each.span.end && each.span.begin < edit.span.end;
            }))
            to.push_back(std::move(edit));
    }

    const Side& theirs_;
    const Side& mine_;
    const Offered& offered_;
    const Index index_;
    const Index mine_index_;
    std::map<FileId, std::set<std::string>> seen_from_;
    std::map<FileId, Lists> entries_;
    std::map<FileId, std::vector<std::string>> lacking_; // what a catalogue of mine has to use as well
    Seen uses_;
    std::vector<Landing> made_;
};

} // namespace

Span all_of(const source::Sources& sources, FileId file) {
    return {file, 0, static_cast<std::uint32_t>(sources.file(file).text.size())};
}

std::string edited(const source::Sources& sources, Span span, std::vector<Edit> edits) {
    std::stable_sort(edits.begin(), edits.end(), [](const Edit& a, const Edit& b) {
        return std::tie(a.span.begin, a.span.end) < std::tie(b.span.begin, b.span.end);
    });
    const std::string_view text = sources.file(span.file).text;
    std::string to;
    std::size_t at = span.begin;
    for (const Edit& edit : edits) {
        base::require(edit.span.begin >= at && edit.span.end <= span.end,
                      "edits of a file lie in it, one behind another");
        to += text.substr(at, edit.span.begin - at);
        to += edit.text;
        at = edit.span.end;
    }
    return to + std::string(text.substr(at, span.end - at));
}

std::vector<Landing> landings(const Side& theirs, const Side& mine, const Offered& offered) {
    return Lander(theirs, mine, offered).run();
}

std::vector<std::string> not_as_meant(const meaning::Meaning& future, const Side& theirs, const Side& mine,
                                      const Offered& offered) {
    std::vector<std::string> wrong;
    std::set<ThingId> replaced;
    const auto look = [&](const meaning::Meaning& before, const meaning::Thing& thing, std::string_view whose) {
        const ThingId is = future.find(thing.kind, thing.name);
        if (is.known() && model::lay_out(future.at(is).tree) == model::lay_out(thing.tree)) return;
        std::string how = is.known() ? "" : ": it would not be there";
        if (is.known())
            for (const compared::Difference& each : compared::differences(before, thing, future, future.at(is)))
                how += (how.empty() ? ": " : "; ") + each.says;
        wrong.push_back(
            fmt::format("{} {} would not say here what {}{}", meaning::word(thing.kind), thing.name, whose, how));
    };
    for (const Offer& offer : offered.offers) {
        if (offer.stands != Stands::same && !offer.is_taken()) continue;
        if (offer.mine.known()) replaced.insert(offer.mine);
        look(*theirs.meaning, theirs.meaning->at(offer.theirs), "it says where it comes from");
    }
    for (std::size_t i = 0; i < mine.meaning->things.size(); ++i) {
        const meaning::Thing& thing = mine.meaning->things[i];
        // A picture that nothing names any more lies there still.
        const bool unnamed = thing.kind == Kind::picture && !future.find(thing.kind, thing.name).known();
        if (!replaced.contains(ThingId(i)) && !unnamed) look(*mine.meaning, thing, "it says now");
    }
    return wrong;
}

} // namespace benchleaf::adopted
