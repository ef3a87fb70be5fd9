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
            out += fmt::format("  {} is left {}", item.id,
                               left.place < item.places.size() ? item.places[left.place].name : "anywhere");
            if (left.torqued) out += ", torqued";
            if (left.moved) out += ", moved";
            for (const auto& [word, bits] : {std::pair{"paid", left.paid}, std::pair{"owes", left.owes}}) {
                if (bits == 0) continue;
                out += fmt::format(", {}", word);
                for (std::size_t d = 0; d < model::debt_count; ++d)
                    if ((bits & model::bit(static_cast<model::Debt>(d))) != 0)
                        out += fmt::format(" {}", model::word(static_cast<model::Debt>(d)));
            }
            out += "\n";
        }
    }
    return out;
}

} // namespace benchleaf::proof
