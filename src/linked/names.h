// Every name that the catalogues declare, and the look-up of a name in what a file may see. In a procedure that is what
// the catalogues that it uses have (and what those use); in a catalogue its own names come first; in a vehicle and a
// job all catalogues are seen. A name that two of them have is written `catalogue/name`.
#pragma once

#include "linked/linked.h"
#include "messages/message.h"

#include <map>
#include <memory>
#include <set>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

namespace benchleaf::linked {

struct Missing; // reports.h
struct MissingUses;

enum class Kind : std::uint8_t { item, limit, consumable, tool, caution };

struct Entry {
    Kind kind = Kind::item;
    std::uint32_t index = 0; // into the list of its kind in Linked
    CatalogueId catalogue;
    Span declared;
};

// What a place in a file asks for: sets of Kind and (for items) of Sort as bits, and how a message calls it.
struct Wanted {
    std::uint8_t kinds = 0;
    std::uint8_t sorts = 0x3F; // every_sort
    std::string_view noun;     // "fastener"
};
constexpr std::uint8_t bit(Kind kind) {
    return static_cast<std::uint8_t>(1U << static_cast<unsigned>(kind));
}
constexpr std::uint8_t bit(Sort sort) {
    return static_cast<std::uint8_t>(1U << static_cast<unsigned>(sort));
}

inline constexpr std::uint8_t every_sort = 0x3F;

Wanted wanted(model::Refers refers);
// Those of the sorts that have a place of that name.
std::uint8_t sorts_with(std::string_view place);
std::string_view sort_word(Sort sort);           // "fastener", "clip", …
std::string with_article(std::string_view noun); // "a fastener", "an adjustment"
std::string_view kind_word(const Linked& linked, const Entry& entry);

// What a file may see.
struct Scope {
    CatalogueId own;               // of a catalogue
    std::vector<CatalogueId> used; // in the order of their ids, own among them
    bool everything = false;       // of a vehicle, a job
    bool blind = false;            // a catalogue that it uses is not known: a name that is not found may stand there
    const model::Given<model::Refs<model::Refers::catalogue>>* uses = nullptr; // where a further one is to be added
    Span after; // where a key `uses` is to be added when there is none: behind the file's first value
};

// A file may say another name than it has, which was told.
bool named_as_its_file(const source::Sources& sources, std::string_view name, Span declared);

// The one name that has the same words in another order: `sag-set` for `set-sag`. Empty: there is none, or several.
std::string_view same_words(std::string_view name, const std::vector<std::string_view>& names);

// `bolt`: those of the names that have the word in them, quoted, where they are few.
std::vector<std::string> those_with(std::string_view word, const std::vector<std::string_view>& names);

class Names {
public:
    // The catalogues must be known by name already; their entries are declared one by one. What is looked up with messages other than `said`
    // is only tried.
    Names(const Linked& linked, const source::Sources& sources, const messages::Messages& said);

    // Gives the one that was there first, if any.
    const Entry* declare(std::string_view name, Entry entry);

    // The entry that the name stands for. Null when it was reported and nothing could be put in its place. An empty
    // name is a hole.
    const Entry* find(const Scope& scope, std::string_view name, Span at, const Wanted& wanted,
                      messages::Messages& messages);

    // A name that something else may have besides an entry, and nothing has: counted where others ask for it as one.
    void asked_besides(std::string_view name, Span at);
    // The sorts that what is done to an item, or where it is to be, allows: for the guess what an entry that is missing was to be.
    std::uint8_t hinted = every_sort;

    // Names that several places ask for and no entry has, none of them a slip of the pen: it is the entry that is missing. From the first
    // walk through the shop; for the next, which takes them for holes and tells each once.
    std::set<std::string> undeclared() const;
    std::set<std::string> holes;
    void tell_undeclared(messages::Messages& messages) const;
    // Lists of catalogues that hold nothing, which was told: that an entry is missing in one says the same.
    struct EmptyList {
        CatalogueId catalogue;
        std::string_view key;
        Span span;
    };
    std::vector<EmptyList> empty_lists;

    // Names that the step has besides: none of them was meant by one that nothing has.
    std::vector<std::string_view> beside;
    std::vector<Use> uses; // of what was found

    // Catalogues that something was found in, though the file does not use them, which was told: from then on they are as if it did.
    std::vector<CatalogueId> lent;

    // Does an entry of any catalogue have the name?
    bool knows(std::string_view name) const { return all_.contains(name); }

    // An entry that nobody calls by its name, while several call for one by another that is nearest to it, is the one that is misspelt:
    // that is said once, in place of all that was said of those. To be called when all names were looked up.
    void tell_misspelt(messages::Messages& messages) const;

private:
    using Table = std::unordered_map<std::string_view, Entry>;

    const Entry* in(CatalogueId catalogue, std::string_view name) const;
    bool sees(const Scope& scope, CatalogueId catalogue) const;
    const Entry* take(const Entry& entry, std::string_view name, Span at, const Wanted& wanted,
                      messages::Messages& messages);
    const Entry* find_qualified(const Scope& scope, std::string_view name, Span at, const Wanted& wanted,
                                messages::Messages& messages);
    const Entry* not_used(const Scope& scope, const Entry& entry, std::string_view name, Span at, const Wanted& wanted,
                          messages::Messages& messages);
    const Entry* unknown(const Scope& scope, std::string_view name, Span at, const Wanted& wanted,
                         messages::Messages& messages);
    bool suits(const Entry& entry, const Wanted& wanted) const;

    const Linked* linked_;
    const messages::Messages* said_;
    std::unordered_map<std::string_view, CatalogueId> catalogues_;
    const source::Sources* sources_;
    std::unordered_map<std::string_view, std::vector<Entry>> all_;        // in the order of the catalogues
    std::vector<Table> tables_;                                           // by catalogue
    std::vector<std::vector<std::pair<std::string_view, Entry>>> listed_; // by catalogue, as declared
    using Thing = std::pair<Kind, std::uint32_t>;
    std::set<Thing> asked_; // by their names
    struct Missed {
        std::string_view noun;
        Entry meant;
        std::vector<Span> at;
    };
    std::map<std::pair<Thing, std::string>, Missed> missed_; // the nearest, and the name that nothing has
    struct Asked {
        Span at;
        Wanted wanted;
        CatalogueId catalogue; // in which it would stand
        const Entry* near = nullptr;
        std::string_view near_name;
        bool besides = false;
        std::vector<CatalogueId> seen; // its own, and those that it uses
    };
    Missing missing(const std::string& name, const std::vector<Asked>& places) const;
    mutable std::map<std::string, std::shared_ptr<const MissingUses>> uses_; // looked up once
    std::map<std::string, std::vector<Asked>> unknown_;                      // by name, in the order of asking
};

} // namespace benchleaf::linked
