// What the passes of `link` share: the value under construction, the names, the axes, and the look-up of each sort of
// reference. Internal to linked/.
#pragma once

#include "linked/linked.h"
#include "linked/names.h"
#include "linked/reports.h"

#include <functional>
#include <set>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

namespace benchleaf::linked {

// A name that is looked up in one list of files: catalogues, procedures, vehicles.
struct FileNames {
    std::string_view noun;
    std::unordered_map<std::string_view, std::uint32_t> ids;
    std::vector<std::string_view> listed;
    std::vector<Span> declared;
    const std::vector<std::string>* unread = nullptr; // files that could be of this kind
    std::vector<Use>* uses = nullptr;

    // A file whose name is another than that of what it describes, which was reported, is found by both.
    void declare_file(std::string_view stem, std::uint32_t index) { ids.try_emplace(stem, index); }
    // All files of the list. One that says another name than its file has, which was told, takes the name from no other.
    void declare_all(const source::Sources& sources, const std::vector<const source::Spanned<std::string>*>& all,
                     Messages& out);
    std::uint32_t find(std::string_view name, Span at, Messages& out) const; // Id::nothing when unknown
};

class Linker {
public:
    Linker(const model::Model& from, const source::Sources& files, Messages& messages)
        : model(from), sources(files), out(messages) {}

    const model::Model& model;
    const source::Sources& sources;
    Messages& out;
    Linked linked;
    FileNames catalogues{"catalogue", {}, {}, {}};
    FileNames procedures{"procedure", {}, {}, {}};
    FileNames vehicles{"vehicle", {}, {}, {}};
    FileNames jobs{"job", {}, {}, {}};
    std::unordered_map<std::string, AxisId> axes;
    Names* names = nullptr;
    // Places that were asked for: those that are not there, and those that are.
    struct UnknownPlace {
        ItemId item;
        std::string place;
        Span at;
    };
    std::vector<UnknownPlace> unknown_places;
    std::set<std::pair<ItemId, Place>> asked_places;
    std::vector<Scope> scopes; // by catalogue
    Scope everything;          // of vehicles and jobs

    // -- References
    const Entry* find(const Scope& scope, std::string_view name, Span at, model::Refers refers) {
        return names->find(scope, name, at, wanted(refers), out);
    }
    template <model::Refers R>
    ItemId item(const Scope& scope, const model::Ref<R>& ref) {
        const Entry* entry = find(scope, ref.name, ref.span, R);
        return entry == nullptr ? ItemId() : ItemId(entry->index);
    }
    // Of lists that need no holes: what is not known is left out.
    template <class Id, model::Refers R>
    std::vector<Id> ids(const Scope& scope, const model::Given<model::Refs<R>>& refs) {
        std::vector<Id> found;
        if (!refs) return found;
        for (const auto& ref : refs->value) {
            if (const Entry* entry = find(scope, ref.name, ref.span, R)) found.push_back(Id(std::size_t{entry->index}));
        }
        return found;
    }
    AxisId axis(std::string_view name, Span at);

    // A place of an item; false where it has none of that name, which is told when all is linked (tell_places).
    bool place(ItemId id, std::string_view name, Span at, Place& place);
    std::vector<Need> needs(const Scope& scope, const model::Places& places);

    Scope procedure_scope(const model::Procedure& procedure);
    std::vector<Torque> torques(const Scope& scope, const model::Given<std::vector<model::Named<model::Torque>>>& from);
    std::vector<LimitDifference> limits(const Scope& scope,
                                        const model::Given<std::vector<model::Named<model::Limit>>>& from);

    void tell_places();
    // An item that says no `each` among such that do; it is then taken to be where they are.
    void tell_sides();

    // -- The passes, in their order
    void declare_files();
    void declare_axes();
    void declare_entries(); // items with their sort, limits, consumables, tools, cautions
    void link_entries();    // what they say of each other
    void link_procedures();
    void link_vehicles();
    void link_jobs();
    void relate(); // the reverse relations of the catalogues' items
    void cut_cycles_of_do();
};

// Fills what the declaration gives, and leaves the rest: first with the catalogue's own, then with a vehicle's.
void fill_item(Linker& linker, const Scope& scope, Item& item, const model::Part& from);
void fill_item(Linker& linker, const Scope& scope, Item& item, const model::Fastener& from);
void fill_item(Linker& linker, const Scope& scope, Item& item, const model::Circuit& from);
void fill_item(Linker& linker, const Scope& scope, Item& item, const model::Setting& from);
void fill_item(Linker& linker, const Scope& scope, Item& item, const model::Adjustment& from);

// The places of an item as its declaration says; own places and states without what frees them.
void fill_places(Linker& linker, Item& item);

// What a circuit `needs`, and its `while: { open: … }`, as conditions of what opens it; once all is linked.
void bind_openers(Linked& linked);

// Takes out of `others` what `before` made them say in return, and puts in what `after` makes them say. `at` gives the
// item of an id, for writing.
void relate_item(ItemId id, const Item* before, const Item* after, const std::function<Item&(ItemId)>& at);

void link_procedure(Linker& linker, const Scope& scope, Procedure& procedure);

} // namespace benchleaf::linked
