// What one shop hands to another, entry by entry: what goes along with a procedure, how each thing stands to mine of the same name, and which
// places of which texts change when it is taken:
//
//     const GoingAlong along = going_along(theirs, procedures, {}, Vehicles::that_fit);
//     const Offered offered = offers(theirs, mine, along.roots, answers); // new, same, different
//     for (const Landing& each : landings(theirs, mine, offered)) …       // edits on a file of mine, or a file of theirs
//     const auto wrong = not_as_meant(future, theirs, mine, offered);     // and whether it means there what it meant
//
// "Keep both" is a renaming of theirs before anything is offered (`renaming`): what comes from them then calls the thing by its new name.
// Texts are changed where they have to be and nowhere else, so layout and comments of both stay. Nothing here reads or writes a file.
#pragma once

#include "base/result.h"
#include "compared/compared.h"
#include "linked/linked.h"
#include "meaning/meaning.h"
#include "source/source.h"

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace benchleaf::adopted {

using linked::CatalogueId;
using meaning::Kind;
using meaning::ThingId;
using source::FileId;
using source::Span;

// A shop, or what was handed over of one. What it points to has to outlive it.
struct Side {
    const source::Sources* sources = nullptr;
    const linked::Linked* linked = nullptr;
    const meaning::Meaning* meaning = nullptr;
    // SHA-256 of any picture in the shop's folder, also of one that nothing names; empty: there is none. Asked of mine alone.
    meaning::DigestOfPicture digest_of_picture = nullptr;
};

// -- What goes along --------------------------------------------------------------------------------------------------

enum class Vehicles : std::uint8_t {
    that_fit, // every model that one of the procedures fits
    named,    // those, in place of them
    none
};

// The procedures, all that they need, the catalogues of that whole, with what those use in turn; and the vehicles. Besides the vehicles that are asked
// for, those without which a word that is carried would be on no vehicle: `when: { front-brake: fixed-caliper }` could not be told from a slip of the pen.
struct GoingAlong {
    std::vector<ThingId> roots; // the procedures and the vehicles
    std::set<FileId> files;
    std::set<std::string> pictures;
};
GoingAlong going_along(const Side& side, const std::vector<ThingId>& procedures, const std::vector<ThingId>& vehicles,
                       Vehicles which);

// -- How it stands to mine --------------------------------------------------------------------------------------------

enum class Stands : std::uint8_t { fresh, same, different };
enum class Answer : std::uint8_t { none, mine, theirs };

struct Offer {
    Kind kind{};
    std::string name;
    std::string called;
    Stands stands{};
    Answer answer{};         // of one that is different
    bool other_kind = false; // mine of that name is another kind of thing: theirs cannot take its place
    ThingId theirs, mine;
    std::vector<compared::Difference> differences; // from mine to theirs

    bool is_taken() const { return stands == Stands::fresh || answer == Answer::theirs; }
};

using Answers = std::map<std::pair<Kind, std::string>, Answer>;

struct Offered {
    std::vector<Offer> offers;   // by kind and name
    std::set<CatalogueId> whole; // catalogues of theirs that I do not have
    std::vector<ThingId> roots;  // as they were asked for
    std::size_t unanswered() const;
};

// What is answered by mine is not followed further: of what only theirs needs nothing comes.
Offered offers(const Side& theirs, const Side& mine, const std::vector<ThingId>& roots, const Answers& answers);

// -- Texts ------------------------------------------------------------------------------------------------------------

struct Edit {
    Span span; // replaced; an empty one is an insertion
    std::string text;
};
using Edits = std::map<FileId, std::vector<Edit>>;

// The part of a file that the span takes, with the edits that lie in it.
std::string edited(const source::Sources& sources, Span span, std::vector<Edit> edits);
Span all_of(const source::Sources& sources, FileId file);

// A thing, a picture or a catalogue of theirs, and how it is to be called: without the catalogue before it, of a picture with its folder.
struct NewName {
    ThingId thing;
    CatalogueId catalogue; // where `thing` is not known
    std::string to;
};

struct Renaming {
    Edits edits;
    std::map<FileId, std::string> paths;         // of files that are called otherwise now
    std::map<std::string, std::string> pictures; // likewise: from, to
};
// A Failure says what cannot be renamed, and where.
base::Result<Renaming> renaming(const Side& theirs, const std::vector<NewName>& names);

// A file as it is to be in my shop: one of mine with edits, or one of theirs with edits, at that path.
struct Landing {
    std::string path;
    FileId mine;   // the file that there is at that path
    FileId theirs; // known: this one comes, in place of mine if there is one
    std::vector<Edit> edits;
};
std::vector<Landing> landings(const Side& theirs, const Side& mine, const Offered& offered);

// Pictures to be taken, by their paths.
std::vector<std::string> pictures_taken(const Offered& offered);

// Of each thing that would not mean what it has to: what was taken means what it means with them, and what is mine and was not replaced what it meant.
std::vector<std::string> not_as_meant(const meaning::Meaning& future, const Side& theirs, const Side& mine,
                                      const Offered& offered);

} // namespace benchleaf::adopted
