// What a card is made of, as the files themselves tell it: which catalogues a vehicle, a job or a record calls entries of, what the conditions in some files
// ask of vehicles, and which vehicles show that this is no slip of the pen. Whether a shop was read whole or in part (part.h), it is asked here.
#pragma once

#include "model/model.h"

#include <functional>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace benchleaf::driver {

// The names by which it calls entries of catalogues, as written: `name` or `catalogue/name`.
std::vector<std::string> entries_named(const model::Vehicle& vehicle);
std::vector<std::string> entries_named(const model::Job& job);
// Of a record: what it says of things that were not found to be good. Where that is open still, a later card says it by the name that the thing has now.
std::vector<std::string> entries_named(const model::Record& record);

// Each word that stands before a colon in the text of a catalogue: every name that it declares is among them, however the file is laid out.
void each_key(std::string_view text, const std::function<void(std::string_view)>& see);

// The names of which `text` may declare an entry; a name with this `catalogue` before it counts, too. One is enough.
class Naming {
public:
    explicit Naming(const std::vector<std::string>& names);
    bool may_be_in(std::string_view text) const;
    // Its names may be in quotes with escapes, or keys with a question mark before them: each_key does not see them.
    static bool spelled_otherwise(std::string_view text);
    const std::set<std::string, std::less<>>& names() const { return names_; }
    const std::set<std::string, std::less<>>& catalogues() const {
        return catalogues_;
    } // those that are named themselves

private:
    std::set<std::string, std::less<>> names_;
    std::set<std::string, std::less<>> catalogues_;
};

// What the texts of a shop's catalogues tell without being read: which others each uses, and of what in them it says that it holds, locks, opens, vents, moves,
// disturbs or proves something of its own, or how tight it is to be. Who works on a thing has to do with all that is so bound to it, though he need not use that catalogue: a bleed
// screw in another one vents the circuit that he fills. Each is known by its number, in the order in which they were given.
class CatalogueTexts {
public:
    using Some = std::vector<bool>; // by number
    using Named = std::vector<
        std::pair<std::string_view, std::string_view>>; // a catalogue's name, and its text, which has to stay
    CatalogueTexts() = default;
    explicit CatalogueTexts(const Named& named);

    // Those not in `known` that use one of these, be it by way of others, and speak of one of its things; and those that speak of one and have forgotten to
    // use it: what they call so is declared nowhere else that they see.
    using Things = std::map<std::size_t, std::vector<std::string>>;
    std::vector<std::size_t> speaking(const Some& known, const Things& of) const;

    // The others in which something is, or may be, bound to one of these things of this one, and to which of them; in the order of their numbers.
    struct Speaker {
        std::size_t number;
        bool of_anything;
        std::vector<std::string> things;
    };
    std::vector<Speaker> speakers_of(std::size_t number, const std::vector<std::string>& things) const;

    // Those, and all that they use, be it by way of others.
    Some with_used(Some those) const;

private:
    Some users_of(std::size_t number) const; // and itself
    bool sees(std::size_t number, std::string_view name) const;
    struct Spoken {
        std::string_view text;
        std::vector<std::size_t> uses, used_by;
        std::vector<std::string_view> things; // sorted
        bool otherwise = false;               // spelled so that anything may be spoken of
        bool may_declare(std::string_view name) const;
    };
    std::vector<Spoken> all_;
};

// Adds those that speak of things in the ones that are there, and of the things of those in turn. `there` tells them, `things_of` adds the things of one by its
// number, and `add` takes one in; where it gives false, so does this.
bool add_speaking(const CatalogueTexts& texts, const std::function<CatalogueTexts::Some()>& there,
                  const std::function<void(std::size_t, std::vector<std::string>&)>& things_of,
                  const std::function<bool(std::size_t)>& add);

// Those in which a vehicle may call an entry by one of these names, and what they use: without them nobody can read its file.
CatalogueTexts::Some called_by(const std::vector<std::string>& names, const CatalogueTexts::Named& catalogues,
                               const CatalogueTexts& texts);

// What others can be bound to: its items and limits.
void add_things(const model::Catalogue& catalogue, std::vector<std::string>& to);

// Features and axes with their values, as conditions, `each` and `only` ask for them; an axis by itself with an empty value.
class Asks {
public:
    void add(const model::Catalogue& catalogue);
    void add(const model::Procedure& procedure);
    void add(const model::Vehicle& vehicle); // what its own `only` asks for

    bool all_met() const { return features_.empty() && axes_.empty(); }
    bool axes_met() const { return axes_.empty(); }
    // Takes out what the vehicle has; false: nothing of it.
    bool meet(const model::Vehicle& vehicle);
    // Could a vehicle with this text have something of it?
    bool may_be_met_by(std::string_view text) const;
    // Something that the vehicle has, and that nothing here asks for, is a slip of the pen for what is asked for, or the other way round.
    bool nearly_met_by(const model::Vehicle& vehicle) const;

private:
    using Pairs = std::set<std::pair<std::string, std::string>>;
    void add(const model::Conditions& conditions);
    void add(const model::Steps& steps);
    template <class T>
    void add_items(const model::Given<std::vector<model::Named<T>>>& items);

    Pairs features_;
    Pairs axes_;
};

} // namespace benchleaf::driver
