#include "model/tree.h"

#include "model/date.h"
#include "model/keys.h"
#include "model/verbs.h"

#include <fmt/format.h>

#include <utility>

namespace benchleaf::model {

namespace {

constexpr units::PrintOptions as_source{.plain_spaces = true, .decimal_mark = '.', .two_dots = true};

Tree text(std::string value) {
    Tree made;
    made.text = std::move(value);
    return made;
}
Tree map() {
    Tree made;
    made.form = Tree::Form::map;
    return made;
}
Tree list() {
    Tree made;
    made.form = Tree::Form::list;
    return made;
}

// One overload a type of member, as in the reader.
struct Writer {
    static Tree write(const std::string& value) { return text(value); }
    static Tree write(std::int64_t value) { return text(std::to_string(value)); }
    static Tree write(bool value) { return text(std::string(truth_words[value ? 0 : 1])); }
    static Tree write(const Spanned<bool>& value) { return text(std::string(answer_words[value.value ? 0 : 1])); }
    static Tree write(std::chrono::year_month_day value) { return text(print(value)); }
    static Tree write(const units::Thread& value) { return text(value.designation); }
    static Tree write(const units::Tightening& value) {
        Tree made = list();
        for (const units::Stage& stage : value.stages)
            made.branches.emplace_back("", text(units::print(stage, as_source)));
        return alone(std::move(made));
    }
    template <Worded E>
    static Tree write(E value) {
        return text(std::string(word(value)));
    }
    template <Refers to>
    static Tree write(const Ref<to>& value) {
        Tree made = text(value.name);
        made.refers = value.span;
        return made;
    }
    template <units::Wanted wanted>
    static Tree write(const Measure<wanted>& value) {
        return text(units::print(value.quantity, as_source));
    }
    template <units::Wanted wanted>
    static Tree write(const MeasureRange<wanted>& value) {
        return text(units::print(value.range, as_source));
    }
    template <class T>
    static Tree write(const Spanned<T>& value) {
        return write(value.value);
    }
    template <class T>
    static Tree write(const std::vector<T>& values) {
        Tree made = list();
        for (const T& value : values) made.branches.emplace_back("", write(value));
        return alone(std::move(made));
    }
    // A list of one is written as the thing itself.
    static Tree alone(Tree made) {
        if (made.branches.size() != 1 || made.branches.front().tree.form == Tree::Form::list) return made;
        return std::move(made.branches.front().tree);
    }
    static Tree write(const Steps& steps) {
        Tree made = list();
        for (const Step& step : steps)
            if (!step.hole) made.branches.emplace_back("", write(step));
        return made;
    }
    template <class K, class V>
    static Tree write(const Entries<K, V>& entries) {
        Tree made = map();
        // Conditions all have to hold, and so do the places of other items; of all else the card shows the order.
        made.any_order = std::is_same_v<K, Ref<Refers::feature>> || std::is_same_v<V, Ref<Refers::place>>;
        for (const auto& entry : entries) {
            Tree key = write(entry.key);
            if constexpr (std::is_same_v<K, Spanned<std::string>>)
                key.refers = entry.key.span; // of a mark: an item, or words
            made.branches.emplace_back(key.text, write(entry.value), key.refers);
        }
        return made;
    }
    template <class T>
    static Tree write(const std::vector<Named<T>>& things) {
        Tree made = map();
        made.any_order = std::is_same_v<T, Torque> || std::is_same_v<T, Limit>;
        for (const Named<T>& thing : things) {
            Tree body = write(thing.value);
            const bool name_alone = body.branches.size() == 1 && body.branches.front().key == "name" &&
                                    !std::is_same_v<T, Limit> && !std::is_same_v<T, ItemDifference>;
            made.branches.emplace_back(thing.id.value, name_alone ? body.branches.front().tree : body, thing.id.span);
        }
        return made;
    }
    static std::string percentage(std::int32_t hundredths) {
        return hundredths % 100 == 0 ? fmt::format("{} %", hundredths / 100)
                                     : fmt::format("{}.{:02} %", hundredths / 100, hundredths % 100);
    }
    static Tree write(const Spot& value) {
        std::string spot = percentage(value.across) + " " + percentage(value.down);
        if (value.apart) spot += " from " + percentage(value.number_across) + " " + percentage(value.number_down);
        return text(std::move(spot));
    }
    static Tree write(const Entering& value) {
        if (value.place && !value.owes) return write(value.place->value);
        Tree made = map();
        add_keys(value, made);
        return made;
    }
    static Tree write(const ItemDifference& value) {
        Tree made = map();
        for (const auto& key : value.keys) {
            const std::size_t before = made.branches.size();
            const auto from = [&](const auto& sort) {
                if (made.branches.size() == before) add_keys(sort, made, key.value);
            };
            from(value.part);
            from(value.fastener);
            from(value.circuit);
            from(value.setting);
            from(value.adjustment);
        }
        return made;
    }
    static Tree write(const Step& step) {
        if (step.plain && !step.say) return write(step.plain->value);
        Tree made = map();
        if (step.verb) made.branches.emplace_back(std::string(verb(step.verb->verb).word), argument(*step.verb));
        add_keys(step, made);
        return made;
    }
    static Tree argument(const VerbUse& use) {
        if (use.text) return write(use.text->value);
        if (use.time) return write(use.time->value);
        Tree names = list();
        Tree places = map();
        for (const Target& target : use.targets)
            if (target.place)
                places.branches.emplace_back(target.name, text(target.place->value), target.span);
            else
                names.branches.emplace_back("", write(Ref<Refers::item>{target.name, target.span}));
        return places.branches.empty() ? alone(std::move(names)) : places;
    }
    template <Keyed T>
    static Tree write(const T& value) {
        Tree made = map();
        if constexpr (requires { Keys<T>::in_one_line; }) made.in_one_line = true;
        add_keys(value, made);
        return made;
    }

    // All keys that are given, or `only` that one.
    template <class T>
    static void add_keys(const T& value, Tree& made, std::string_view only = {}) {
        for_each_key<T>([&](const auto& key) {
            if (only.empty() || key.name == only) member(value, key, made);
        });
    }
    template <class T, class V>
    static void member(const T& value, const Key<T, Given<V>>& key, Tree& made) {
        const Given<V>& given = value.*key.member;
        if (given) made.branches.emplace_back(std::string(key.name), write(given->value));
    }
    template <class T, class A, class B>
    static void member(const T& value, const EitherKey<T, Given<A>, Given<B>>& key, Tree& made) {
        if (value.*key.first)
            made.branches.emplace_back(std::string(key.name), write((value.*key.first)->value));
        else if (value.*key.second)
            made.branches.emplace_back(std::string(key.name), write((value.*key.second)->value));
    }
};

} // namespace

template <class T>
Tree tree_of(const T& thing) {
    return Writer::write(thing);
}

template Tree tree_of(const Part&);
template Tree tree_of(const Fastener&);
template Tree tree_of(const Circuit&);
template Tree tree_of(const Setting&);
template Tree tree_of(const Adjustment&);
template Tree tree_of(const Torque&);
template Tree tree_of(const Limit&);
template Tree tree_of(const Consumable&);
template Tree tree_of(const Tool&);
template Tree tree_of(const Caution&);
template Tree tree_of(const Step&);
template Tree tree_of(const Catalogue&);
template Tree tree_of(const Vehicle&);
template Tree tree_of(const Procedure&);
template Tree tree_of(const Job&);
template Tree tree_of(const Shop&);
template Tree tree_of(const Record&);
template Tree tree_of(const Answers&);
template Tree tree_of(const Approval&);

} // namespace benchleaf::model
