// Which of a verb's deeds is done to an item of a sort.
#pragma once

#include "linked/linked.h"
#include "model/verbs.h"

namespace benchleaf::linked {

// Is what is done to that set done to such an item?
bool takes(model::SortSet set, Sort sort);

// What a verb does to an item of that sort that goes to that place; null: nothing.
const model::Deed* deed_for(const model::Verb& verb, Sort sort, Place to);

} // namespace benchleaf::linked
