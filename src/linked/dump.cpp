#include "linked/link.h"

#include "linked/names.h"
#include "model/verbs.h"

namespace benchleaf::linked {

namespace {

class Writer {
public:
    explicit Writer(const Linked& linked) : linked_(linked) {}

    std::string text;

    std::string name(ItemId id) const { return id.known() ? full(linked_.items[id.index()]) : "?"; }
    std::string name(LimitId id) const { return id.known() ? full(linked_.limits[id.index()]) : "?"; }
    std::string name(ConsumableId id) const { return id.known() ? full(linked_.consumables[id.index()]) : "?"; }
    std::string name(ToolId id) const { return id.known() ? full(linked_.tools[id.index()]) : "?"; }
    std::string name(CautionId id) const { return id.known() ? full(linked_.cautions[id.index()]) : "?"; }
    std::string name(CatalogueId id) const { return id.known() ? linked_.catalogues[id.index()].id : "?"; }
    std::string name(ProcedureId id) const {
        return id.known() ? linked_.procedures[id.index()].source->id.value : "?";
    }
    std::string name(AxisId id) const { return id.known() ? linked_.axes[id.index()].name : "?"; }

    void line(std::size_t depth, const std::string& what) { text += std::string(depth * 2, ' ') + what + '\n'; }

    template <class Ids>
    void list(std::size_t depth, std::string_view key, const Ids& ids) {
        if (ids.empty()) return;
        std::string what(key);
        what += ':';
        for (const auto id : ids) what += ' ' + name(id);
        line(depth, what);
    }
    template <class Id>
    void one(std::size_t depth, std::string_view key, Id id) {
        if (id.known()) line(depth, std::string(key) + ": " + name(id));
    }

    void item(std::size_t depth, const Item& item) {
        std::string head(sort_word(item.sort));
        if (item.sort == Sort::clip) head = "clip";
        line(depth, head + ' ' + full(item) + " \"" + item.name + "\"" +
                        (item.count != 1 ? " x" + std::to_string(item.count) : "") +
                        (item.critical ? " critical" : "") + (item.rests_anywhere ? " rests anywhere" : ""));
        ++depth;
        one(depth, "each", item.axis);
        std::string places = "places:";
        for (const PlaceName& place : item.places) places += ' ' + place.name;
        line(depth, places);
        for (const PlaceName& place : item.places) list(depth, "frees " + place.name, place.frees);
        list(depth, "held-by", item.held_by);
        list(depth, "holds", item.holds);
        list(depth, "behind", item.behind);
        one(depth, "inside", item.inside);
        list(depth, "covers", item.covers);
        one(depth, "circuit", item.circuit);
        list(depth, "moves", item.moves);
        one(depth, "opens", item.opens);
        one(depth, "vents", item.vents);
        list(depth, "openers", item.openers);
        list(depth, "vented-by", item.vented_by);
        one(depth, "locks", item.locks);
        list(depth, "locked-by", item.locked_by);
        list(depth, "renew-together", item.renew_together);
        list(depth, "renew-with", item.renew_with);
        list(depth, "disturbs", item.disturbs);
        list(depth, "disturbed-by", item.disturbed_by);
        list(depth, "after", item.after);
        list(depth, "proved-by", item.proved_by);
        one(depth, "threadlock", item.threadlock);
        one(depth, "lubricant", item.lubricant);
        one(depth, "fluid", item.fluid);
        needs(depth, "needs", item.needs);
        for (const While& each : item.whiles)
            needs(depth, "while " + std::string(model::verb(each.verb).word), each.needs);
        list(depth, "needed-by", item.needed_by);
        list(depth, "cautions", item.cautions);
    }

    void needs(std::size_t depth, const std::string& key, const std::vector<Need>& needs) {
        if (needs.empty()) return;
        std::string what = key + ':';
        for (const Need& need : needs) what += ' ' + name(need.item) + '=' + place(need.item, need.place);
        line(depth, what);
    }

    std::string place(ItemId id, Place place) const {
        if (!id.known()) return "?";
        const Item& item = linked_.items[id.index()];
        return place < item.places.size() ? item.places[place].name : "?";
    }

    void steps(std::size_t depth, const Steps& steps) {
        for (const Step& each : steps) step(depth, each);
    }

    void step(std::size_t depth, const Step& step) {
        std::string what = (step.id.known() ? std::to_string(step.id.index()) : "?") + ' ';
        switch (step.kind) {
        case StepKind::hole:
            what += "hole";
            break;
        case StepKind::verb:
            what += model::verb(step.verb).word;
            break;
        case StepKind::plain:
            what += "plain";
            break;
        case StepKind::ask:
            what += "ask";
            break;
        case StepKind::decide:
            what += "decide";
            break;
        case StepKind::if_answered:
            what += "if-answered";
            break;
        case StepKind::again:
            what += "again";
            break;
        case StepKind::stop:
            what += "stop";
            break;
        }
        for (const Target& target : step.targets) {
            if (target.item.known()) {
                what += ' ' + name(target.item);
                if (target.place_span.known()) what += '=' + place(target.item, target.place);
            } else if (target.limit.known()) {
                what += ' ' + name(target.limit);
            }
        }
        if (step.consumable.known()) what += ' ' + name(step.consumable);
        if (step.procedure.known()) what += ' ' + name(step.procedure);
        for (const Basis& basis : step.basis) {
            what += ' ' + (basis.limit.known() ? name(basis.limit) : '#' + std::to_string(basis.inspection.index()));
        }
        for (const Answer& answer : step.answers) {
            what += " #" + std::to_string(answer.question.index()) + (answer.yes ? "=yes" : "=no");
        }
        if (step.from.known()) what += " from #" + std::to_string(step.from.index());
        line(depth, what);
        ++depth;
        list(depth, "to", step.to);
        list(depth, "with tools", step.with_tools);
        list(depth, "with consumables", step.with_consumables);
        one(depth, "for", step.wait_for);
        list(depth, "tools", step.tools);
        list(depth, "cautions", step.cautions);
        for (const Only& only : step.only) {
            std::string narrowed = "only " + name(only.axis) + ':';
            for (const std::string& value : only.values) narrowed += ' ' + value;
            line(depth, narrowed);
        }
        for (const Mention& mention : step.mentions)
            line(depth, "says {" + mention.written + "}: " + name(mention.item));
        for (const PictureMark& mark : step.marks)
            line(depth, "points at " + (mark.item.known() ? name(mark.item) : '"' + mark.words + '"'));
        branch(depth, "if-so", step.if_so);
        branch(depth, "if-not", step.if_not);
        branch(depth, "steps", step.steps);
        branch(depth, "else", step.otherwise);
    }

