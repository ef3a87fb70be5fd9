#include "adopted/adopted.h"
#include "adopted/index.h"
#include "model/tree.h"

#include <fmt/format.h>

#include <algorithm>

namespace benchleaf::adopted {

namespace {

class Offering {
public:
    Offering(const Side& theirs, const Side& mine, const Answers& answers)
        : theirs_(theirs), mine_(mine), answers_(answers), index_(theirs), mine_index_(mine),
          seen_(theirs.meaning->things.size()) {}

    Offered run(const std::vector<ThingId>& roots) {
        made_.roots = roots;
        for (const ThingId each : roots) want(each);
        while (!open_.empty()) {
            const ThingId id = open_.back();
            open_.pop_back();
            made_.offers.push_back(offer(id));
            if (made_.offers.back().answer != Answer::mine) follow(id);
        }
        std::sort(made_.offers.begin(), made_.offers.end(), [](const Offer& a, const Offer& b) {
            return std::pair(a.kind, std::string_view(a.name)) < std::pair(b.kind, std::string_view(b.name));
        });
        return std::move(made_);
    }

private:
    void want(ThingId id) {
        if (seen_[id.index()]) return;
        seen_[id.index()] = true;
        open_.push_back(id);
    }

    Offer offer(ThingId id) const {
        const meaning::Thing& thing = theirs_.meaning->at(id);
        Offer made;
        made.kind = thing.kind;
        made.name = thing.name;
        made.called = thing.called;
        made.theirs = id;
        made.mine = mine_.meaning->find(thing.kind, thing.name);
        if (!made.mine.known() && !meaning::is_file(thing.kind) && thing.kind != Kind::picture &&
            thing.kind != Kind::torque) {
            made.mine = mine_.meaning->entry(thing.name);
            made.other_kind = made.mine.known();
        }
        if (!made.mine.known() && thing.kind == Kind::picture) return with_picture(std::move(made), thing);
        if (!made.mine.known()) return made;
        const meaning::Thing& mine = mine_.meaning->at(made.mine);
        if (!made.other_kind && model::lay_out(mine.tree) == model::lay_out(thing.tree)) {
            made.stands = Stands::same;
            return made;
        }
        differs(made);
        if (made.other_kind)
            made.differences.push_back(
                said(fmt::format("mine is a {}, theirs a {}", meaning::word(mine.kind), meaning::word(thing.kind))));
        else
            made.differences = compared::differences(*mine_.meaning, mine, *theirs_.meaning, thing);
        if (made.differences.empty()) made.differences.push_back(said("it is laid out otherwise"));
        return made;
    }

    void differs(Offer& offer) const {
        offer.stands = Stands::different;
        const auto answer = answers_.find({offer.kind, offer.name});
        if (answer != answers_.end()) offer.answer = answer->second;
    }

    // One that nothing of mine names may lie there all the same.
    Offer with_picture(Offer offer, const meaning::Thing& thing) const {
        const std::string mine = mine_.digest_of_picture ? mine_.digest_of_picture(thing.name) : std::string();
        if (mine.empty()) return offer;
        offer.stands = Stands::same;
        if (mine == thing.tree.text) return offer;
        differs(offer);
        offer.differences.push_back(said("it is another picture"));
        return offer;
    }

    static compared::Difference said(std::string says) {
        compared::Difference made;
        made.change = compared::Change::changed;
        made.says = std::move(says);
        return made;
    }

    void follow(ThingId id) {
        const meaning::Thing& thing = theirs_.meaning->at(id);
        for (const auto* others : {&thing.brings, &thing.needs})
            for (const ThingId other : *others) want(other);
        if (thing.kind == Kind::procedure)
            for (const linked::Procedure& each : theirs_.linked->procedures)
                if (each.source->id.span == thing.declared) take_whole(each.uses);
        if (const CatalogueId in = index_.catalogue_in(thing.declared.file); in.known()) take_whole({in});
    }

    // A catalogue that I do not have comes with all that is in it, and with those that it uses.
    void take_whole(const std::vector<CatalogueId>& catalogues) {
        for (const CatalogueId each : catalogues) {
            const linked::Catalogue& catalogue = theirs_.linked->catalogues[each.index()];
            if (mine_index_.catalogue_called(catalogue.id).known() || !made_.whole.insert(each).second) continue;
            for (const ThingId thing : index_.things_in(catalogue.declared.file)) want(thing);
            take_whole(catalogue.uses);
        }
    }

    const Side& theirs_;
    const Side& mine_;
    const Answers& answers_;
    const Index index_;
    const Index mine_index_;
    std::vector<bool> seen_;
    std::vector<ThingId> open_;
    Offered made_;
};

} // namespace

std::size_t Offered::unanswered() const {
    return static_cast<std::size_t>(std::count_if(offers.begin(), offers.end(), [](const Offer& each) {
        return each.stands == Stands::different && each.answer == Answer::none;
    }));
}

Offered offers(const Side& theirs, const Side& mine, const std::vector<ThingId>& roots, const Answers& answers) {
    return Offering(theirs, mine, answers).run(roots);
}

std::vector<std::string> pictures_taken(const Offered& offered) {
    std::vector<std::string> paths;
    for (const Offer& each : offered.offers)
        if (each.kind == Kind::picture && each.is_taken()) paths.push_back(each.name);
    return paths;
}

} // namespace benchleaf::adopted
