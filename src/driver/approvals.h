// Which procedures somebody has checked as they stand. An approval is a file of its own in approvals/, and counts while the procedure's digest is the
// one that it names; where the shop says who may sign, only of one of these; and where approvals/allowed-signers lies in the shop, as
// ssh-keygen(1) has it, only with a signature by one of the keys that stand there behind the initials.
#pragma once

#include "base/result.h"
#include "driver/pipeline.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::driver {

struct Approved {
    linked::ProcedureId procedure;
    std::string digest;                       // of the procedure as it stands, 64 figures
    const model::Approval* by = nullptr;      // one that counts
    const model::Approval* refused = nullptr; // one of this digest that does not, and why
    std::string why;
    const model::Approval* earlier = nullptr; // the last one of another digest
    bool to_be_signed = false;                // the shop says whose signatures count
};

// What an approval of this name is of: "front-disc-service" of "front-disc-service-c79cdbd6207d76a9-ab". Empty: of nothing. One counts for no other procedure
// than that, so that those of a procedure are found by their names.
std::string_view procedure_approved_by(std::string_view name);

// In the order of `procedures`.
std::vector<Approved> approved(const Shopful& shop, const std::vector<linked::ProcedureId>& procedures);

// Who may approve: nothing, or why not.
std::optional<std::string> may_not_approve(const Shopful& shop, const std::string& by);

// Why an approval is none, whatever it approves: of who may not, or without a signature that the shop asks for.
std::optional<std::string> does_not_count(const Shopful& shop, const model::Approval& approval);

// What is signed: all that an approval says, but its note.
std::string signed_text(const model::Approval& approval);
base::Result<std::string> sign(const model::Approval& approval, const std::string& key_file);

// Says on the work's cards and across their pages which of its procedures are not approved.
void mark_not_approved(const Shopful& shop, const PrintOptions& options, Work& work);

// Of `check --approved`: an error for each procedure that is not approved.
void tell_not_approved(const Shopful& shop, messages::Messages& out);

} // namespace benchleaf::driver
