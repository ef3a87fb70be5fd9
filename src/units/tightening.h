// How a fastener is brought tight: one torque, or stages in order. Read with `parse_tightening`, one text a stage, as
// they stand in the YAML list (a single text is a list of one): `24 N·m ±10 %` · `[20 N·m, 40 N·m, +90°]` · `contact
// +270°` ·
// `[50 N·m turning, back-off 90°, 10 N·m, next-slot]`.
#pragma once

#include "units/quantity.h"

#include <vector>

namespace benchleaf::units {

// Up to a torque; `turning`: while the part is turned, so that bearings settle.
struct ToTorque {
    Figure torque;
    bool turning = false;
    friend bool operator==(const ToTorque&, const ToTorque&) = default;
};
// Further by an angle from where the last stage ended.
struct ByAngle {
    Figure angle;
    friend bool operator==(const ByAngle&, const ByAngle&) = default;
};
// By hand until the faces meet, then further by an angle, if there is one (`contact`, `contact +270°`).
struct ToContact {
    std::optional<Figure> angle;
    friend bool operator==(const ToContact&, const ToContact&) = default;
};
// Back by an angle.
struct BackOff {
    Figure angle;
    friend bool operator==(const BackOff&, const BackOff&) = default;
};
// Further until the next slot meets the pin's hole; never back.
struct NextSlot {
    friend bool operator==(const NextSlot&, const NextSlot&) = default;
};
using Stage = std::variant<ToTorque, ByAngle, ToContact, BackOff, NextSlot>;

struct Tightening {
    std::vector<Stage> stages; // at least one
    friend bool operator==(const Tightening&, const Tightening&) = default;
};

// The stage that is wrong, counted from 0, and what is wrong in its text.
struct TighteningError {
    std::size_t stage = 0;
    ParseError error;
};

// `tolerance-absurd` when a torque or an angle to turn on by may lie almost anywhere; `bad-stage` when one turns beyond what any does.
Parsed<Stage> parse_stage(std::string_view text);

// Reads every stage and looks at them together; `bad-stage` when an angle, a back-off or a slot comes first, a torque
// is not above the one before it with no back-off between, or nothing tightens after the last back-off.
std::variant<Tightening, TighteningError> parse_tightening(std::span<const std::string_view> texts);

// The only torque, when there is one stage and that is a plain torque; else nullptr. Lives as long as `tightening`.
const Figure* single_torque(const Tightening& tightening);

// Every torque that a wrench is set to, in order.
std::vector<Figure> torques(const Tightening& tightening);

std::string print(const Stage& stage, PrintOptions options = {});           // `+90°`, `50 N·m turning`
std::string print(const Tightening& tightening, PrintOptions options = {}); // `20 N·m, 40 N·m, +90°`

} // namespace benchleaf::units
