#include "base/text.h"
#include "proof/check.h"

#include <algorithm>

namespace benchleaf::proof::checks {

namespace {

void find_unknown_surface(Moment& now, const Check& self) {
    const auto& wanted = now.row->step->source->surface;
    if (!wanted || !now.consumable.known()) return;
    const auto& surfaces = now.it().is.part.surfaces;
    std::vector<std::string_view> has;
    if (surfaces)
        for (const auto& each : surfaces->value) has.push_back(each.key.name);
    for (const auto& each : wanted->value) {
        if (std::find(has.begin(), has.end(), each.name) != has.end()) continue;
        Finding& finding = now.report(self, "{item} has no surface `" + each.name + "`");
        finding.at = each.span;
        finding.more.push_back({now.span, "of this"});
        finding.more.push_back(surfaces ? messages::Label{surfaces->span, "all that it has"}
                                        : now.declared(now.item, "declared here, without surfaces"));
        const std::string_view near = base::nearest(each.name, has);
        finding.help = near.empty() ? "declare it there: `surfaces: { " + each.name + ": … }`"
                                    : "did you mean `" + std::string(near) + "`?";
    }
}

} // namespace

extern const Check unknown_surface{{"unknown-surface", messages::Level::error, "a surface that the part does not have"},
                                   When::demand,
                                   model::Demand::surface_safe,
                                   find_unknown_surface};

} // namespace benchleaf::proof::checks
