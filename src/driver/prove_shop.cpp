#include "driver/prove_shop.h"

#include "fitted/alike.h"
#include "fitted/fit.h"
#include "model/tree.h"
#include "proof/proved.h"

#include <map>
#include <string>
#include <vector>

namespace benchleaf::driver {

namespace {

using linked::ProcedureId;
using linked::VehicleId;

// For fewer it is done sooner than it is known which are alike.
constexpr std::size_t few_vehicles = 8;

// Which procedures fit a vehicle: what they ask of it is mostly the same.
class Fitting {
public:
    explicit Fitting(const linked::Linked& linked) : linked_(linked) {
        std::map<std::string, std::size_t> numbers;
        for (const linked::Procedure& each : linked.procedures) {
            std::string asks;
            if (each.source->fits)
                for (const auto& condition : each.source->fits->value) {
                    asks += condition.key.name + ':';
                    for (const auto& value : condition.value) asks += value.name + ',';
                }
            const auto [at, fresh] = numbers.try_emplace(std::move(asks), first_.size());
            if (fresh) first_.push_back(each.id);
            of_.push_back(at->second);
        }
    }

    std::vector<ProcedureId> those_for(const linked::Vehicle& vehicle) const {
        std::vector<char> met;
        for (const ProcedureId first : first_) {
            const auto& fits = linked_.procedures[first.index()].source->fits;
            met.push_back(!fits || fitted::meets(vehicle, fits->value) ? 1 : 0);
        }
        std::vector<ProcedureId> those;
        for (std::size_t i = 0; i < of_.size(); ++i)
            if (met[of_[i]] != 0) those.emplace_back(i);
        return those;
    }

private:
    const linked::Linked& linked_;
    std::vector<ProcedureId> first_; // of each sort of `fits`
    std::vector<std::size_t> of_;    // by procedure: which sort
};

// The vehicles on which something is wrong.
std::vector<VehicleId> faulty_vehicles(const linked::Linked& linked, bool proves) {
    fitted::ShopFitter fitter(linked);
    fitted::Alike alike(linked);
    const Fitting fitting(linked);
    std::vector<VehicleId> faulty;
    for (const linked::Vehicle& vehicle : linked.vehicles) {
        bool all_good = true;
        bool looked_at = false;
        const auto look_at = [&] {
            fitted::Looks looks(linked);
            looked_at = true;
            return std::pair(fitter.look_at(vehicle.id, looks), looks);
        };
        if (const auto known = alike.verdict({}, vehicle.id)) {
            all_good = *known;
        } else {
            const auto [good, looks] = look_at();
            alike.remember({}, vehicle.id, looks, good);
            all_good = good;
        }
        for (const ProcedureId procedure : fitting.those_for(vehicle)) {
            if (const auto known = alike.verdict(procedure, vehicle.id)) {
                all_good = all_good && *known;
                continue;
            }
            if (!looked_at) (void)look_at();
            fitted::Looks looks(linked);
            bool good = true;
            const fitted::Fitted alone = fitter.alone(procedure, looks, good);
            messages::Messages said;
            if (proves) proof::prove_procedures(alone, 0, said);
            good = good && said.all().empty();
            alike.remember(procedure, vehicle.id, looks, good);
            all_good = all_good && good;
        }
        if (!all_good) faulty.push_back(vehicle.id);
    }
    return faulty;
}

} // namespace

void prove_shop(const linked::Linked& linked, bool proves, Vehicles vehicles, messages::Messages& messages) {
    std::vector<VehicleId> wholes;
    if (linked.vehicles.empty())
        wholes.emplace_back();
    else if (vehicles == Vehicles::alike && linked.vehicles.size() > few_vehicles)
        wholes = faulty_vehicles(linked, proves);
    else
        for (const linked::Vehicle& each : linked.vehicles) wholes.push_back(each.id);
    fitted::ShopFitter fitter(linked);
    fitter.find_unfitted(messages);
    for (const VehicleId vehicle : wholes) {
        const fitted::Fitted whole = fitter.whole(vehicle, messages);
        if (proves) proof::prove_procedures(whole, 0, messages);
    }
}

} // namespace benchleaf::driver
