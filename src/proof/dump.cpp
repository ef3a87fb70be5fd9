#include "proof/proved.h"

#include "model/verbs.h"

#include <fmt/format.h>

namespace benchleaf::proof {

std::string dump(const Proved& proved) {
    const fitted::Fit& fit = proved.fit();
    std::string out;
    for (std::size_t i = 0; i < proved.cards().size(); ++i) {
        const fitted::ProcedureIndex index = fit.sequence[i];
        out += fmt::format("card {}: {}\n", i + 1,
                           index.known() ? fit.procedures[index.index()].source->source->id.value : "?");
        for (const Left& left : proved.cards()[i]) {
            const linked::Item& item = fit.items[left.item.index()].is;
            out += fmt::format("  {}", item.id);
            if (left.value != fitted::no_value)
                out += fmt::format(" {}", fit.axes[item.axis.index()].values[left.value]);
            out += fmt::format(" is left {}", item.places[left.place].name);
            if (left.owes != 0) out += ", owes";
            for (std::size_t d = 0; d < model::debt_count; ++d)
                if ((left.owes & model::bit(static_cast<model::Debt>(d))) != 0)
                    out += fmt::format(" {}", model::word(static_cast<model::Debt>(d)));
            out += "\n";
        }
        if (proved.cards()[i].empty()) out += "  everything is at rest\n";
    }
    return out;
}

} // namespace benchleaf::proof
