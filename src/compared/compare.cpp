#include "compared/compared.h"
#include "compared/differ.h"

#include <algorithm>
#include <set>
#include <utility>

namespace benchleaf::compared {

namespace {

using meaning::Kind;
using meaning::Meaning;
using meaning::Thing;
using meaning::ThingId;

} // namespace

std::vector<Difference> differences(const Meaning& old, const Thing& before, const Meaning& now, const Thing& after) {
    return Differ(old, now).run(before.tree, after.tree);
}

Comparison compare(const Side& before, const Side& after) {
    const Meaning& old = *before.meaning;
    const Meaning& now = *after.meaning;
    const auto looked_at = [&](const Thing& thing) {
        return (!before.only && !after.only) || (before.only && before.only(thing)) ||
               (after.only && after.only(thing));
    };
    std::set<std::pair<Kind, std::string>> all;
    for (const Meaning* meaning : {&old, &now})
        for (const Thing& thing : meaning->things)
            if (looked_at(thing)) all.emplace(thing.kind, thing.name);

    Comparison made;
    for (const auto& [kind, name] : all) {
        Changed changed;
        changed.kind = kind;
        changed.name = name;
        changed.before = old.find(kind, name);
        changed.after = now.find(kind, name);
        // A part of a shop is of another one, perhaps, and has few of its jobs.
        const bool own = kind == Kind::shop || kind == Kind::job;
        const bool in_both = changed.before.known() && changed.after.known();
        if (own && !in_both && !(before.whole && after.whole)) continue;
        if (!changed.before.known()) {
            if (!before.whole) continue;
            changed.change = Change::added;
            changed.called = now.at(changed.after).called;
        } else if (!changed.after.known()) {
            if (!after.whole) continue;
            changed.change = Change::removed;
            changed.called = old.at(changed.before).called;
        } else {
            changed.change = Change::changed;
            changed.called = now.at(changed.after).called;
            changed.differences = differences(old, old.at(changed.before), now, now.at(changed.after));
            if (changed.differences.empty()) continue;
        }
        made.things.push_back(std::move(changed));
    }
    for (const Thing& thing : now.things) {
        if (thing.kind != Kind::procedure && thing.kind != Kind::vehicle) continue;
        const ThingId was = old.find(thing.kind, thing.name);
        if (was.known() && meaning::canonical(old, was) != meaning::canonical(now, now.find(thing.kind, thing.name)))
            (thing.kind == Kind::procedure ? made.procedures : made.vehicles).push_back(thing.name);
    }
    return made;
}

} // namespace benchleaf::compared
