#include "record/reports.h"

namespace benchleaf::record {

const Check checks::not_signed = {{"not-signed", messages::Level::error, "a signature or initials that are missing"}};

Complaint found::not_signed(const std::string& what) {
    return {&checks::not_signed.rule, "not signed: " + what, "", true, {}};
}

} // namespace benchleaf::record
