// What a circuit asks for when it is opened binds what opens it: whoever takes the radiator cap off opens the coolant as `open: coolant` does.
#include "linked/linker.h"
#include "linked/look_over.h"

#include <algorithm>

namespace benchleaf::linked {

namespace {

using ReadIt = std::function<const Item&(ItemId)>;

// Settings alone: that a lid is off so that the fluid can be drawn out says nothing of a plug at the bottom.
std::vector<Need> asked_when_opened(const Item& circuit, const ReadIt& read) {
    std::vector<Need> asked;
    const auto take = [&](const std::vector<Need>& needs) {
        for (const Need& need : needs)
            if (need.item.known() && read(need.item).sort == Sort::setting) asked.push_back(need);
    };
    if (hurts_when_hot(circuit)) take(circuit.needs);
    for (const While& each : circuit.whiles)
        if (each.verb == model::VerbName::open) take(each.needs);
    return asked;
}

bool says_itself(const Item& opener, model::VerbName verb, ItemId setting) {
    const auto of_it = [setting](const Need& need) { return need.item == setting; };
    return std::any_of(opener.needs.begin(), opener.needs.end(), of_it) ||
           std::any_of(opener.whiles.begin(), opener.whiles.end(), [&](const While& each) {
               return each.verb == verb && std::any_of(each.needs.begin(), each.needs.end(), of_it);
           });
}

std::vector<While> whiles_of(const Item& opener, const std::vector<Need>& asked) {
    std::vector<While> made;
    for (const model::VerbName verb : {model::VerbName::slacken, model::VerbName::remove}) {
        While during{verb, {}, {}};
        for (const Need& need : asked)
            if (!says_itself(opener, verb, need.item)) during.needs.push_back(need);
        if (during.needs.empty()) continue;
        during.span = during.needs.front().span;
        made.push_back(std::move(during));
    }
    return made;
}

void bind_it(Item& opener, const Item& circuit, const ReadIt& read) {
    const std::vector<While> more = whiles_of(opener, asked_when_opened(circuit, read));
    opener.whiles.insert(opener.whiles.end(), more.begin(), more.end());
}

} // namespace

void bind_openers(Linked& linked) {
    const ReadIt of_catalogue = [&](ItemId id) -> const Item& { return linked.items[id.index()]; };
    // A vehicle's first: what it changes, it has as the catalogue says so far.
    for (Vehicle& vehicle : linked.vehicles) {
        const auto find = [&vehicle](ItemId id) {
            return std::find_if(vehicle.items.begin(), vehicle.items.end(),
                                [id](const auto& each) { return each.first == id; });
        };
        const ReadIt read = [&](ItemId id) -> const Item& {
            const auto own = find(id);
            return own == vehicle.items.end() ? linked.items[id.index()] : own->second;
        };
        std::vector<std::pair<ItemId, Item>> made;
        for (auto& [id, item] : vehicle.items) {
            if (item.sort == Sort::circuit)
                for (const ItemId opener : item.openers)
                    if (find(opener) == vehicle.items.end()) {
                        made.emplace_back(opener, linked.items[opener.index()]);
                        bind_it(made.back().second, item, read);
                    }
            if (item.opens.known()) bind_it(item, read(item.opens), read);
        }
        vehicle.items.insert(vehicle.items.end(), made.begin(), made.end());
        std::sort(vehicle.items.begin(), vehicle.items.end(),
                  [](const auto& a, const auto& b) { return a.first < b.first; });
    }
    for (Item& item : linked.items)
        if (item.opens.known()) bind_it(item, linked.items[item.opens.index()], of_catalogue);
}

} // namespace benchleaf::linked
