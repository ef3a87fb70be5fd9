#include "fitted/fit.h"

#include "model/verbs.h"

namespace benchleaf::fitted {

namespace {

class Writer {
public:
    Writer(const Fitted& fitted, const Fit& fit) : linked_(*fitted.linked), fit_(fit) {}

    std::string text;

    void all() {
        line(0, "fit " +
                    (fit_.vehicle.known() ? linked_.vehicles[fit_.vehicle.index()].source->id.value
                                          : std::string("without a vehicle")) +
                    (fit_.job.known() ? " job " + linked_.jobs[fit_.job.index()].source->id.value : ""));
        for (const Axis& axis : fit_.axes) {
            if (!axis.values.empty()) line(1, "axis " + axis.name + ':' + joined(axis.values));
        }
        for (const Item& item : fit_.items) {
            if (!item.present) continue;
            std::string what = "item " + item.is.id;
            for (std::uint32_t i = 0; i < item.instances; ++i) {
                const AxisValue value = fit_.instances[item.first_instance + i].value;
                if (value != no_value) what += ' ' + value_name(item.is.axis, value);
            }
            line(1, what);
        }
        for (const Procedure& procedure : fit_.procedures) {
            line(1, "procedure " + procedure.source->source->id.value);
            for (const linked::Entering& entering : procedure.starts_with)
                line(2, "starts-with " + name(entering.item));
            for (const Section& section : procedure.sections) {
                line(2, std::string("section") +
                            (section.bound ? " for each " + fit_.axes[procedure.axis.index()].name : " once"));
                axis_ = procedure.axis;
                rows(3, section.rows);
            }
            for (const linked::Entering& entering : procedure.ends_with) line(2, "ends-with " + name(entering.item));
        }
        for (const ProcedureIndex index : fit_.sequence) {
            line(1, "then " + (index.known() ? fit_.procedures[index.index()].source->source->id.value : "?"));
        }
    }

private:
    void line(std::size_t depth, const std::string& what) { text += std::string(depth * 2, ' ') + what + '\n'; }

    static std::string joined(const std::vector<std::string>& words) {
        std::string all;
        for (const std::string& word : words) all += ' ' + word;
        return all;
    }
    std::string value_name(linked::AxisId axis, AxisValue value) const {
        if (!axis.known() || value >= fit_.axes[axis.index()].values.size()) return "?";
        return fit_.axes[axis.index()].values[value];
    }
    std::string name(ItemId id) const { return id.known() ? fit_.items[id.index()].is.id : "?"; }

    void rows(std::size_t depth, const Rows& all) {
        for (const Row& row : all) one(depth, row);
    }
    void branch(std::size_t depth, const std::string& key, const Rows& all) {
        if (all.empty()) return;
        line(depth, key);
        rows(depth + 1, all);
    }

    static std::string kind(const Row& row) {
        switch (row.kind) {
        case RowKind::hole:
            return "hole";
        case RowKind::verb:
            return std::string(model::verb(row.verb).word);
        case RowKind::plain:
            return "plain";
        case RowKind::question:
            return "question";
        case RowKind::if_answered:
            return "if-answered";
        case RowKind::repeat:
            return "repeat";
        case RowKind::stop:
            return "stop";
        }
        return "?";
    }

    void one(std::size_t depth, const Row& row) {
        std::string what = (row.id.known() ? std::to_string(row.id.index()) : "?") + ' ' + kind(row);
        for (const Target& target : row.targets) {
            what += ' ' + name(target.item);
            for (const AxisValue value : target.values)
                what += '.' + value_name(fit_.items[target.item.index()].is.axis, value);
            const auto& places = fit_.items[target.item.index()].is.places;
            if (target.place != 0 && target.place < places.size()) what += '=' + places[target.place].name;
        }
        if (row.calls.known()) what += ' ' + fit_.procedures[row.calls.index()].source->source->id.value;
        if (row.kind == RowKind::repeat) what += " at most " + std::to_string(row.at_most);
        for (const linked::StepId id : row.inspections) what += " #" + std::to_string(id.index());
        for (const linked::Answer& answer : row.answers) {
            what += " #" + std::to_string(answer.question.index()) + (answer.yes ? "=yes" : "=no");
        }
        if (!row.only.empty()) {
            what += " only";
            for (const AxisValue value : row.only) what += ' ' + value_name(axis_, value);
        }
        if (row.answer_used) what += " used later";
        line(depth, what);
        for (const Target& target : row.targets) {
            if (!target.torque) continue;
            static constexpr const char* levels[] = {"job", "vehicle", "procedure", "catalogue"};
            line(depth + 1, "torque " + name(target.item) + ": " +
                                units::print(target.torque->value, {true, '.', true}) + " from " +
                                levels[static_cast<std::size_t>(target.torque->from)] +
                                (target.torque->source.empty() ? "" : ", " + target.torque->source));
        }
        for (const LimitUse& use : row.limits) limit(depth + 1, use);
        branch(depth + 1, row.kind == RowKind::if_answered ? "steps" : "if-so", row.if_so);
        branch(depth + 1, "if-not", row.if_not);
        branch(depth + 1, "rows", row.body);
        branch(depth + 1, "else", row.otherwise);
    }

    void limit(std::size_t depth, const LimitUse& use) {
        const model::Limit& figures = use.figure.figures;
        std::string what = "limit " + linked_.limits[use.figure.limit.index()].id + " \"" + use.figure.name + "\":";
        const units::PrintOptions plain{true, '.', true};
        if (figures.new_size) what += " new " + units::print(figures.new_size->value.quantity, plain);
        if (figures.minimum) what += " minimum " + units::print(figures.minimum->value.quantity, plain);
        if (figures.maximum) what += " maximum " + units::print(figures.maximum->value.quantity, plain);
        if (figures.within) what += " within " + units::print(figures.within->value.range, plain);
        if (figures.difference && figures.difference->value.maximum) {
            what += " difference " + units::print(figures.difference->value.maximum->value.quantity, plain);
        }
        line(depth, what);
    }

    const linked::Linked& linked_;
    const Fit& fit_;
    linked::AxisId axis_;
};

} // namespace

std::string dump(const Fitted& fitted) {
    std::string text;
    for (const Fit& fit : fitted.fits) {
        Writer writer(fitted, fit);
        writer.all();
        text += writer.text;
    }
    return text;
}

} // namespace benchleaf::fitted
