// What the passes of fitting share. Internal to fitted/.
#pragma once

#include "fitted/fitted.h"
#include "fitted/reports.h"

#include <map>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <unordered_map>
#include <unordered_set>

namespace benchleaf::fitted {

using linked::AxisId;
using linked::LimitId;
using linked::Linked;
using linked::ProcedureId;
using linked::StepId;

// What holds for the whole shop, found once and from then on only read, by several threads at a time: what any vehicle has, and what catalogues give.
struct Common {
    explicit Common(const Linked& from);

    struct Had {
        Span first;
        std::vector<linked::VehicleId> by;
    };
    const Linked& linked;
    std::unordered_map<std::string, std::unordered_map<std::string, Had>> features; // of vehicles: feature, value
    std::vector<std::vector<std::string>> axis_values;                              // by axis: of any vehicle
    std::vector<std::vector<std::pair<linked::CatalogueId, const linked::Torque*>>> torques; // by item
};

// That, and what was said.
class Shop {
public:
    explicit Shop(const Common& of) : common(of), linked(of.linked) {}

    const Common& common;
    const Linked& linked;

    // True the first time: what does not depend on the vehicle is said once. Who is told so adds one message, and at once.
    bool first_time(const messages::Rule& rule, Span at) {
        Once once{rule.name, at.file.value, at.begin, at.end};
        if (!said_.insert(once).second) return false;
        if (into_ != nullptr) once_[into_->all().size()] = once;
        return true;
    }

    // From now on, which of the messages are such that are said once.
    void note_once(const Messages& into) { into_ = &into; }
    // What `other`, by itself, said of another vehicle: without what is said once and was.
    void take(const Shop& other, const Messages& said, Messages& to) {
        for (std::size_t i = 0; i < said.all().size(); ++i) {
            const auto once = other.once_.find(i);
            if (once == other.once_.end() || said_.insert(once->second).second) to.add(said.all()[i]);
        }
    }

private:
    using Once = std::tuple<std::string_view, std::uint32_t, std::uint32_t, std::uint32_t>;
    std::set<Once> said_;
    const Messages* into_ = nullptr;
    std::unordered_map<std::size_t, Once> once_; // by the number of the message
};

// Makes one Fit.
class Fitter {
public:
    Fitter(Shop& shop, linked::VehicleId vehicle, linked::JobId job, Messages& messages);

    // Nothing when it does not hold on this vehicle, which is reported by whom it concerns.
    std::optional<Failing> failing(const model::Conditions& conditions) const;
    bool holds(const model::Conditions& conditions) const { return !failing(conditions); }

    // Known unless it cannot be worked on this vehicle, which was reported.
    ProcedureIndex fit_procedure(ProcedureId id);

    Fit take() { return std::move(fit_); }
    // That procedure and what it calls, by themselves, as if no other were fitted; what is looked at is noted.
    Fit alone(ProcedureId id, Looks& looks);
    const OfVehicle& of_vehicle() const { return of_vehicle_; }
    const linked::Procedure& procedure(ProcedureId id) const { return shop_.linked.procedures[id.index()]; }

private:
    // items.cpp
    void fit_axes();
    void fit_items(Items::All& all);
    void keep_present(Items::All& all);

    // figures.cpp
    std::optional<TorqueFigure> torque(ItemId fastener, Span at);
    LimitFigure limit(LimitId id, const std::vector<ItemId>& of);
    std::string limit_name(const model::Limit& limit, const std::vector<ItemId>& of) const;
    void judge_limit(const LimitFigure& figure, const std::vector<ItemId>& of);
    bool judge_sorts(const LimitFigure& figure);
    bool judge_size(const LimitFigure& figure, const std::vector<ItemId>& of);
    void judge_lining(const LimitFigure& figure, const std::vector<ItemId>& of);
    Span rubs(const std::vector<ItemId>& of) const;
    bool judge_threads(const linked::Item& item, const TorqueFigure& figure, Span threads);
    bool judge_clamp(ItemId fastener, const TorqueFigure& figure, Span at);
    void judge_holders(const Items::All& all);
    void judge_idle_holders(const Items::All& all, const linked::Vehicle::Narrowed& only,
                            const std::function<bool(const Item&, AxisValue)>& has);
    void judge_step(const LimitFigure& figure);
    bool judge_guard(const LimitFigure& figure);
    void judge_difference(const LimitFigure& figure, const std::vector<ItemId>& of);
    void judge_group(const linked::Item& item);
    bool judge_preload(const linked::Item& item, const TorqueFigure& figure, Span at);
    bool limit_given(const LimitFigure& figure, Span at);

    // rows.cpp
    struct Narrowing {
        AxisId axis;
        std::vector<AxisValue> values;
    };
    struct Place {
        bool bound = false;
        std::vector<Narrowing> narrowed; // by the steps above
    };
    Rows fit_steps(const linked::Steps& steps, const Place& place);
    Row fit_step(const linked::Step& step, Place& place);
    void fit_verb(Row& row, const linked::Step& step, const Place& place);
    void fit_basis(Row& row, const linked::Step& step, const Place& place);
    void judge_wait(const linked::Step& step);
    bool when_holds(const linked::Step& step);
    bool narrow(Row& row, const linked::Step& step, Place& place);
    bool has_axis(const linked::Step& step, AxisId axis) const;
    void add_target(Row& row, ItemId item, linked::Place to, Span span, const Place& place);
    bool on_vehicle(ItemId item, Span at);
    bool add_limit(Row& row, LimitId id, Span span);
    void not_there(ItemId item, Span at);

    Shop& shop_;
    Messages& out_;
    Fit fit_;
    // How much of its proof load a figure takes: by fastener, threads and where the figure stands.
    std::map<std::tuple<const linked::Item*, model::ThreadState, std::size_t, std::uint32_t>, std::optional<double>>
        shares_;
    const linked::Vehicle* vehicle_ = nullptr;
    const linked::Job* job_ = nullptr;
    OfVehicle of_vehicle_;
    std::unordered_map<std::string_view, const model::Ref<model::Refers::free>*> has_;
    std::unordered_map<ItemId, const linked::Torque*> job_torques_, vehicle_torques_, procedure_torques_;
    std::unordered_map<LimitId, const linked::LimitDifference*> job_limits_, vehicle_limits_, procedure_limits_;
    Looks* looks_ = nullptr;
    std::vector<ProcedureIndex> done_;     // by procedure
    std::unordered_set<ItemId> no_torque_; // said
    std::unordered_set<LimitId> no_limit_; // said
    std::unordered_set<LimitId> judged_limits_;
    // Of the procedure that is being fitted.
    const linked::Procedure* now_ = nullptr;
    Procedure* into_ = nullptr;
    std::unordered_set<StepId> kept_;
    std::unordered_set<StepId> looked_late_; // inspections that something before them is decided by
    std::unordered_set<StepId> answers_used_;
};

} // namespace benchleaf::fitted
