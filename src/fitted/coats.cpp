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
            put_in_.clear();
            renewed_.clear();
            now_ = &procedure;
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
        if (!is_english()) return true;
        static constexpr std::string_view places[] = {"shank", "shaft", "sleeve", "boot", "bore", "taper", "eye"};
        const std::string words = base::small_letters(step.say->value);
        return std::any_of(std::begin(places), std::end(places),
                           [&](std::string_view place) { return words.find(place) != std::string::npos; });
    }

    bool is_english() const {
        const model::Shop* shop = linked_.shop;
        return shop == nullptr || !shop->language || shop->language->value.starts_with("en");
    }

    // Does a step of the procedure say in words that its thread is oiled? What is not English is believed.
    bool told_in_words(ItemId id) const {
        bool told = false;
        const std::string name = base::small_letters(fit_.items[id.index()].is.name);
        for (const Section& section : now_->sections)
            each(section.rows, [&](const Row& row) {
                if (row.step == nullptr || row.step->source == nullptr) return;
                const bool of_it = std::any_of(row.targets.begin(), row.targets.end(),
                                               [&](const Target& target) { return target.item == id; });
                const bool of_another = !of_it && !row.targets.empty();
                const model::Step& step = *row.step->source;
                for (const auto* text : {&step.plain, &step.say, &step.why})
                    if (*text) told = told || !is_english() || speaks_of_oil((*text)->value, name, of_it, of_another);
            });
        return told;
    }

    // "Oil the threads" of no item; or a text about it, or with its name, that speaks of oil.
    static bool speaks_of_oil(const std::string& text, const std::string& name, bool of_it, bool of_another) {
        static constexpr std::string_view orders[] = {"oil ", "grease ", "lubricate "};
        static constexpr std::string_view words[] = {"oil", "greas", "lubric", "paste"};
        const std::string says = base::small_letters(text);
        const auto has = [&](std::string_view word) { return says.find(word) != std::string::npos; };
        if (!std::any_of(std::begin(words), std::end(words), has)) return false;
        if (of_it || has(name)) return true;
        return !of_another &&
               (has("thread") || std::any_of(std::begin(orders), std::end(orders),
                                             [&](std::string_view order) { return says.starts_with(order); }));
    }

    // It closes a circuit, or is taken out to fill it: the oil that runs over it is on its thread.
    bool stands_in_oil(ItemId id) const {
        const linked::Item& item = fit_.items[id.index()].is;
        if (item.opens.known() || item.vents.known()) return true;
        const auto& duty = item.fastener.duty;
        if (duty && (duty->value == model::Duty::seal || duty->value == model::Duty::hollow)) return true;
        return std::any_of(fit_.items.begin(), fit_.items.end(), [&](const Item& other) {
            return other.is.sort == linked::Sort::circuit &&
                   std::any_of(other.is.whiles.begin(), other.is.whiles.end(), [&](const linked::While& condition) {
                       return std::any_of(condition.needs.begin(), condition.needs.end(),
                                          [&](const linked::Need& need) { return need.item == id; });
                   });
        });
    }

    ConsumableId the_unused() const {
        ConsumableId found;
        for (std::size_t i = 0; i < linked_.consumables.size(); ++i) {
            const ConsumableId id(i);
            if (sort(id) != ConsumableSort::lubricant || linked_.consumables[i].used) continue;
            const auto& sees = now_->source->sees;
            if (!std::binary_search(sees.begin(), sees.end(), linked_.consumables[i].catalogue)) continue;
            if (found.known()) return {};
            found = id;
        }
        return found;
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
            // What could not be read may be a lubricant.
            if (row.kind == RowKind::hole && row.step != nullptr && row.step->verb == VerbName::apply)
                oiled_.insert(row.step->to.begin(), row.step->to.end());
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
                } else if (row.verb == VerbName::fit) {
                    put_in_.insert(target.item);
                } else if (row.verb == VerbName::renew) {
                    renewed_.insert(target.item); // it comes oiled, or not, from its maker
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
        if (!wet || oiled_anywhere_ || oiled_.contains(target.item)) return;
        const ConsumableId unused = the_unused();
        if (cleaned != cleaned_.end()) {
            bare({cleaned->second, &target, unused});
            return;
        }
        // The card says with the torque how the threads are to be; that a step was forgotten shows by what nobody uses.
        if (unused.known() && put_in_.contains(target.item) && !comes_new(target.item) && !locked &&
            !stands_in_oil(target.item) && !told_in_words(target.item))
            bare({nullptr, &target, unused});
    }

    bool comes_new(ItemId id) const {
        const auto& reuse = fit_.items[id.index()].is.fastener.reuse;
        return renewed_.contains(id) || (reuse && reuse->value == model::Reuse::never);
    }

    const linked::Linked& linked_;
    const Fit& fit_;
    std::set<ItemId> oiled_;
    bool oiled_anywhere_ = false;
    std::map<ItemId, Coat> coats_;            // on it now
    std::map<ItemId, const Target*> cleaned_; // up to here
    std::set<ItemId> put_in_;
    std::set<ItemId> renewed_;
    const Procedure* now_ = nullptr;
};

} // namespace

void judge_coats(const linked::Linked& linked, const Fit& fit, const std::function<void(const Coated&)>& coated,
                 const std::function<void(const Bare&)>& bare) {
    CoatWalk(linked, fit).all(coated, bare);
}

} // namespace benchleaf::fitted
