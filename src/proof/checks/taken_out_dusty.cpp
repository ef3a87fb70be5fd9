#include "linked/look_over.h"
#include "proof/check.h"

#include <algorithm>

namespace benchleaf::proof::checks {

namespace {

bool is_of_brake(const linked::Item& item) {
    return item.part.system && item.part.system->value == model::System::brake;
}

bool is_dry(const Standing& standing) {
    return (standing.on & dry_dust) != 0;
}

// A lining, or a disc. Under a drum nobody can wet anything before it is off.
void find_taken_out_dusty(Moment& now, const Check& self) {
    const linked::Item& item = now.it().is;
    if (now.deed == nullptr || now.deed->to != model::Leaves::off_place || !linked::rubs(item)) return;
    // A clutch that runs in oil has no dust on it, and no catalogue says which do.
    if (!is_of_brake(item) && !(item.inside.known() && is_of_brake(now.of(item.inside).is))) return;
    if (std::any_of(item.covers.begin(), item.covers.end(), [&](linked::ItemId each) {
            return each.known() && now.of(each).present && linked::rubs(now.of(each).is);
        }))
        return;
    const auto bad = now.some(now.at, is_dry);
    if (!bad) return;
    // Who washes the caliper washes what is in it; and where the work begins with the brake open, it was washed by whoever opened it.
    const Way on = now.when(now.at, is_dry);
    for (std::size_t i = 0; i < now.fit.items.size(); ++i) {
        const fitted::Item& other = now.fit.items.unnoted(i);
        if (!other.present || other.is.catalogue != item.catalogue || !now.substances->dusty(linked::ItemId(i)))
            continue;
        for (const fitted::InstanceId at : now.beside(linked::ItemId(i)))
            if (now.entered->contains(at) || !now.some(at, is_dry, on)) return;
    }
    Finding& finding = now.report(
        self, "{item} is taken out{sides}, and nothing there was wetted: the dust on it goes into the air", bad);
    finding.blamed.emplace_back(now.at, bad->standing);
    finding.told_on = dry_dust;
    finding.more.push_back(now.declared(now.item, "has brake dust on it until it is wetted"));
    finding.help = "before this, on every way: `clean` it, or what it sits in, with what `wets`, and wipe it";
}

} // namespace

extern const Check taken_out_dusty{
    {"taken-out-dusty", messages::Level::warning, "a brake lining or disc comes out of a brake that nobody has wetted"},
    When::demand,
    model::Demand::dust_wetted,
    find_taken_out_dusty};

} // namespace benchleaf::proof::checks
