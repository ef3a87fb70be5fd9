#include "linked/look_over.h"
#include "linked/reports.h"
#include "model/verbs.h"

#include <algorithm>
#include <set>

namespace benchleaf::linked {

namespace {

void find_once_on_each_side(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::once_on_each_side = {
    {"once-on-each-side", messages::Level::warning,
     "a bolt or a part that is there once is worked on in a section that is worked side by side"},
    find_once_on_each_side};

namespace {

bool brings_elsewhere(model::VerbName verb) {
    using V = model::VerbName;
    return verb == V::remove || verb == V::fit || verb == V::slacken || verb == V::snug || verb == V::torque ||
           verb == V::move;
}

bool sets_what_is_there_once(const Linked& linked, const Steps& steps) {
    bool found = false;
    each_step(steps, [&](const Step& step) {
        for (const Target& target : step.targets)
            found = found || (step.verb == model::VerbName::set && target.item.known() &&
                              !linked.items[target.item.index()].axis.known());
    });
    return found;
}

class WorkedSideBySide {
public:
    WorkedSideBySide(const Linked& linked, const Check& self, Messages& out)
        : linked_(linked), self_(self), out_(out) {}

    // Of one section it is one mistake, told at the first. A section that sets what is there once is told as that, by the proof.
    void judge(const Procedure& procedure, const Section& section) {
        if (!procedure.each.known() || section.once || sets_what_is_there_once(linked_, section.steps)) return;
        axis_ = procedure.each;
        told_ = false;
        look(section.steps);
    }

private:
    void look(const Steps& steps) {
        // What is done before a stop makes safe what is there once, whichever side stopped the work.
        if (std::any_of(steps.begin(), steps.end(), [](const Step& step) { return step.kind == StepKind::stop; }))
            return;
        for (const Step& step : steps) {
            if (told_) return;
            look(step);
            for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise}) look(*below);
        }
    }

    void look(const Step& step) {
        if (step.kind != StepKind::verb || !step.only.empty() || !brings_elsewhere(step.verb)) return;
        for (const Target& target : step.targets) {
            if (!target.item.known() || told_) continue;
            const Item& item = linked_.items[target.item.index()];
            const bool is_bolt_or_part =
                item.sort == Sort::part || item.sort == Sort::fastener || item.sort == Sort::clip;
            if (!is_bolt_or_part || item.axis.known() || item.part.each || item.fastener.each) continue;
            const std::string& along = linked_.axes[axis_.index()].name;
            const std::string where = along == "side" ? "left and right" : "for each `" + along + "`";
            messages::Message& message = out_.add(self_.rule, target.span,
                                                  "the " + item.name + " is there once, and is " +
                                                      std::string(model::verb(step.verb).done) + " here " + where);
            message.labels.push_back({item.declared, "has no `each`"});
            message.help =
                "add `each: " + along + "` to it; if there is really one, put it into a section that is `once: true`";
            told_ = true;
        }
    }

    const Linked& linked_;
    const Check& self_;
    Messages& out_;
    AxisId axis_;
    bool told_ = false;
};

void find_once_on_each_side(const Linked& linked, const Check& self, Messages& out) {
    WorkedSideBySide walk(linked, self, out);
    for (const Procedure& procedure : linked.procedures)
        for (const Section& section : procedure.sections) walk.judge(procedure, section);
}

} // namespace
} // namespace benchleaf::linked
