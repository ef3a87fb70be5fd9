// What the things of a shop say, however they are spelled: each entry of a catalogue, each torque in one, each procedure, vehicle, job and the
// shop itself, as a tree in which the keys stand in one order, figures are spelled in one way, and names are whole (`disc-brake/caliper`). By it
// two shops are compared, and a procedure is known:
//
//     const Meaning all = meaning_of(linked, digest_of_picture);
//     const std::string text = canonical(all, all.find(Kind::procedure, "front-disc-service")); // its SHA-256 is the procedure's digest
//
// In a procedure's canonical text stands the procedure with all that it brings onto a card: the items, limits, tools, consumables and cautions
// that it names and what those bring with them, the catalogues' torques of what it tightens, and the procedures that it calls. What only
// surrounds it (a wheel that has to be off, and the nuts of that wheel) does not, nor what is a vehicle's or the shop's own.
// Comments, the order of keys, layout and spelling change nothing in it; the order of steps and of lists does.
#pragma once

#include "base/id.h"
#include "linked/linked.h"
#include "model/tree.h"
#include "source/source.h"

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace benchleaf::meaning {

using source::Span;
using ThingId = base::Id<struct ThingTag>;

enum class Kind : std::uint8_t {
    shop,
    vehicle,
    procedure,
    job,
    part,
    fastener,
    circuit,
    setting,
    adjustment,
    torque,
    limit,
    consumable,
    tool,
    caution,
    picture
};
std::string_view word(Kind kind);      // "fastener"
bool is_file(Kind kind);               // it has a file of its own
std::string_view key_above(Kind kind); // "fasteners": under which a catalogue lists it

struct Thing {
    Kind kind{};
    std::string name;   // of an entry with its catalogue: "disc-brake/caliper"
    std::string called; // as printed: "brake caliper"
    Span declared;      // its name
    model::Tree tree;
    std::vector<ThingId> brings; // what comes onto a card with it
    std::vector<ThingId> needs;  // whatever it names, and what changes with it: without them it means something else
};

struct Meaning {
    std::vector<Thing> things; // by kind and name
    std::map<std::pair<Kind, std::string>, ThingId, std::less<>> ids;

    const Thing& at(ThingId id) const { return things[id.index()]; }
    ThingId find(Kind kind, std::string_view name) const; // not known: there is none
    ThingId entry(std::string_view name) const; // that a whole name in a tree stands for; a torque is no entry
};

// SHA-256 of a picture's bytes by its path in the shop; what is on a picture is a part of what is said.
using DigestOfPicture = std::function<std::string(const std::string& path)>;

// What stands for what in the whole shop, found once. Several threads may ask it.
class Index;
std::shared_ptr<const Index> index_of(const linked::Linked& linked);

// All that the shop has; or only what some procedures need.
Meaning meaning_of(const linked::Linked& linked, const DigestOfPicture& digest_of_picture);
Meaning meaning_of(const Index& index, const DigestOfPicture& digest_of_picture,
                   const std::vector<linked::ProcedureId>& procedures);

std::vector<ThingId> all_brought_by(const Meaning& meaning, ThingId thing);                     // itself first
std::vector<ThingId> all_needed_by(const Meaning& meaning, const std::vector<ThingId>& things); // themselves first

std::string canonical(const Meaning& meaning, ThingId thing); // of a procedure, or of a vehicle with what it names

std::string dump(const Meaning& meaning);

} // namespace benchleaf::meaning
