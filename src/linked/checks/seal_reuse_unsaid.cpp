#include "linked/look_over.h"
#include "linked/reports.h"

#include <algorithm>
#include <array>

namespace benchleaf::linked {

namespace {

void find_seal_reuse_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::seal_reuse_unsaid = {{"seal-reuse-unsaid", messages::Level::warning,
                                          "a seal or gasket goes in, and nobody says whether it is used again"},
                                         find_seal_reuse_unsaid};

namespace {

template <std::size_t N>
bool is_one_of(std::string_view word, const std::array<std::string_view, N>& words) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

// By its English name: `seal of the pump` and `oil seal, front` are, `seal carrier` is not.
bool is_squeezed_once(const std::string& name) {
    const std::vector<std::string> words = what_it_is(name);
    if (words.empty()) return false;
    static constexpr std::array<std::string_view, 6> whatever = {"seal",    "seals",  "gasket",
                                                                 "gaskets", "o-ring", "o-rings"};
    static constexpr std::array<std::string_view, 4> rings = {"washer", "washers", "ring", "rings"};
    static constexpr std::array<std::string_view, 5> that_seal = {"sealing", "crush", "banjo", "copper", "plug"};
    if (is_one_of(words.back(), whatever)) return true;
    return words.size() > 1 && is_one_of(words.back(), rings) && is_one_of(words[words.size() - 2], that_seal);
}

struct Handled {
    std::set<ItemId> fitted, renewed;
};

Handled handled_in(const Linked& linked) {
    Handled handled;
    for (const Procedure& procedure : linked.procedures)
        each_step(procedure, [&](const Step& step) {
            if (step.kind != StepKind::verb) return;
            const bool fits = step.verb == model::VerbName::fit;
            if (!fits && step.verb != model::VerbName::renew) return;
            for (const Target& target : step.targets) (fits ? handled.fitted : handled.renewed).insert(target.item);
        });
    return handled;
}

// Where a step renews it, somebody has thought of it.
void find_seal_reuse_unsaid(const Linked& linked, const Check& self, Messages& out) {
    const Handled handled = handled_in(linked);
    for (std::size_t i = 0; i < linked.items.size(); ++i) {
        const Item& item = linked.items[i];
        if (item.sort != Sort::part || item.part.reuse || !is_squeezed_once(item.name)) continue;
        if (!handled.fitted.contains(ItemId(i)) || handled.renewed.contains(ItemId(i))) continue;
        messages::Message& message =
            out.add(self.rule, item.declared, "nobody says whether the " + item.name + " is used again");
        message.labels.front().text = "a step fits it, and none renews it";
        message.help = "add `reuse: never` where a new one is taken each time, else `reuse: allowed`";
    }
}

} // namespace
} // namespace benchleaf::linked
