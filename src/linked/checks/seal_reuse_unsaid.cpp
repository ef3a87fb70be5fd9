#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_seal_reuse_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::seal_reuse_unsaid = {{"seal-reuse-unsaid", messages::Level::warning,
                                          "a seal or gasket goes in, and nobody says whether it is used again"},
                                         find_seal_reuse_unsaid};

namespace {

// By its English name: `seal of the pump` and `oil seal, front` are, `seal carrier` is not.
bool is_squeezed_once(const std::string& name) {
    const std::vector<std::string> words = what_it_is(name);
    if (words.empty()) return false;
    if (is_among(words.back(), {"seal", "seals", "gasket", "gaskets", "o-ring", "o-rings"})) return true;
    return words.size() > 1 && is_among(words.back(), {"washer", "washers", "ring", "rings"}) &&
           is_among(words[words.size() - 2], {"sealing", "crush", "banjo", "copper", "plug"});
}

// What a procedure fits, by the step that does so first; without what it renews: there somebody has thought of it.
std::map<ItemId, Span> put_back(const Procedure& procedure) {
    std::map<ItemId, Span> fitted;
    std::set<ItemId> renewed;
    each_step(procedure, [&](const Step& step) {
        if (step.kind != StepKind::verb) return;
        for (const Target& target : step.targets) {
            if (step.verb == model::VerbName::fit) fitted.emplace(target.item, target.span);
            if (step.verb == model::VerbName::renew) renewed.insert(target.item);
        }
    });
    std::erase_if(fitted, [&](const auto& each) { return renewed.contains(each.first); });
    return fitted;
}

void find_seal_reuse_unsaid(const Linked& linked, const Check& self, Messages& out) {
    std::map<ItemId, Span> all;
    for (const Procedure& procedure : linked.procedures) all.merge(put_back(procedure));
    for (const auto& [id, at] : all) {
        if (!id.known()) continue;
        const Item& item = linked.items[id.index()];
        if (item.sort != Sort::part || item.part.reuse || !is_squeezed_once(item.name)) continue;
        messages::Message& message =
            out.add(self.rule, item.declared, "nobody says whether the " + item.name + " is used again");
        message.labels.push_back({at, "it goes in here, and is not renewed"});
        message.help = "add `reuse: never` where a new one is taken each time, else `reuse: allowed`";
    }
}

} // namespace
} // namespace benchleaf::linked