    void branch(std::size_t depth, const std::string& key, const Steps& list) {
        if (list.empty()) return;
        line(depth, key);
        steps(depth + 1, list);
    }

    void contract(std::size_t depth, const std::string& key, const std::vector<Entering>& entries) {
        for (const Entering& entry : entries) {
            std::string what = key + ' ' + name(entry.item);
            if (entry.has_place) what += '=' + place(entry.item, entry.place);
            for (std::size_t i = 0; i < model::debt_count; ++i) {
                const auto debt = static_cast<model::Debt>(i);
                if ((entry.owes & model::bit(debt)) != 0) what += " owes " + std::string(model::word(debt));
            }
            line(depth, what);
        }
    }

    void figures(std::size_t depth, const std::vector<Torque>& torques, const std::vector<LimitDifference>& limits) {
        for (const Torque& torque : torques) {
            line(depth,
                 "torque " + name(torque.fastener) +
                     (torque.figures.value ? ' ' + units::print(torque.figures.value->value, {true, '.', true}) : ""));
        }
        for (const LimitDifference& limit : limits) line(depth, "limit " + name(limit.limit));
    }

    void all() {
        for (const Axis& axis : linked_.axes) {
            std::string what = "axis " + axis.name + ':';
            for (const std::string& value : axis.values) what += ' ' + value;
            line(0, what);
        }
        for (const Catalogue& catalogue : linked_.catalogues) {
            line(0, "catalogue " + catalogue.id);
            list(1, "uses", catalogue.uses);
            figures(1, catalogue.torques, {});
        }
        for (const Item& each : linked_.items) item(0, each);
        for (const Limit& limit : linked_.limits) {
            line(0, "limit " + full(limit));
            list(1, "of", limit.of);
            one(1, "difference over", limit.difference_over);
            list(1, "proves", limit.proves);
            list(1, "cautions", limit.cautions);
        }
        for (const Consumable& each : linked_.consumables) {
            line(0, "consumable " + full(each) + " \"" + each.name + '"');
            list(1, "cautions", each.cautions);
            std::vector<ConsumableId> enemies;
            for (const Consumable::Enemy& enemy : each.never_mix_with) enemies.push_back(enemy.consumable);
            list(1, "never mix with", enemies);
        }
        for (const Tool& each : linked_.tools) {
            line(0, "tool " + full(each) + " \"" + each.name + '"');
            list(1, "cautions", each.cautions);
        }
        for (const Caution& each : linked_.cautions) line(0, "caution " + full(each));
        for (const Procedure& procedure : linked_.procedures) {
            line(0, "procedure " + name(procedure.id));
            one(1, "each", procedure.each);
            list(1, "uses", procedure.uses);
            list(1, "cautions", procedure.cautions);
            figures(1, procedure.torques, procedure.limits);
            contract(1, "starts-with", procedure.starts_with);
            for (const Section& section : procedure.sections) {
                line(1, "section" +
                            (section.source == nullptr ? std::string() : " \"" + section.source->section->value + '"') +
                            (section.once ? " once" : ""));
                steps(2, section.steps);
            }
            contract(1, "ends-with", procedure.ends_with);
        }
        for (const Vehicle& vehicle : linked_.vehicles) {
            line(0, "vehicle " + vehicle.source->id.value);
            for (const auto& [id, values] : vehicle.axes) {
                std::string what = "axis " + name(id) + ':';
                for (const std::string& value : values) what += ' ' + value;
                line(1, what);
            }
            for (const Vehicle::Narrowed& only : vehicle.only) {
                std::string what = "only " + name(only.item) + ' ' + name(only.axis) + ':';
                for (const std::string& value : only.values) what += ' ' + value;
                line(1, what);
            }
            list(1, "cautions", vehicle.cautions);
            figures(1, vehicle.torques, vehicle.limits);
            for (const auto& [id, each] : vehicle.items) item(1, each);
        }
        for (const Job& job : linked_.jobs) {
            line(0, "job " + job.source->id.value);
            if (job.vehicle.known()) line(1, "vehicle " + linked_.vehicles[job.vehicle.index()].source->id.value);
            for (const auto& [id, span] : job.procedures) line(1, "do " + name(id));
            figures(1, job.torques, job.limits);
        }
    }

private:
    template <class T>
    std::string full(const T& thing) const {
        return name(thing.catalogue) + '/' + thing.id;
    }

    const Linked& linked_;
};

} // namespace

std::string dump(const Linked& linked) {
    Writer writer(linked);
    writer.all();
    return std::move(writer.text);
}

} // namespace benchleaf::linked
