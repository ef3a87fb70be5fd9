#include "fitted/coats.h"

#include "base/text.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <set>

namespace benchleaf::fitted {

namespace {

using linked::ConsumableId;
using model::ConsumableSort;
using model::ThreadState;
using model::VerbName;

class CoatWalk {
public:
    CoatWalk(const linked::Linked& linked, const Fit& fit) : linked_(linked), fit_(fit) {
        for (const Procedure& procedure : fit.procedures)
            for (const Section& section : procedure.sections) gather(section.rows);
    }

    void all(const std::function<void(const Coated&)>& coated, const std::function<void(const Bare&)>& bare) {
        for (const Procedure& procedure : fit_.procedures) {
            coats_.clear();
            cleaned_.clear();
            for (const Section& section : procedure.sections) rows(section.rows, coated, bare);
        }
    }

private:
    struct Coat {
        const Target* on;
        ConsumableId with;
    };

    ConsumableSort sort(ConsumableId id) const {
        const auto& given = linked_.consumables[id.index()].figures.sort;
        return given ? given->value : ConsumableSort::other;
    }

    // Its words put it where it does not turn: "on the shank of the pin". What is not English is believed.
    bool off_the_thread(const model::Step& step) const {
        if (!step.say) return false;
        const model::Shop* shop = linked_.shop;
        if (shop != nullptr && shop->language && !shop->language->value.starts_with("en")) return true;
        static constexpr std::string_view places[] = {"shank", "shaft", "sleeve", "boot", "bore", "taper", "eye"};
        const std::string words = base::small_letters(step.say->value);
        return std::any_of(std::begin(places), std::end(places),
                           [&](std::string_view place) { return words.find(place) != std::string::npos; });
    }

    bool is_fastener(const Target& target) const {
        return target.item.known() && fit_.items[target.item.index()].is.sort == linked::Sort::fastener;
    }

    template <typename Visit>
    static void each(const Rows& rows, const Visit& visit) {
        for (const Row& row : rows) {
            visit(row);
            for (const Rows* inner : {&row.body, &row.if_so, &row.if_not, &row.otherwise}) each(*inner, visit);
        }
    }

    // Who oils it in another procedure is not asked when.
    void gather(const Rows& all) {
        each(all, [&](const Row& row) {
            if (row.kind != RowKind::verb || row.verb != VerbName::apply || !row.step->consumable.known()) return;
            if (sort(row.step->consumable) != ConsumableSort::lubricant) return;
            for (const Target& target : row.targets) oiled_.insert(target.item);
            if (row.targets.empty()) oiled_anywhere_ = true; // onto what its words say
        });
    }

    void rows(const Rows& all, const std::function<void(const Coated&)>& coated,
              const std::function<void(const Bare&)>& bare) {
        each(all, [&](const Row& row) {
            if (row.kind != RowKind::verb) return;
            for (const Target& target : row.targets) {
                if (!is_fastener(target)) continue;
                if (row.verb == VerbName::apply && row.step->consumable.known()) {
                    const ConsumableSort is = sort(row.step->consumable);
                    const bool slides = is == ConsumableSort::lubricant || is == ConsumableSort::thread_locker;
                    if (slides && !off_the_thread(*row.step->source))
                        coats_.insert_or_assign(target.item, Coat{&target, row.step->consumable});
                } else if (row.verb == VerbName::slacken || row.verb == VerbName::remove) {
                    coats_.erase(target.item); // it was to help it off
                } else if (row.verb == VerbName::clean) {
                    coats_.erase(target.item);
                    for (const ConsumableId with : row.step->with_consumables)
                        if (sort(with) == ConsumableSort::solvent) cleaned_.insert_or_assign(target.item, &target);
                } else if (row.verb == VerbName::torque && target.torque && target.torque->threads) {
                    judge(target, coated, bare);
                }
            }
        });
    }

    void judge(const Target& target, const std::function<void(const Coated&)>& coated,
               const std::function<void(const Bare&)>& bare) {
        const ThreadState threads = *target.torque->threads;
        // What is to get thread-locker has a check of its own.
        const bool locked = fit_.items[target.item.index()].is.threadlock.known();
        const auto coat = coats_.find(target.item);
        if (coat != coats_.end() && threads == ThreadState::dry && !locked)
            coated({coat->second.on, &target, coat->second.with});
        const bool wet = threads == ThreadState::oiled || threads == ThreadState::paste;
        const auto cleaned = cleaned_.find(target.item);
        if (wet && cleaned != cleaned_.end() && !oiled_anywhere_ && !oiled_.contains(target.item))
            bare({cleaned->second, &target});
    }

    const linked::Linked& linked_;
    const Fit& fit_;
    std::set<ItemId> oiled_;
    bool oiled_anywhere_ = false;
    std::map<ItemId, Coat> coats_;            // on it now
    std::map<ItemId, const Target*> cleaned_; // up to here
};

} // namespace

void judge_coats(const linked::Linked& linked, const Fit& fit, const std::function<void(const Coated&)>& coated,
                 const std::function<void(const Bare&)>& bare) {
    CoatWalk(linked, fit).all(coated, bare);
}

} // namespace benchleaf::fitted
