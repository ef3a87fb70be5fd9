// What is agreed on of what was handed over: whose each thing that differs is to be. The options answer first; what they leave open somebody is
// asked at his terminal.
//
//     Agreement agreement(arguments, mine, std::move(theirs), global, terminal);
//     if (!agreement.reach(status)) return status; // it has been said why
//     agreement.offered()                          // perhaps with answers that lack: nobody could be asked
#pragma once

#include "adopted/adopted.h"
#include "driver/commands.h"
#include "driver/handed_over.h"
#include "driver/typed.h"

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace benchleaf::driver {

// "benchleaf: …", of what came from somebody else: what it says can be shown. The status for it.
int refused(Terminal& terminal, std::string_view why);

class Agreement {
public:
    Agreement(const AdoptArguments& arguments, const Meant& mine, std::unique_ptr<Meant> theirs, const Global& global,
              Terminal& terminal);

    bool reach(int& status);

    const Meant& theirs() const { return *theirs_; }
    const adopted::Offered& offered() const { return offered_; }
    // By what a procedure was known where it comes from, also one that is called otherwise now.
    const std::string& digest_there(const std::string& procedure) const;
    // As an option names it: the kind stands before it where another thing is called so, too.
    std::string option_name(const adopted::Offer& offer) const;

private:
    bool is_sound();
    bool rename_as_asked();
    bool rename(const std::vector<adopted::NewName>& names);
    void call_by_new_names(const Meant& before, const std::vector<adopted::NewName>& names);
    std::optional<adopted::NewName> new_name(const std::string& name, const std::string& to);
    bool is_good_name(adopted::NewName& name, const std::string& of, std::string to);
    meaning::ThingId thing_named(const std::string& name);
    linked::CatalogueId catalogue_named(const std::string& name);
    bool find_roots();
    bool take_answers();
    bool has_what_is_kept();
    bool takes_what_was_named();
    void offer();
    bool ask();
    bool answer_one(const adopted::Offer& asked);
    bool misused(std::string_view why);
    bool refuse(std::string_view why);

    const AdoptArguments& arguments_;
    const Meant& mine_;
    std::unique_ptr<Meant> theirs_;
    const Global& global_;
    Terminal& terminal_;
    Typed typed_;
    int status_ = clean;
    std::map<std::string, std::string> digests_;       // of procedures, by the names that they came with
    std::map<std::string, std::string> called_before_; // new names to those
    std::set<std::string> new_names_;                  // of entries; of catalogues with a slash
    std::vector<meaning::ThingId> roots_;
    adopted::Answers answers_;
    adopted::Offered offered_;
};

// A thing that differs, with what differs in it, a line each. `in` stands before each line.
std::string as_lines(const adopted::Offer& offer, std::string_view in);

} // namespace benchleaf::driver
