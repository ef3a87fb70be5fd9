#include "units/tightening.h"

#include "units/read.h"

namespace benchleaf::units {
namespace {

ParseError not_a_stage(Bounds at, std::string sentence, std::string help = {}) {
    return {at.begin, at.end, bad_stage, std::move(sentence), std::move(help), std::nullopt};
}

// How far the top of a figure may lie above its bottom, as a fraction: two and a half times. Makers give ±5 % to ±25 %, and ranges up to
// twice their bottom (10..20 N·m for a spark plug); a tolerance of ±43 % or more, or a wider range, is a slip of the pen (common practice).
constexpr std::int64_t widest_top = 5;
constexpr std::int64_t widest_bottom = 2;

// The farthest that a stage turns, in degrees (common practice). On from a torque a bolt is turned 30° to 270°, in one stage never more than
// one turn: it would be past its yield. On from contact a taper thread takes up to three, and so far back a nut hangs loose.
constexpr std::int64_t farthest_from_torque = 360;
constexpr std::int64_t farthest_from_contact = 1080;

std::optional<ParseError> judge_width(const Figure& figure, std::string_view text, Bounds at) {
    const auto top = multiply(figure.upper, widest_bottom);
    const auto bottom = multiply(figure.lower, widest_top);
    if (!top || !bottom || compare(*top, *bottom) != std::partial_ordering::greater) return std::nullopt;
    Quantity lower = figure.lower;
    Quantity upper = figure.upper;
    lower.relative = upper.relative = false;
    const Bounds shown = trimmed(text, at);
    return ParseError{
        shown.begin,
        shown.end,
        tolerance_absurd,
        "a figure that may lie anywhere from " + print(lower) + " to " + print(upper) + " tells nobody how tight",
        "look it up; a tolerance is mostly ±5 % to ±25 %, and the top of a range at most twice its bottom",
        std::nullopt};
}

// An angle to turn by: above zero, and signed only where the caller says so.
Parsed<Figure> read_angle(std::string_view text, Bounds at, std::int64_t farthest) {
    auto angle = parse_figure_within(text, at, Wanted::angle);
    if (const auto* figure = std::get_if<Figure>(&angle)) {
        if (figure->lower.digits <= 0) return not_a_stage(trimmed(text, at), "an angle to turn by is above zero");
        const Quantity most{farthest, 0, false, Unit::degree};
        if (compare(figure->upper, most) == std::partial_ordering::greater)
            return not_a_stage(trimmed(text, at), "no fastener is turned so far in one stage",
                               "look it up; a stage turns by " + print(most) + " at most");
    }
    return angle;
}

} // namespace

Parsed<Stage> parse_stage(std::string_view text) {
    const Bounds all = trimmed(text, {0, text.size()});
    const std::string_view inner = text.substr(all.begin, all.end - all.begin);
    const auto after = [&](std::string_view word) { return trimmed(text, {all.begin + word.size(), all.end}); };

    if (inner == "next-slot" || inner == "next slot") return NextSlot{};

    if (inner.starts_with("contact")) {
        const Bounds rest = after("contact");
        if (rest.begin == rest.end) return ToContact{};
        if (text[rest.begin] != '+')
            return not_a_stage(rest, "what follows `contact` is an angle to turn on by", "write `contact +270°`");
        auto angle = read_angle(text, rest, farthest_from_contact);
        if (auto* error = std::get_if<ParseError>(&angle)) return *error;
        if (const auto error = judge_width(std::get<Figure>(angle), text, rest)) return *error;
        return ToContact{std::get<Figure>(angle)};
    }

    for (const std::string_view word : {"back-off", "back off"}) {
        if (!inner.starts_with(word)) continue;
        const Bounds rest = after(word);
        if (rest.begin == rest.end) return not_a_stage(all, "how far to back off is missing", "write `back-off 90°`");
        if (text[rest.begin] == '+') return not_a_stage(rest, "a back-off has no plus sign", "write `back-off 90°`");
        auto angle = read_angle(text, rest, farthest_from_contact);
        if (auto* error = std::get_if<ParseError>(&angle)) return *error;
        return BackOff{std::get<Figure>(angle)};
    }

    if (inner.starts_with("+")) {
        auto angle = read_angle(text, all, farthest_from_torque);
        if (auto* error = std::get_if<ParseError>(&angle)) {
            if (error->name == wrong_dimension)
                error->help = "only an angle is added to a stage: `+90°`; a torque has no plus sign";
            return *error;
        }
        if (const auto error = judge_width(std::get<Figure>(angle), text, all)) return *error;
        return ByAngle{std::get<Figure>(angle)};
    }

    if (const std::size_t plus = inner.find('+'); plus != std::string_view::npos && inner.ends_with("°")) {
        const Bounds torque = trimmed(inner, {0, plus});
        return not_a_stage(all, "a torque and an angle onward are two stages",
                           "write `[" + std::string(inner.substr(torque.begin, torque.end - torque.begin)) + ", " +
                               std::string(inner.substr(plus)) + "]`");
    }

    ToTorque stage;
    Bounds torque_at = all;
    constexpr std::string_view turning = "turning";
    if (inner.ends_with(turning)) {
        stage.turning = true;
        torque_at = trimmed(text, {all.begin, all.end - turning.size()});
        if (torque_at.begin == torque_at.end)
            return not_a_stage(all, "the torque to turn under is missing", "write `50 N·m turning`");
    }
    auto torque = parse_figure_within(text, torque_at, Wanted::torque);
    if (auto* error = std::get_if<ParseError>(&torque)) {
        if (error->name == wrong_dimension &&
            std::holds_alternative<Figure>(parse_figure_within(text, torque_at, Wanted::angle)))
            error->help = "an angle to turn on by has a plus sign: `+90°`";
        return *error;
    }
    stage.torque = std::get<Figure>(torque);
    if (const auto error = judge_width(stage.torque, text, torque_at)) return *error;
    return stage;
}

std::variant<Tightening, TighteningError> parse_tightening(std::span<const std::string_view> texts) {
    Tightening tightening;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        auto stage = parse_stage(texts[i]);
        if (auto* error = std::get_if<ParseError>(&stage)) return TighteningError{i, *error};
        tightening.stages.push_back(std::get<Stage>(stage));
    }
    const auto refuse = [&](std::size_t i, std::string sentence, std::string help = {}) {
        const Bounds at = texts.empty() ? Bounds{} : trimmed(texts[i], {0, texts[i].size()});
        return TighteningError{i, not_a_stage(at, std::move(sentence), std::move(help))};
    };
    if (tightening.stages.empty())
        return refuse(0, "a tightening has at least one stage", "write a torque, as in `24 N·m`");

