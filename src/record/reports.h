// The wording of the checks of this folder, each in its file under checks/. Private to record/.
#pragma once

#include "record/asks.h"
#include "record/check.h"
#include "units/quantity.h"

#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::record {

namespace checks {
extern const Check answer_contradicts;
extern const Check answered_twice;
extern const Check box_astray;
extern const Check box_empty;
extern const Check box_unknown;
extern const Check checked_own_work;
extern const Check critical_not_ticked;
extern const Check may_not_sign;
extern const Check no_such_time;
extern const Check not_closed_out;
extern const Check not_signed;
extern const Check off_torque;
extern const Check reading_off_gauge;
extern const Check reading_unreadable;
extern const Check wrench_unfit;
} // namespace checks

namespace found {

// answer-contradicts
Complaint answer_contradicts(bool right, const std::string& why);
Complaint nothing_says_so(const std::string& why);
// answered-twice
Complaint two_answers(const std::string& what);
Complaint worst_is_another(const std::string& which, const std::string& noted, const std::string& read);
// box-astray
Complaint box_astray(std::string_view box);
Complaint behind_stop(std::string_view box);
// box-empty
Complaint not_answered(const std::string& what);
Complaint points_missing(std::size_t missing, std::size_t of);
Complaint not_read_without_reason();
// box-unknown
Complaint unknown_box(std::string_view box, const std::vector<std::string>& known);
// checked-own-work; `step` 0: the card as a whole
Complaint checked_own_work(const model::Shop* shop, const std::string& initials, std::uint32_t step);
// critical-not-ticked
Complaint critical_not_ticked(const std::string& what, std::size_t ticked, std::size_t of);
// may-not-sign
Complaint may_not_sign(const std::string& initials, const std::vector<std::string>& may);
Complaint no_initials(const std::string& written);
// no-such-time
Complaint no_time(std::string_view written);
Complaint no_date(std::string_view written);
Complaint signed_before_stop(std::string_view written, const std::string& stopped);
Complaint signed_before_job(std::string_view written, const std::string& job);
Complaint signed_long_after(std::string_view written, const std::string& job);
Complaint no_step(std::string_view written);
// not-closed-out
Complaint not_closed_out(const std::string& line);
// not-signed
Complaint not_signed(const std::string& what);
// off-torque
Complaint off_torque(const std::string& read, const std::string& to, bool high);
// reading-off-gauge
Complaint finer_than_gauge_shows(const std::string& read, const std::string& step);
Complaint beyond_gauge(const std::string& read);
Complaint beyond_new(const std::string& read, const std::string& as_new);
Complaint below_new(const std::string& read, const std::string& as_new);
// reading-unreadable
Complaint no_unit(std::string_view written, std::optional<units::Unit> unit);
Complaint other_unit(std::string_view written, units::Unit unit);
Complaint unreadable(std::string_view written, const units::ParseError& error);
Complaint no_tick(std::string_view written);
Complaint no_letters(); // control characters, broken letters, or more than anybody writes
// wrench-unfit
Complaint no_such_wrench(std::string_view written, const std::vector<std::string>& of_the_shop);
Complaint out_of_calibration(std::string_view written, const std::string& until);
Complaint holds_not(const std::string& written, const std::string& torque);

} // namespace found
} // namespace benchleaf::record
