#include "linked/deeds.h"

#include <algorithm>

namespace benchleaf::linked {

bool takes(model::SortSet set, Sort sort) {
    switch (set) {
    case model::SortSet::any:
        return true;
    case model::SortSet::fastener:
        return sort == Sort::fastener;
    case model::SortSet::clip:
        return sort == Sort::clip;
    case model::SortSet::part:
        return sort == Sort::part;
    case model::SortSet::circuit:
        return sort == Sort::circuit;
    case model::SortSet::setting:
        return sort == Sort::setting;
    case model::SortSet::adjustment:
        return sort == Sort::adjustment;
    }
    return false;
}

const model::Deed* deed_for(const model::Verb& verb, Sort sort, Place to) {
    const bool can_rest = std::any_of(verb.deeds.begin(), verb.deeds.end(), [&](const model::Deed& deed) {
        return takes(deed.on, sort) && deed.to == model::Leaves::written;
    });
    for (const model::Deed& deed : verb.deeds) {
        if (!takes(deed.on, sort)) continue;
        // Where a verb goes to a written place, going back to rest may be a deed of its own.
        if (can_rest && verb.deeds.size() > 1 && (to == 0) != (deed.to == model::Leaves::rest)) continue;
        return &deed;
    }
    return nullptr;
}

} // namespace benchleaf::linked
