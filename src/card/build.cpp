#include "card/build.h"

#include "card/after.h"
#include "card/before.h"
#include "card/earlier.h"
#include "card/found.h"
#include "card/frame.h"
#include "card/place_cautions.h"
#include "card/rows.h"
#include "card/unfold.h"
#include "card/wording.h"

#include "base/require.h"
#include "base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::card {

namespace {

// Everything that a row touches and that may carry a caution.
std::vector<linked::CautionId> touched(const Speaker& s, const Node& node) {
    std::vector<linked::CautionId> all;
    const auto add = [&](const std::vector<linked::CautionId>& cautions) {
        for (const auto id : cautions)
            if (id.known()) all.push_back(id);
    };
    const auto item = [&](linked::ItemId id) {
        if (s.present(id)) add(s.item(id).cautions);
    };
    const auto consumable = [&](linked::ConsumableId id) {
        if (id.known()) add(s.linked.consumables[id.index()].cautions);
    };
    const fitted::Row& row = *node.row;
    if (row.kind == fitted::RowKind::hole) return all;
    const bool worked = row.kind == fitted::RowKind::verb;
    for (const fitted::Target& target : row.targets) {
        item(target.item);
        // What is to be known of a part is to be known before the first of its holders is slackened.
        const bool frees = row.verb == model::VerbName::slacken || row.verb == model::VerbName::remove;
        if (worked && frees && s.present(target.item))
            for (const linked::ItemId held : s.item(target.item).holds) item(held);
        // What runs out is to be known before it runs.
        if (worked && frees && s.present(target.item) && s.present(s.item(target.item).opens)) {
            item(s.item(target.item).opens);
            consumable(s.item(s.item(target.item).opens).fluid);
        }
        // Fluid that runs: in at a fill, out where the circuit is opened.
        const bool runs = row.verb == model::VerbName::fill || row.verb == model::VerbName::level ||
                          row.verb == model::VerbName::open;
        if (worked && runs && s.present(target.item)) consumable(s.item(target.item).fluid);
    }
    if (worked && row.verb == model::VerbName::measure) {
        for (const fitted::LimitUse& use : row.limits) {
            if (use.figure.limit.known()) add(s.linked.limits[use.figure.limit.index()].cautions);
            for (const auto of : use.of) item(of);
        }
    }
    if (row.step != nullptr) {
        consumable(row.step->consumable);
        for (const auto each : row.step->with_consumables) consumable(each);
        consumable(row.step->wait_for);
        for (const auto tool : row.step->tools)
            if (tool.known()) add(s.linked.tools[tool.index()].cautions);
        for (const auto tool : row.step->with_tools)
            if (tool.known()) add(s.linked.tools[tool.index()].cautions);
        add(row.step->cautions);
    }
    return all;
}

// The map of the wheels, where the vehicle tells them and it is known at which axle the procedure is worked: as it says, or by its axis, which is called
// like an axle (`rear`) or has the axles for values (`end`). Of wheels that are called like values of the axis (left), those that it is worked on.
std::vector<Axle> make_axles(const Speaker& s, const fitted::Procedure& procedure) {
    if (!s.fit.vehicle.known()) return {};
    const auto& wheels = s.linked.vehicles[s.fit.vehicle.index()].source->wheels;
    if (!wheels) return {};
    const auto& said = procedure.source->source->axle;
    const bool has_axis = procedure.axis.known();
    const auto value_of = [&](const std::string& name) -> std::optional<fitted::AxisValue> {
        if (!has_axis) return std::nullopt;
        const auto& values = s.fit.axes[procedure.axis.index()].values;
        const auto at = std::find(values.begin(), values.end(), name);
        if (at == values.end()) return std::nullopt;
        return static_cast<fitted::AxisValue>(at - values.begin());
    };
    const auto works_on = [&](fitted::AxisValue value) {
        return std::find(procedure.values.begin(), procedure.values.end(), value) != procedure.values.end();
    };
    std::vector<Axle> axles;
    bool any = false;
    for (const auto& axle : wheels->value) {
        const std::string& name = axle.key.name;
        const auto end = value_of(name);
        const bool at_it =
            said ? std::any_of(said->value.begin(), said->value.end(),
                               [&](const auto& each) { return each.name == name; })
                 : (end && works_on(*end)) || (has_axis && s.linked.axes[procedure.axis.index()].name == name);
        Axle made;
        for (const auto& wheel : axle.value) {
            const auto value = value_of(wheel.name);
            made.push_back({at_it && (!value || works_on(*value)), {}});
            if (made.back().here && value) made.back().head = s.axis_word(procedure.axis, *value).head;
            any = any || made.back().here;
        }
        if (at_it && end && !made.empty()) made.back().head = s.axis_word(procedure.axis, *end).head;
        axles.push_back(std::move(made));
    }
    if (!any) axles.clear();
    return axles;
}

Head make_head(const Speaker& s, const fitted::Procedure& procedure, std::size_t card, std::size_t cards) {
    const model::Procedure& source = *procedure.source->source;
    Head head = head_of_visit(s);
    head.title = title_of(procedure);
    head.revision = s.fill(Key::revision, {std::to_string(source.revision ? source.revision->value : 1)});
    if (s.job != nullptr) {
        head.card = static_cast<std::uint32_t>(card + 1);
        head.cards = static_cast<std::uint32_t>(cards);
    } else {
        head.blank = s.word(Key::blank_card);
        head.blanks = {s.word(Key::identity_registration), s.word(Key::meter), s.word(Key::date)};
    }
    head.axles = make_axles(s, procedure);
    head.code = "BENCHLEAF " + (head.job.empty() ? std::string("-") : head.job) + " " + source.id.value + " " +
                std::to_string(source.revision ? source.revision->value : 1);
    return head;
}

// A figure stands for the fastener that the words beside it name; where they do not, it says for itself what it is for.
void name_torques(std::vector<Section>& sections) {
    for (Section& section : sections) {
        for (Row& row : section.rows) {
            auto* step = std::get_if<Step>(&row.what);
            auto* torques = step != nullptr ? std::get_if<std::vector<Torque>>(&step->panel) : nullptr;
            if (torques == nullptr) continue;
            const std::string words = base::small_letters(step->text);
            for (Torque& torque : *torques)
                torque.named = torques->size() > 1 || words.find(base::small_letters(torque.name)) == std::string::npos;
        }
    }
}

void hang_pictures(std::vector<Section>& sections, const Pictures& pictures) {
    for (Section& section : sections) {
        for (Row& row : section.rows) {
            if (!row.picture) continue;
            const auto found = pictures.find(row.picture->file);
            if (found == pictures.end())
                row.picture.reset();
            else
                row.picture->picture = found->second;
        }
    }
}

// "wrench B, no. FW-0118; wrench C, no. FW-0092"
std::string numbers_of_wrenches(const Speaker& s, const Needs& needs) {
    std::string text;
    for (const std::size_t used : needs.wrenches) {
        const auto& serial = s.shop.wrenches->value[used].value.serial;
        if (!serial) continue;
        if (!text.empty()) text += "; ";
        text += s.listed({wrench_name(s, used), s.fill(Key::serial, {serial->value})});
    }
    return text;
}

std::string stem(const Speaker& s, const fitted::Procedure& procedure, std::size_t card) {
    const std::string& id = procedure.source->source->id.value;
    if (s.job != nullptr) return numbered_stem(s, card + 1, id);
    if (!s.fit.vehicle.known()) return id;
    return id + "-" + s.linked.vehicles[s.fit.vehicle.index()].source->id.value;
}

} // namespace

