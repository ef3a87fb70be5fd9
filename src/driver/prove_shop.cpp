#include "driver/prove_shop.h"

#include "fitted/alike.h"
#include "proof/proved.h"

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace benchleaf::driver {

namespace {

using linked::ProcedureId;
using linked::VehicleId;

// For fewer it is done sooner than it is known which are alike.
constexpr std::size_t few_vehicles = 8;
// One takes about a tenth of a millisecond, and a thread pays for itself in a few of them.
constexpr std::size_t proofs_worth_a_thread = 500;

// Which procedures fit a vehicle: what they ask of it is mostly the same, and what the first thing that they ask for lets in is looked up.
class Fitting {
public:
    explicit Fitting(const linked::Linked& linked) {
        std::map<std::string, std::size_t> numbers;
        for (const linked::Procedure& each : linked.procedures) {
            std::string asks;
            if (each.source->fits)
                for (const auto& condition : each.source->fits->value) {
                    asks += condition.key.name + ':';
                    for (const auto& value : condition.value) asks += value.name + ',';
                }
            const auto [at, fresh] = numbers.try_emplace(std::move(asks), sorts_.size());
            if (fresh) add_sort(each.source->fits ? &each.source->fits->value : nullptr);
            sorts_[at->second].procedures.push_back(each.id);
        }
    }

    std::vector<ProcedureId> those_for(const linked::Vehicle& vehicle) const {
        std::set<std::size_t> met(for_all_.begin(), for_all_.end());
        if (vehicle.source->has)
            for (const auto& has : vehicle.source->has->value)
                if (const auto found = by_first_.find({has.key.name, has.value.name}); found != by_first_.end())
                    for (const std::size_t sort : found->second)
                        if (fitted::meets(vehicle, *sorts_[sort].asks)) met.insert(sort);
        std::vector<ProcedureId> those;
        for (const std::size_t sort : met)
            those.insert(those.end(), sorts_[sort].procedures.begin(), sorts_[sort].procedures.end());
        return those;
    }

private:
    struct Sort {
        const model::Conditions* asks;
        std::vector<ProcedureId> procedures;
    };

    void add_sort(const model::Conditions* asks) {
        const std::size_t sort = sorts_.size();
        sorts_.push_back({asks, {}});
        if (asks == nullptr || asks->empty())
            for_all_.push_back(sort);
        else
            for (const auto& value : asks->front().value)
                by_first_[{asks->front().key.name, value.name}].push_back(sort);
    }

    std::vector<Sort> sorts_;
    std::vector<std::size_t> for_all_;
    std::map<std::pair<std::string, std::string>, std::vector<std::size_t>> by_first_; // feature, value
};

// What is looked at on one thread: vehicles that differ in figures alone, and every so many of their procedures.
class Portion {
public:
    Portion(const linked::Linked& linked, const std::shared_ptr<const fitted::Common>& common,
            const fitted::Alike& alike, bool proves)
        : linked_(linked), fitter_(common), verdicts_(alike), proves_(proves) {}

    // Is anything wrong with the vehicle, or with the procedures of that number, counted off by `parts`?
    bool faulty(VehicleId vehicle, const std::vector<ProcedureId>& procedures, std::size_t part, std::size_t parts) {
        looked_at_ = false;
        bool good = part != 0 || itself(vehicle);
        for (std::size_t i = part; i < procedures.size(); i += parts) good = alone(vehicle, procedures[i]) && good;
        return !good;
    }

private:
    bool look_at(VehicleId vehicle, fitted::Looks& looks) {
        looked_at_ = true;
        return fitter_.look_at(vehicle, looks);
    }

    bool itself(VehicleId vehicle) {
        if (const auto known = verdicts_.of({}, vehicle)) return *known;
        fitted::Looks looks(linked_);
        const bool good = look_at(vehicle, looks);
        verdicts_.remember({}, vehicle, looks, good);
        return good;
    }

    bool alone(VehicleId vehicle, ProcedureId procedure) {
        if (const auto known = verdicts_.of(procedure, vehicle)) return *known;
        fitted::Looks looks(linked_);
        if (!looked_at_) {
            fitted::Looks of_vehicle(linked_);
            (void)look_at(vehicle, of_vehicle);
        }
        bool good = true;
        const fitted::Fitted fitted = fitter_.alone(procedure, looks, good);
        messages::Messages said;
        if (proves_) proof::prove_procedures(fitted, 0, said);
        good = good && said.all().empty();
        verdicts_.remember(procedure, vehicle, looks, good);
        return good;
    }

    const linked::Linked& linked_;
    fitted::ShopFitter fitter_;
    fitted::Verdicts verdicts_;
    const bool proves_;
    bool looked_at_ = false; // the vehicle at work, by the fitter
};

// The vehicles on which something is wrong, in their order.
std::vector<VehicleId> faulty_vehicles(const linked::Linked& linked,
                                       const std::shared_ptr<const fitted::Common>& common, bool proves,
                                       std::size_t threads) {
    const fitted::Alike alike(linked);
    const Fitting fitting(linked);
    const std::size_t sorts = alike.sorts().size();
    // Enough portions for each thread to have something to do until the end.
    const std::size_t parts = threads == 1 ? 1 : (4 * threads + sorts - 1) / sorts;
    std::set<VehicleId> faulty;
    in_order(
        sorts * parts, threads,
        [&](std::size_t i) {
            Portion portion(linked, common, alike, proves);
            std::vector<VehicleId> found;
            for (const VehicleId vehicle : alike.sorts()[i / parts])
                if (portion.faulty(vehicle, fitting.those_for(linked.vehicles[vehicle.index()]), i % parts, parts))
                    found.push_back(vehicle);
            return found;
        },
        [&](std::size_t, const std::vector<VehicleId>& found) {
            faulty.insert(found.begin(), found.end());
            return true;
        });
    return {faulty.begin(), faulty.end()};
}

// A vehicle with all procedures that fit it, by itself.
struct Whole {
    std::unique_ptr<fitted::ShopFitter> fitter;
    messages::Messages said;
};

} // namespace

void prove_shop(const linked::Linked& linked, const std::shared_ptr<const fitted::Common>& common, bool proves,
                Vehicles vehicles, Threads threads, messages::Messages& messages) {
    const std::size_t proofs =
        linked.procedures.size() * std::clamp<std::size_t>(linked.vehicles.size(), 1, few_vehicles);
    const std::size_t at_once = threads.among(proofs, proofs_worth_a_thread);
    std::vector<VehicleId> wholes;
    if (linked.vehicles.empty())
        wholes.emplace_back();
    else if (vehicles == Vehicles::alike && linked.vehicles.size() > few_vehicles)
        wholes = faulty_vehicles(linked, common, proves, at_once);
    else
        for (const linked::Vehicle& each : linked.vehicles) wholes.push_back(each.id);
    fitted::ShopFitter fitter(common);
    fitter.find_unfitted(messages);
    const auto look_at = [&](fitted::ShopFitter& by, VehicleId vehicle, messages::Messages& said) {
        const fitted::Fitted whole = by.whole(vehicle, said);
        if (proves) proof::prove_procedures(whole, 0, said);
    };
    in_order(
        wholes.size(), at_once,
        [&](std::size_t i) {
            Whole whole{std::make_unique<fitted::ShopFitter>(common), {}};
            look_at(*whole.fitter, wholes[i], whole.said);
            return whole;
        },
        [&](std::size_t, const Whole& whole) {
            fitter.take(*whole.fitter, whole.said, messages);
            return true;
        });
}

} // namespace benchleaf::driver
