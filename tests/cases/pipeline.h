// What the cases and the pages are run through: the files of a shop by their paths, to messages. The only place that
// knows how far the compiler goes; the driver's pipeline takes over here as a whole.
#pragma once

#include "fitted/check.h"
#include "fitted/fit.h"
#include "linked/check.h"
#include "linked/link.h"
#include "messages/message.h"
#include "model/check.h"
#include "model/read.h"
#include "proof/check.h"
#include "proof/proved.h"
#include "source/source.h"
#include "syntax/check.h"
#include "syntax/syntax.h"

#include <map>
#include <memory>
#include <string>
#include <vector>

namespace benchleaf::cases {

struct Ran {
    source::Sources sources;
    messages::Messages messages;
};

// Through the stages up to and with `stage`: the example of an early check need not be a whole shop.
inline std::unique_ptr<Ran> run(const std::map<std::string, std::string>& files, const std::string& stage) {
    auto ran = std::make_unique<Ran>();
    model::Model model;
    for (const auto& [path, bytes] : files) {
        const source::FileId id = ran->sources.add(path, std::string(syntax::without_byte_order_mark(bytes)));
        const syntax::Syntax syntax = syntax::parse(ran->sources, id, ran->messages);
        if (stage != "syntax") model::read(syntax, ran->sources, model, ran->messages);
    }
    if (stage == "linked" || stage == "linked as a whole" || stage == "fitted" || stage == "proof") {
        const linked::Linked linked = linked::link(model, ran->sources, ran->messages);
        if (stage == "linked as a whole" || stage == "proof") linked::find_unused(linked, ran->messages);
        if (stage == "proof") {
            const fitted::Fitted shop = fitted::fit_shop(linked, ran->messages);
            for (std::size_t i = 0; i < shop.fits.size(); ++i) proof::prove_procedures(shop, i, ran->messages);
            for (std::size_t i = 0; i < linked.jobs.size(); ++i) {
                messages::Messages of_job; // a job is proved whatever is wrong with other files
                const fitted::Fitted job = fitted::fit_job(linked, linked::JobId(i), of_job);
                (void)proof::prove_job(job, 0, of_job);
                for (const messages::Message& message : of_job.all()) ran->messages.add(message);
            }
        }
        if (stage == "fitted") {
            (void)fitted::fit_shop(linked, ran->messages);
            for (const linked::Job& job : linked.jobs) (void)fitted::fit_job(linked, job.id, ran->messages);
        }
    }
    ran->messages.sort_and_unite(ran->sources);
    return ran;
}

// A rule and the stage whose check it is.
struct StagedRule {
    const messages::Rule* rule;
    std::string stage;
};

// The rules that run() can speak by. A case of another check, and a stage that run() does not reach, must wait.
inline std::vector<StagedRule> rules() {
    std::vector<StagedRule> all;
    for (const syntax::Check* check : syntax::all_checks()) all.push_back({&check->rule, "syntax"});
    for (const model::Check* check : model::all_checks()) all.push_back({&check->rule, "model"});
    for (const linked::Check* check : linked::all_checks()) {
        // What is unused shows only in a look over a whole shop, which an example is not.
        all.push_back({&check->rule, check->rule.name == "unused-entry" ? "linked as a whole" : "linked"});
    }
    for (const fitted::Check* check : fitted::all_checks()) all.push_back({&check->rule, "fitted"});
    for (const proof::Check* check : proof::all_checks()) all.push_back({&check->rule, "proof"});
    return all;
}

inline bool reaches(const std::string& stage) {
    return stage == "syntax" || stage == "model" || stage == "linked" || stage == "fitted" || stage == "proof";
}

// The stage of a case by its folder, or of a check's case by the check; empty where it has to wait.
inline std::string stage_of(const std::string& folder, const std::string& stem) {
    if (folder != "checks") return reaches(folder) ? folder : "";
    for (const StagedRule& staged : rules())
        if (staged.rule->name == stem) return staged.stage;
    return "";
}

} // namespace benchleaf::cases