    const std::vector<Stage>& stages = tightening.stages;
    const Figure* before = nullptr; // the last torque since the last back-off
    const Figure* seated = nullptr; // under which a bearing was turned before it
    for (std::size_t i = 0; i < stages.size(); ++i) {
        const bool first = i == 0;
        if (const auto* torque = std::get_if<ToTorque>(&stages[i])) {
            if (before != nullptr && compare(torque->torque.nominal, before->nominal) != std::partial_ordering::greater)
                return refuse(i, "this torque is not above the one before it",
                              "between two torques that fall stands a `back-off`");
            if (seated != nullptr && compare(torque->torque.nominal, seated->nominal) == std::partial_ordering::greater)
                return refuse(i, "after the back-off this is tighter than the bearing was seated",
                              "a bearing is seated while turning, backed off, and set to less");
            before = &torque->torque;
            if (torque->turning) seated = before;
            continue;
        }
        if (std::holds_alternative<ToContact>(stages[i])) {
            if (!first && !std::holds_alternative<BackOff>(stages[i - 1]))
                return refuse(i, "contact comes first, or after a back-off");
            continue;
        }
        if (first)
            return refuse(i, "the first stage is a torque or `contact`",
                          "an angle is counted from the stage before it");
        if (std::holds_alternative<NextSlot>(stages[i]) && i + 1 < stages.size())
            return refuse(i, "`next-slot` is the last stage");
        if (std::holds_alternative<BackOff>(stages[i])) {
            if (i + 1 == stages.size())
                return refuse(i, "a back-off is not the last stage: nothing would be tight after it");
            before = nullptr;
        }
    }
    return tightening;
}

const Figure* single_torque(const Tightening& tightening) {
    if (tightening.stages.size() != 1) return nullptr;
    const auto* only = std::get_if<ToTorque>(tightening.stages.data());
    return only != nullptr && !only->turning ? &only->torque : nullptr;
}

std::vector<Figure> torques(const Tightening& tightening) {
    std::vector<Figure> figures;
    for (const Stage& stage : tightening.stages) {
        if (const auto* torque = std::get_if<ToTorque>(&stage)) figures.push_back(torque->torque);
    }
    return figures;
}

std::string print(const Stage& stage, PrintOptions options) {
    const std::string gap = options.plain_spaces ? " " : "\u00A0";
    if (const auto* torque = std::get_if<ToTorque>(&stage))
        return print(torque->torque, options) + (torque->turning ? gap + "turning" : "");
    if (const auto* angle = std::get_if<ByAngle>(&stage)) return print(angle->angle, options);
    if (const auto* contact = std::get_if<ToContact>(&stage))
        return contact->angle ? "contact" + gap + print(*contact->angle, options) : "contact";
    if (const auto* back = std::get_if<BackOff>(&stage)) return "back-off" + gap + print(back->angle, options);
    return "next-slot";
}

std::string print(const Tightening& tightening, PrintOptions options) {
    std::string text;
    for (const Stage& stage : tightening.stages) {
        if (!text.empty()) text += ", ";
        text += print(stage, options);
    }
    return text;
}

} // namespace benchleaf::units
