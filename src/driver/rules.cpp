#include "driver/rules.h"

#include "card/check.h"
#include "driver/check.h"
#include "fitted/check.h"
#include "linked/check.h"
#include "model/check.h"
#include "pages/check.h"
#include "proof/check.h"
#include "record/check.h"
#include "syntax/check.h"
#include "wording/check.h"

#include <algorithm>

namespace benchleaf::driver {

std::vector<StageRule> all_rules() {
    std::vector<StageRule> rules;
    const auto add = [&rules](Stage stage, const auto& checks) {
        for (const auto* check : checks) rules.push_back({stage, &check->rule});
    };
    add(Stage::folder, driver::all_checks());
    add(Stage::syntax, syntax::all_checks());
    add(Stage::model, model::all_checks());
    add(Stage::linked, linked::all_checks());
    add(Stage::wording, wording::all_checks());
    add(Stage::fitted, fitted::all_checks());
    add(Stage::proof, proof::all_checks());
    add(Stage::card, card::all_checks());
    add(Stage::pages, pages::all_checks());
    add(Stage::record, record::all_checks());
    std::stable_sort(rules.begin(), rules.end(), [](const StageRule& a, const StageRule& b) {
        return a.stage != b.stage ? a.stage < b.stage : a.rule->name < b.rule->name;
    });
    return rules;
}

} // namespace benchleaf::driver
