#include "model/lay_over.h"

#include "model/keys.h"

#include <algorithm>

namespace benchleaf::model {

namespace {

template <class T, class V>
void lay_member(T& base, const T& difference, const Key<T, Given<V>>& key) {
    if (difference.*key.member) base.*key.member = difference.*key.member;
}
template <class T, class A, class B>
void lay_member(T& base, const T& difference, const EitherKey<T, Given<A>, Given<B>>& key) {
    if (!(difference.*key.first) && !(difference.*key.second)) return;
    base.*key.first = difference.*key.first;
    base.*key.second = difference.*key.second;
}

// Equality without spans; one overload a type of member, as in the reader.
struct Same {
    template <class T>
    static bool same(const T& a, const T& b) {
        if constexpr (Keyed<T>)
            return same_keys(a, b);
        else
            return a == b;
    }
    template <Refers to>
    static bool same(const Ref<to>& a, const Ref<to>& b) {
        return a.name == b.name;
    }
    template <units::Wanted wanted>
    static bool same(const Measure<wanted>& a, const Measure<wanted>& b) {
        return a.quantity == b.quantity;
    }
    template <units::Wanted wanted>
    static bool same(const MeasureRange<wanted>& a, const MeasureRange<wanted>& b) {
        return a.range == b.range;
    }
    template <class T>
    static bool same(const Spanned<T>& a, const Spanned<T>& b) {
        return same(a.value, b.value);
    }
    template <class T>
    static bool same(const std::optional<T>& a, const std::optional<T>& b) {
        return a.has_value() == b.has_value() && (!a || same(*a, *b));
    }
    template <class T>
    static bool same(const Given<T>& a, const Given<T>& b) {
        return a.has_value() == b.has_value() && (!a || same(*a, *b));
    }
    template <class T>
    static bool same(const std::vector<T>& a, const std::vector<T>& b) {
        return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const T& x, const T& y) { return same(x, y); });
    }
    static bool same(const Steps& a, const Steps& b) {
        return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                          [](const Step& x, const Step& y) { return same(x, y); });
    }
    template <class K, class V>
    static bool same(const Entry<K, V>& a, const Entry<K, V>& b) {
        return same(a.key, b.key) && same(a.value, b.value);
    }
    template <class T>
    static bool same(const Named<T>& a, const Named<T>& b) {
        return same(a.id, b.id) && same(a.value, b.value);
    }
    static bool same(const Target& a, const Target& b) { return a.name == b.name && same(a.place, b.place); }
    static bool same(const VerbUse& a, const VerbUse& b) {
        return a.verb == b.verb && same(a.targets, b.targets) && same(a.text, b.text) && same(a.time, b.time);
    }
    static bool same(const Step& a, const Step& b) {
        return a.hole == b.hole && same(a.verb, b.verb) && same(a.plain, b.plain) && same_keys(a, b);
    }
    static bool same(const ItemDifference& a, const ItemDifference& b) {
        return same(a.keys, b.keys) && same(a.part, b.part) && same(a.fastener, b.fastener) &&
               same(a.circuit, b.circuit) && same(a.setting, b.setting) && same(a.adjustment, b.adjustment);
    }

    template <class T>
    static bool same_keys(const T& a, const T& b) {
        bool equal = true;
        for_each_key<T>([&](const auto& key) { equal = equal && same_member(a, b, key); });
        return equal;
    }
    template <class T, class V>
    static bool same_member(const T& a, const T& b, const Key<T, V>& key) {
        return same(a.*key.member, b.*key.member);
    }
    template <class T, class A, class B>
    static bool same_member(const T& a, const T& b, const EitherKey<T, A, B>& key) {
        return same(a.*key.first, b.*key.first) && same(a.*key.second, b.*key.second);
    }

    template <class T>
    static bool same_files(const std::vector<T>& a, const std::vector<T>& b) {
        return std::is_permutation(a.begin(), a.end(), b.begin(), b.end(),
                                   [](const T& x, const T& y) { return x.id.value == y.id.value && same_keys(x, y); });
    }
};

} // namespace

template <class T>
void lay_over(T& base, const T& difference) {
    for_each_key<T>([&](const auto& key) { lay_member(base, difference, key); });
}

template void lay_over(Part&, const Part&);
template void lay_over(Fastener&, const Fastener&);
template void lay_over(Circuit&, const Circuit&);
template void lay_over(Setting&, const Setting&);
template void lay_over(Adjustment&, const Adjustment&);
template void lay_over(Torque&, const Torque&);
template void lay_over(Limit&, const Limit&);
template void lay_over(Consumable&, const Consumable&);
template void lay_over(Tool&, const Tool&);

bool same(const Model& a, const Model& b) {
    return Same::same_files(a.shops, b.shops) && Same::same_files(a.catalogues, b.catalogues) &&
           Same::same_files(a.vehicles, b.vehicles) && Same::same_files(a.procedures, b.procedures) &&
           Same::same_files(a.jobs, b.jobs) && Same::same_files(a.records, b.records) &&
           Same::same_files(a.answers, b.answers) && Same::same_files(a.approvals, b.approvals);
}

} // namespace benchleaf::model