std::optional<Card> build(const proof::Proved& proved, std::size_t card, const labels::Labels& labels,
                          messages::Messages& messages, const Pictures& pictures, Needs* needs) {
    const fitted::Fit& fit = proved.fit();
    const linked::Linked& linked = *proved.fitted().linked;
    base::require(card < fit.sequence.size(), "a card is one of the job's procedures");
    base::require(linked.shop != nullptr, "a proved job belongs to a shop");
    const fitted::Procedure& procedure = fit.procedures[fit.sequence[card].index()];
    const model::Job* job = fit.job.known() ? linked.jobs[fit.job.index()].source : nullptr;
    const Speaker s{fit, linked, *linked.shop, job, labels, messages};

    if (card == 0 && fit.past && job != nullptr && job->meter) {
        const auto back = [&](const model::Record* visit) {
            return visit->meter && units::compare(visit->meter->value.quantity, job->meter->value.quantity) ==
                                       std::partial_ordering::greater;
        };
        const auto& visits = fit.past->visits;
        if (const auto found = std::find_if(visits.rbegin(), visits.rend(), back); found != visits.rend())
            found::meter_runs_back(*job, **found, messages);
    }
    const std::size_t errors = messages.count(messages::Level::error);
    std::optional<Unfolded> unfolded = unfold(fit, linked, procedure, messages);
    if (!unfolded) return std::nullopt;

    Card made;
    std::set<linked::CautionId> whole; // of the whole procedure, and of the vehicle
    const auto head_caution = [&](linked::CautionId id) {
        if (id.known() && whole.insert(id).second) made.before.cautions.push_back(made_caution(s, id));
    };
    std::vector<linked::CautionId> at_head = procedure.source->cautions;
    if (fit.vehicle.known())
        for (const auto id : linked.vehicles[fit.vehicle.index()].cautions) at_head.push_back(id);
    for (const auto id : at_head) head_caution(id);
    place_cautions(
        unfolded->rows, [&](const Node& node) { return touched(s, node); }, whole);

    MadeRows rows = make_rows(s, *unfolded);
    std::vector<Caution> cautions = std::move(made.before.cautions);
    sort_by_level(cautions);
    Needs takes = make_needs(s, *unfolded, rows);
    made.before = make_before(s, *unfolded, takes);
    if (card == 0) made.before.open = make_open(s);
    std::string wrenches;
    if (!has_cover(fit, linked)) {
        wrenches = numbers_of_wrenches(s, takes);
        for (const Needs::Torque& each : takes.torques)
            made.before.torques.push_back(torque_line(each, static_cast<std::uint32_t>(card + 1),
                                                      s.fill(Key::torque_step, {std::to_string(each.step)})));
    }
    if (needs != nullptr) *needs = std::move(takes);
    made.before.cautions = std::move(cautions);
    made.language = labels.language;
    made.procedure = procedure.source->source->id.value;
    if (const auto& revision = procedure.source->source->revision)
        made.revision = static_cast<std::uint32_t>(std::clamp<std::int64_t>(revision->value, 0, 999'999));
    made.head = make_head(s, procedure, card, fit.sequence.size());
    made.sections = std::move(rows.sections);
    auto takes_by_row = takes_of_rows(s, *unfolded);
    for (Section& section : made.sections)
        for (Row& row : section.rows)
            if (row.number > 0) row.takes = std::move(takes_by_row[row.number]);
    hang_pictures(made.sections, pictures);
    name_torques(made.sections);
    made.findings = make_findings(s);
    made.stop_strip = make_stop_strip(s);
    static const std::vector<proof::Left> nothing_left;
    made.close_out =
        make_close_out(s, *unfolded, card < proved.cards().size() ? proved.cards()[card] : nothing_left, rows.torques);
    made.close_out.wrenches = wrenches;
    made.foot = make_foot(s);
    made.words = make_words(s);
    made.file_stem = stem(s, procedure, card);
    if (messages.count(messages::Level::error) != errors) return std::nullopt;
    return made;
}

void seal(Card& card, std::string_view sha256_hex) {
    seal(card.head, sha256_hex);
}

} // namespace benchleaf::card
