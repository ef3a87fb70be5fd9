#include "linked/look_over.h"
#include "proof/machine.h"

namespace benchleaf::proof {

namespace {

// What follows such an error may be wrong because of it.
bool leaves_hole(const Finding& finding) {
    return is_error(finding) && !finding.blamed.empty();
}

} // namespace

std::vector<Object> Machine::objects(const Row& row) const {
    std::vector<Object> all;
    const linked::ConsumableId consumable = row.step != nullptr ? row.step->consumable : linked::ConsumableId();
    for (const fitted::Target& target : row.targets)
        all.push_back({target.item, target.place, consumable, target.span, &target.values});
    if (row.verb == model::VerbName::measure) {
        for (const fitted::LimitUse& use : row.limits) {
            if (!use.figure.limit.known()) continue;
            for (const ItemId proved : linked_.limits[use.figure.limit.index()].proves)
                all.push_back({proved, 0, {}, use.span, nullptr});
        }
    }
    return all;
}

void Machine::judge_step(const Row& row) {
    if (row.step == nullptr) return;
    const std::size_t found_before = findings_.size();
    Moment now = moment(head_span(row));
    now.at = air_slot_;
    now.row = &row;
    for (const model::Demand demand : model::step_demands())
        for (const Check* check : by_demand_[static_cast<std::size_t>(demand)]) check->judge(now, *check);
    take_blame(found_before);
}

void Machine::now_on(InstanceId at, const Row& row, std::uint64_t bits) {
    if (bits == 0) return;
    set(at, ways_.changed(ways_.given(raw(at), path_), [&](const Standing& before) {
        Standing after = before;
        after.on |= bits;
        after.coated = &row;
        return after;
    }));
}

void Machine::leave_step(const Row& row, std::span<const model::Effect> effects, const Binding& binding) {
    if (row.step == nullptr) return;
    for (const Effect effect : effects) {
        if (effect == Effect::leave_vapour) {
            const auto fumes = [&](linked::ConsumableId which) {
                if (substances_.flammable(which)) now_on(air_slot_, row, substances_.bit(which));
            };
            fumes(row.step->consumable);
            for (const linked::ConsumableId with : row.step->with_consumables) fumes(with);
        } else if (effect == Effect::air_out) {
            const auto& verb = row.step->source->verb;
            if (!verb || !verb->time) continue;
            const std::uint64_t gone = substances_.cleared_by(verb->time->value.quantity);
            if (gone == 0) continue;
            set(air_slot_, ways_.changed(ways_.given(raw(air_slot_), path_), [&](const Standing& before) {
                Standing after = before;
                after.on &= ~gone;
                return after;
            }));
        } else if (effect == Effect::locker_sets) {
            let_lockers_set(row);
        } else if (effect == Effect::settle) {
            let_fluids_settle(row);
        } else if (effect == Effect::new_reading) {
            for (const fitted::LimitUse& use : row.limits) read_anew(decisions_.on(use.figure.limit), binding);
            take_readings(row, binding);
            read_anew(decisions_.on(row.step), binding);
        } else if (effect == Effect::new_state) {
            for (const fitted::Target& target : row.targets) read_anew(decisions_.of(target.item), binding);
        }
    }
}

void Machine::let_fluids_settle(const Row& row) {
    const auto& verb = row.step->source->verb;
    if (!verb || !verb->time) return;
    for (const ItemId circuit : settling_) {
        const auto& takes = fit_.items[circuit.index()].is.circuit_of.settles_in;
        if (units::compare(verb->time->value.quantity, takes->value.quantity) < 0) continue;
        for (const InstanceId at : instances(circuit, {}, nullptr))
            set(at, ways_.changed(ways_.given(raw(at), path_), [](const Standing& before) {
                Standing after = before;
                after.on &= ~unsettled;
                return after;
            }));
    }
}

// Whoever starts the engine pumps the oil up, and whoever stops it lets it run back: into a state that the circuit asks for and that is not
// how the vehicle stands anyway, or out of it.
void Machine::stir_by(const Row& row, const Object& object, InstanceId at) {
    const linked::Item& setting = fit_.items[object.item.index()].is;
    for (const ItemId circuit : settling_) {
        const linked::Item& is = fit_.items[circuit.index()].is;
        std::set<linked::Place> stirring;
        const auto asks = [&](const std::vector<linked::Need>& needs) {
            for (const linked::Need& need : needs)
                if (need.item == object.item && (need.place != 0 || setting.rests_anywhere))
                    stirring.insert(need.place);
        };
        asks(is.needs);
        for (const linked::While& each : is.whiles)
            if (each.verb == model::VerbName::circulate || each.verb == model::VerbName::level) asks(each.needs);
        if (stirring.empty()) continue;
        const bool into = stirring.contains(object.place);
        const Way from = ways_.so(ways_.given(raw(at), path_),
                                  [&](const Standing& s) { return into || stirring.contains(s.place); });
        if (from == Ways::ended) continue;
        const Way elsewhere = ways_.so(ways_.given(raw(at), path_),
                                       [&](const Standing& s) { return !into && !stirring.contains(s.place); });
        for (const InstanceId who : beside(circuit, object.item, fit_.instances[at.index()].value)) {
            const Way before = ways_.given(raw(who), path_);
            const Way stirred = ways_.changed(before, [&](const Standing& s) {
                Standing after = s;
                after.on |= unsettled;
                after.coated = &row;
                return after;
            });
            set(who, ways_.join(ways_.where(stirred, from), ways_.where(before, elsewhere),
                                [](const Standing& a, const Standing&) { return a; }));
        }
    }
}

void Machine::work(const Row& row, const Binding& binding) {
    read_.clear();
    for (const fitted::LimitUse& use : row.limits)
        for (std::size_t i = 0; i < use.of.size(); ++i)
            for (const InstanceId at : instances(use.of[i], binding, i < use.values.size() ? &use.values[i] : nullptr))
                read_.insert(at);
    for (const Object& object : objects(row))
        if (object.item.known() && fit_.items[object.item.index()].present) work_on(row, object, binding);
}

void Machine::work_on(const Row& row, const Object& object, const Binding& binding) {
    const fitted::Item& item = fit_.items[object.item.index()];
    const model::Deed* deed = linked::deed_for(model::verb(row.verb), item.is.sort, object.place);
    if (deed == nullptr) return;
    const std::vector<InstanceId> all = instances(object.item, binding, object.values);
    // All of them are judged before any of them changes: a row does its whole item at once. What was told to stand too late is judged, too, and not told again.
    const std::size_t found_before = findings_.size();
    const bool too_late =
        row.late || (!late_.empty() && (late_.contains({&row, object.item}) || late_.contains({&row, ItemId()})));
    for (const InstanceId at : all) {
        Moment now = moment_at(object.item, at, object.span);
        now.row = &row;
        now.deed = deed;
        now.place = object.place;
        now.worked_at = all;
        now.consumable = object.consumable;
        touched_.insert(at);
        if (!recorders_.empty()) recorders_.back().touched.insert(at);
        const std::size_t first = findings_.size();
        for (const model::Demand demand : deed->demands) {
            const std::size_t before = findings_.size();
            for (const Check* check : by_demand_[static_cast<std::size_t>(demand)]) check->judge(now, *check);
            // What is not where the verb starts from fails other demands for the same reason.
            if (demand == model::Demand::place && findings_.size() > before) break;
        }
        if (std::any_of(findings_.begin() + static_cast<std::ptrdiff_t>(first), findings_.end(), leaves_hole))
            faulty_.insert({&row, at});
    }
    tell_once(found_before);
    if (too_late) // nothing else is to blame for it, and nobody is told that another step is late
        for (std::size_t i = found_before; i < findings_.size(); ++i) {
            findings_[i].late.clear();
            std::erase_if(findings_[i].blamed,
                          [&](const auto& blamed) { return fit_.instances[blamed.first.index()].item != object.item; });
        }
    take_blame(found_before);
    if (too_late) findings_.resize(found_before);
    for (const InstanceId at : all) {
        take_effects(row, *deed, object, at, fit_.instances[at.index()].value);
        if (!too_late) worked(row, at, *deed); // nor is what was read before it an old reading
        turn_thread(row, *deed, object, at);
        if (deed->to == model::Leaves::same) continue;
        const auto last = static_cast<linked::Place>(item.is.places.size() - 1);
        linked::Place to = 0;
        switch (deed->to) {
        case model::Leaves::same:
        case model::Leaves::rest:
            break;
        case model::Leaves::snug:
            to = 1;
            break;
        case model::Leaves::loose:
            to = 2;
            break;
        case model::Leaves::off_place:
            to = last;
            break;
        case model::Leaves::written:
            to = object.place;
            break;
        }
        change(at, [&](const Standing& before) {
            Standing after = before;
            // Where it would have been in by then, what was done to it since is not known.
            after.place =
                too_late && deed->from == model::Starts::off_place && !before.place_known() ? before.place : to;
            after.placed = &row;
            if (item.is.sort == linked::Sort::setting) after.on = 0;
            return after;
        });
    }
}

bool Machine::wipes_with_grease(const Row& row) const {
    const auto& with = row.step->with_consumables;
    return std::any_of(with.begin(), with.end(), [&](linked::ConsumableId which) { return is_greasy(which); });
}

void Machine::take_effects(const Row& row, const model::Deed& deed, const Object& object, InstanceId at,
                           AxisValue value) {
    const linked::Item& item = fit_.items[object.item.index()].is;
    const auto owe = [&](InstanceId who, std::uint64_t bits) {
        if (bits == 0) return;
        change(who, [&](const Standing& before) {
            Standing after = before;
            after.bits |= bits;
            after.indebted = &row;
            return after;
        });
    };
    const auto pay = [&](InstanceId who, std::uint64_t bits) {
        change(who, [&](const Standing& before) {
            Standing after = before;
            after.bits &= ~bits;
            return after;
        });
    };
    // At a vent, what was let in is bled out at that vent; the circuit has not lost its fill.
    const auto owe_proofs = [&](ItemId circuit, AxisValue side, ItemId opener, bool at_vent) {
        if (!circuit.known() || !fit_.items[circuit.index()].present) return;
        const linked::Item& is = fit_.items[circuit.index()].is;
        if (!is.circuit_of.sort) return;
        std::uint64_t bits = 0;
        for (const model::Proof& proof : model::proofs(is.circuit_of.sort->value)) {
            if (proof.debt != Debt::bleed && !(at_vent && proof.debt == Debt::fill)) bits |= model::bit(proof.debt);
        }
        // It is bled at the vent itself, or at those beside what opened it.
        const auto all = model::proofs(is.circuit_of.sort->value);
        const bool bleeds =
            std::any_of(all.begin(), all.end(), [](const model::Proof& each) { return each.debt == Debt::bleed; });
        const bool aired = at_vent && airs_itself(circuit);
        std::uint64_t vents = 0;
        if (bleeds && at_vent && !aired) vents = vent_bit(circuit, at);
        if (bleeds && !at_vent)
            for (const ItemId vent : is.vented_by) {
                if (!vent.known() || !fit_.items[vent.index()].present) continue;
                for (const InstanceId each : beside(vent, opener.known() ? opener : circuit, side))
                    vents |= vent_bit(circuit, each);
            }
        // Where no vent lies beside what opened it, the air goes out at those that there are; where there are none, it stays in.
        const bool bled = bleeds && !at_vent;
        for (const InstanceId who : beside(circuit, opener.known() ? opener : circuit, side)) {
            const std::uint64_t here = vents & all_vents(circuit, who);
            owe(who, bits | (bled && here == 0 ? all_vents(circuit, who) : here));
            if (aired)
                change(who, [&](const Standing& before) {
                    Standing after = before;
                    if (!before.owes(Debt::fill)) after.bits &= ~vent_bit(circuit, at);
                    return after;
                });
        }
    };
    // Where only the hole was opened that it is filled by, or up to.
    const auto owe_looked_in = [&](ItemId circuit, AxisValue side, ItemId cap) {
        if (!fit_.items[circuit.index()].present) return;
        const linked::Item& is = fit_.items[circuit.index()].is;
        if (!is.circuit_of.sort) return;
        std::uint64_t bits = 0;
        for (const model::Proof& proof : model::proofs(is.circuit_of.sort->value))
            if (proof.debt == Debt::level || proof.debt == Debt::leak_check) bits |= model::bit(proof.debt);
        for (const InstanceId who : beside(circuit, cap, side)) owe(who, bits);
    };
    const auto circuit_pays = [&](Debt debt) { pay(at, model::bit(debt)); };
    const auto take_off = [&](std::uint64_t bits) {
        change(at, [&](const Standing& before) {
            Standing after = before;
            after.on &= ~bits;
            return after;
        });
    };

    for (const Effect effect : deed.effects) {
        switch (effect) {
        case Effect::owe_opened:
            if (item.opens.known() && fit_.items[item.opens.index()].is.filled_through(object.item))
                owe_looked_in(item.opens, value, object.item);
            else
                owe_proofs(item.opens, value, object.item, false);
            if (item.vents != item.opens) owe_proofs(item.vents, value, object.item, true);
            break;
        case Effect::owe_all_proofs:
            owe_proofs(object.item, value, {}, false);
            break;
        case Effect::owe_vented: {
            if (!item.vents.known() || !fit_.items[item.vents.index()].present) break;
            const auto& sort = fit_.items[item.vents.index()].is.circuit_of.sort;
            std::uint64_t bits = 0;
            bool after = false;
            if (sort)
                for (const model::Proof& proof : model::proofs(sort->value)) {
                    if (after) bits |= model::bit(proof.debt);
                    after = after || proof.debt == Debt::bleed;
                }
            for (const InstanceId who : beside(item.vents, object.item, value)) owe(who, bits);
            break;
        }
        case Effect::owe_moved:
            if (item.circuit.known() && fit_.items[item.circuit.index()].present) {
                std::uint64_t bits = 0;
                const auto& sort = fit_.items[item.circuit.index()].is.circuit_of.sort;
                if (sort)
                    for (const model::Proof& proof : model::proofs(sort->value))
                        if (proof.debt == Debt::prime || proof.debt == Debt::level) bits |= model::bit(proof.debt);
                for (const InstanceId who : beside(item.circuit, object.item, value)) owe(who, bits);
            }
            break;
        case Effect::disturb: {
            // It would have been so before that was set. Only where one mistake is told once: two machines that tell all agree without.
            if (tells_ == Tells::mistakes && late_.contains({&row, object.item})) break;
            // Everything that has to be set again, and what comes after that.
            std::vector<std::tuple<ItemId, ItemId, AxisValue>> open;
            std::set<InstanceId> seen;
            for (const ItemId adjustment : item.disturbs) open.emplace_back(adjustment, object.item, value);
            while (!open.empty()) {
                const auto [adjustment, by, side] = open.back();
                open.pop_back();
                if (!adjustment.known() || !fit_.items[adjustment.index()].present) continue;
                const linked::Item& is = fit_.items[adjustment.index()].is;
                for (const InstanceId who : beside(adjustment, by, side)) {
                    if (who == at || !seen.insert(who).second) continue;
                    owe(who, model::bit(Debt::adjust) |
                                 all_proof_bits(fit_, linked_, adjustment, fit_.instances[who.index()].value));
                    for (const ItemId next : is.disturbs)
                        open.emplace_back(next, adjustment, fit_.instances[who.index()].value);
                }
            }
            break;
        }
        case Effect::owe_locker:
            if (item.threadlock.known()) owe(at, model::bit(Debt::locker) | model::bit(Debt::degrease));
            break;
        case Effect::owe_lubricant:
            if (item.lubricant.known() && item.fastener.reuse && item.fastener.reuse->value == model::Reuse::never)
                owe(at, model::bit(Debt::lubricant));
            break;
        case Effect::forget_locker:
            pay(at, model::bit(Debt::locker_set));
            break;
        case Effect::pay_locker:
            if (item.threadlock.known() && object.consumable == item.threadlock) pay(at, model::bit(Debt::locker));
            break;
        case Effect::pay_lubricant:
            if (item.lubricant.known() && object.consumable == item.lubricant) pay(at, model::bit(Debt::lubricant));
            break;
        case Effect::pay_degrease: {
            // What is wiped with oil is clean, and no thread for thread-locker.
            if (!wipes_with_grease(row)) pay(at, model::bit(Debt::degrease));
            break;
        }
        case Effect::pay_fill:
            level_anew(row, object.item, at);
            circuit_pays(Debt::fill);
            let_air_out(object.item, at);
            break;
        case Effect::pay_prime:
            circuit_pays(Debt::prime);
            break;
        case Effect::pay_circulate:
            circuit_pays(Debt::circulate);
            break;
        case Effect::pay_level:
            circuit_pays(Debt::level);
            break;
        case Effect::pay_leak_check:
            circuit_pays(Debt::leak_check);
            break;
        case Effect::pay_bleed:
            if (item.vents.known())
                for (const InstanceId who : beside(item.vents, object.item, value)) pay(who, vent_bit(item.vents, at));
            break;
        case Effect::pay_adjust:
            // However it was set before: it is read anew.
            pay(at, model::bit(Debt::adjust));
            owe(at, all_proof_bits(fit_, linked_, object.item, value));
            break;
        case Effect::pay_prove:
            prove_by(row, at);
            break;
        case Effect::torqued:
            break;
        case Effect::wet_dust: {
            const auto wets = [&](linked::ConsumableId which) { return substances_.wets(which); };
            const auto& with = row.step->with_consumables;
            if (wets(object.consumable) || std::any_of(with.begin(), with.end(), wets)) take_off(dry_dust);
            break;
        }
        case Effect::wash_off:
            take_off(~dry_dust);
            // The locker on a thread that lies open goes with the rest.
            // Not by a step that was told to belong before the locker.
            if (item.lubricant.known() && !late_.contains({&row, object.item}) && !wipes_with_grease(row))
                owe(at, model::bit(Debt::lubricant));
            if (item.threadlock.known() && !late_.contains({&row, object.item}))
                change(at, [&](const Standing& before) {
                    Standing after = before;
                    if (before.place + 1U != item.places.size() || before.owes(Debt::locker)) return after;
                    after.bits |= model::bit(Debt::locker);
                    after.indebted = &row;
                    return after;
                });
            break;
        case Effect::as_new:
            take_off(~std::uint64_t{0});
            renew(row, at);
            // A new bolt has its oil on it, and no locker.
            if (item.threadlock.known()) owe(at, model::bit(Debt::locker) | model::bit(Debt::degrease));
            if (item.lubricant.known()) owe(at, model::bit(Debt::lubricant));
            break;
        case Effect::new_if_never_reused: {
            const auto& reuse = item.part.reuse;
            if (reuse && reuse->value == model::Reuse::never) renew(row, at);
            break;
        }
        case Effect::put_on: {
            std::uint64_t bits = 0;
            const auto stays = [&](linked::ConsumableId which) {
                if (substances_.enemies(which) != 0) bits |= substances_.bit(which);
            };
            stays(object.consumable);
            for (const linked::ConsumableId with : row.step->with_consumables) stays(with);
            now_on(at, row, bits);
            break;
        }
        case Effect::fluid_fumes:
            for (const ItemId circuit : {object.item, item.opens, item.vents}) {
                if (!circuit.known()) continue;
                const linked::ConsumableId fluid = fit_.items[circuit.index()].is.fluid;
                if (substances_.flammable(fluid)) now_on(air_slot_, row, substances_.bit(fluid));
            }
            break;
        case Effect::let_out:
            if (item.sort == linked::Sort::part && item.circuit.known() &&
                fit_.items[item.circuit.index()].is.is_open_without_its_parts())
                owe_proofs(item.circuit, value, object.item, false);
            let_out(object.item, at);
            break;
        case Effect::keep_in:
            now_on(at, row, still_in);
            break;
        case Effect::stir:
            if (item.circuit_of.settles_in) now_on(at, row, unsettled);
            break;
        case Effect::stir_by_setting:
            stir_by(row, object, at);
            break;
        case Effect::leave_vapour:
        case Effect::air_out:
        case Effect::settle:
        case Effect::locker_sets:
        case Effect::new_reading:
        case Effect::new_state:
            break; // of the step, not of an item
        }
    }
}

// What is topped up is looked at once more, whatever its level was before. (Where a fill is owed, so is what comes after it.)
void Machine::level_anew(const Row& row, ItemId circuit, InstanceId at) {
    const auto& sort = fit_.items[circuit.index()].is.circuit_of.sort;
    if (!sort) return;
    const auto all = model::proofs(sort->value);
    if (std::none_of(all.begin(), all.end(), [](const model::Proof& each) { return each.debt == Debt::level; })) return;
    change(at, [&](const Standing& before) {
        Standing after = before;
        if ((before.on & still_in) == 0 || before.owes(Debt::fill) || before.owes(Debt::level)) return after;
        after.bits |= model::bit(Debt::level);
        after.indebted = &row;
        return after;
    });
}

void Machine::let_out(ItemId item, InstanceId at) {
    const auto present = [&](ItemId id) -> const linked::Item* {
        return fit_.items[id.index()].present ? &fit_.items[id.index()].is : nullptr;
    };
    for (const ItemId circuit : linked::lets_out(item, fit_.items[item.index()].is, present))
        for (const InstanceId each : beside(circuit, item, fit_.instances[at.index()].value))
            set(each, ways_.changed(ways_.given(raw(each), path_), [](const Standing& before) {
                Standing after = before;
                after.on &= ~still_in;
                return after;
            }));
}

// It is another one: all that is renewed as one with it, and is still the one that came, owes that.
void Machine::renew(const Row& row, InstanceId at) {
    change(at, [](const Standing& before) {
        Standing after = before;
        after.bits &= ~(model::bit(Debt::renew) | model::bit(Debt::as_it_came));
        return after;
    });
    for (const ItemId other : renewed_as_one(fit_, fit_.instances[at.index()].item))
        for (const InstanceId who : instances(other, {}, nullptr))
            change(who, [&](const Standing& before) {
                Standing after = before;
                if ((before.bits & model::bit(Debt::as_it_came)) == 0) return after;
                after.bits |= model::bit(Debt::renew);
                after.indebted = &row;
                return after;
            });
}

// A reading proves an adjustment on those ways on which it is adjusted and all that disturbs it is tight again. On others, it is read while it is
// being set, which proves nothing and does no harm.
void Machine::prove_by(const Row& row, InstanceId at) {
    const ItemId which = fit_.instances[at.index()].item;
    const linked::Item& item = fit_.items[which.index()].is;
    std::uint64_t read_now = 0;
    for (const fitted::LimitUse& use : row.limits)
        read_now |=
            proof_bits_of(fit_, linked_, item, use.figure.limit, [&](InstanceId of) { return read_.contains(of); });
    const auto too_early = [&](const Standing& before) {
        Standing after = before;
        if (before.owes(Debt::prove)) after.coated = &row;
        return after;
    };
    const auto proves = [&](const Standing& before) {
        if (before.owes(Debt::adjust)) return too_early(before);
        Standing after = before;
        after.bits &= ~read_now;
        if ((after.bits & proof_bits) == 0) after.bits &= ~model::bit(Debt::prove);
        return after;
    };
    touched_.insert(at);
    if (!recorders_.empty()) recorders_.back().touched.insert(at);
    const Way before = ways_.given(raw(at), path_);
    const Way read = ways_.changed(before, too_early);
    Way after = ways_.changed(before, proves);
    for (const ItemId adjuster : item.disturbed_by) {
        if (!adjuster.known() || !fit_.items[adjuster.index()].present) continue;
        const linked::Sort sort = fit_.items[adjuster.index()].is.sort;
        if (sort != linked::Sort::fastener && sort != linked::Sort::clip && sort != linked::Sort::part) continue;
        for (const InstanceId each : beside(adjuster, which, fit_.instances[at.index()].value)) {
            const Way stands = ways_.given(raw(each), path_);
            const auto loose = [](const Standing& s) { return s.place_known() && s.place != 0; };
            const Way where_loose = ways_.so(stands, loose);
            if (where_loose == Ways::ended) continue;
            const Way where_tight = ways_.so(stands, [&](const Standing& s) { return !loose(s); });
            after = ways_.join(ways_.where(after, where_tight), ways_.where(read, where_loose),
                               [](const Standing& a, const Standing&) { return a; });
        }
    }
    set(at, after);
}

} // namespace benchleaf::proof
