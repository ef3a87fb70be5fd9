#include "adopted/adopted.h"
#include "adopted/index.h"
#include "linked/look_over.h"

#include <fmt/format.h>

#include <algorithm>

namespace benchleaf::adopted {

namespace {

std::string with_stem(const std::string& path, const std::string& stem) {
    const std::size_t slash = path.rfind('/');
    const std::string folder = slash == std::string::npos ? std::string() : path.substr(0, slash + 1);
    return folder + stem + ".yaml";
}

class Renamer {
public:
    Renamer(const Side& theirs, const std::vector<NewName>& names) : theirs_(theirs), index_(theirs) {
        for (const NewName& each : names)
            if (!each.thing.known())
                catalogues_[theirs.linked->catalogues[each.catalogue.index()].id] = each.to;
            else if (theirs.meaning->at(each.thing).kind == Kind::picture)
                made_.pictures[theirs.meaning->at(each.thing).name] = each.to;
            else
                things_[place_of(theirs.meaning->at(each.thing).declared)] = each.to;
    }

    base::Result<Renaming> run(const std::vector<NewName>& names) {
        for (const NewName& each : names) rename_where_declared(each);
        for (std::size_t i = 0; i < theirs_.sources->size(); ++i)
            for (const linked::Use* use : index_.uses_in(all_of(*theirs_.sources, FileId(i))))
                if (!rename_use(*use)) {
                    const auto at = theirs_.sources->position(use->at.file, use->at.begin);
                    return base::Failure{fmt::format("{}:{}:{}: a name is written here so that it cannot be replaced",
                                                     theirs_.sources->file(use->at.file).path, at.line, at.column)};
                }
        if (!made_.pictures.empty()) rename_pictures();
        return std::move(made_);
    }

private:
    void rename_where_declared(const NewName& name) {
        const Span at = name.thing.known() ? theirs_.meaning->at(name.thing).declared
                                           : theirs_.linked->catalogues[name.catalogue.index()].declared;
        const Kind kind = name.thing.known() ? theirs_.meaning->at(name.thing).kind : Kind::shop;
        if (kind == Kind::picture) return;
        made_.edits[at.file].push_back({at, name.to});
        if (!name.thing.known() || meaning::is_file(kind))
            made_.paths[at.file] = with_stem(theirs_.sources->file(at.file).path, name.to);
    }

    // `catalogue/name` or `name`, of which either may be called otherwise now.
    bool rename_use(const linked::Use& use) {
        const std::string_view written = unquoted(theirs_.sources->text(use.at));
        const std::string_view before = catalogue_part(written);
        std::string to = before.empty() ? std::string() : catalogue_now(before) + "/";
        if (index_.catalogue_at(use.declared).known())
            to += catalogue_now(own_part(written));
        else
            to += thing_now(use.declared, own_part(written));
        if (to == written) return true;
        // In a text with escapes in it, the place of a mention is the whole text.
        if (own_part(written) != unquoted(theirs_.sources->text(use.declared))) return false;
        made_.edits[use.at.file].push_back({use.at, to});
        return true;
    }

    std::string catalogue_now(std::string_view name) const {
        const auto found = catalogues_.find(name);
        return found == catalogues_.end() ? std::string(name) : found->second;
    }

    std::string thing_now(Span declared, std::string_view name) const {
        const auto found = things_.find(place_of(declared));
        return found == things_.end() ? std::string(name) : found->second;
    }

    void rename_pictures() {
        for (const linked::Procedure& procedure : theirs_.linked->procedures)
            linked::each_step(procedure, [&](const linked::Step& step) {
                const auto* file = model::picture_file(*step.source);
                const auto found = file == nullptr ? made_.pictures.end() : made_.pictures.find(file->value);
                if (found != made_.pictures.end()) made_.edits[file->span.file].push_back({file->span, found->second});
            });
    }

    const Side& theirs_;
    const Index index_;
    std::map<std::uint64_t, std::string> things_; // by where they are declared
    std::map<std::string, std::string, std::less<>> catalogues_;
    Renaming made_;
};

} // namespace

base::Result<Renaming> renaming(const Side& theirs, const std::vector<NewName>& names) {
    return Renamer(theirs, names).run(names);
}

} // namespace benchleaf::adopted
