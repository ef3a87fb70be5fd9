#include "driver/allow.h"

namespace benchleaf::driver {

namespace {

bool span_lies_in(source::Span inner, source::Span outer) {
    return inner.known() && outer.known() && inner.file == outer.file && inner.begin >= outer.begin &&
           inner.end <= outer.end;
}

// The lists of steps inside a step.
std::vector<const model::Steps*> below(const model::Step& step) {
    std::vector<const model::Steps*> lists;
    for (const auto* given : {&step.if_so, &step.if_not, &step.steps})
        if (*given) lists.push_back(&(*given)->value);
    if (step.again && step.again->value.otherwise) lists.push_back(&step.again->value.otherwise->value);
    return lists;
}

void collect(const model::Steps& steps, std::vector<Allow>& to) { // as deep as the reader lets steps lie in each other
    for (const model::Step& step : steps) {
        if (step.allow)
            for (const auto& entry : step.allow->value) to.push_back({&step, entry.key.name, entry.key.span, false});
        for (const model::Steps* list : below(step)) collect(*list, to);
    }
}

bool in_own_lines(source::Span at, const model::Step& step) {
    if (!span_lies_in(at, step.span)) return false;
    for (const model::Steps* list : below(step))
        for (const model::Step& inner : *list)
            if (span_lies_in(at, inner.span)) return false;
    return true;
}

bool allowed(const messages::Message& message, std::vector<Allow>& allows) {
    if (message.rule->level == messages::Level::error || message.labels.empty()) return false;
    bool found = false;
    for (Allow& each : allows) {
        if (message.rule->name != each.check || !in_own_lines(message.labels.front().span, *each.step)) continue;
        each.used = true;
        found = true;
    }
    return found;
}

} // namespace

std::vector<Allow> allows_of(const model::Model& model) {
    std::vector<Allow> allows;
    for (const model::Procedure& procedure : model.procedures)
        if (procedure.steps) collect(procedure.steps->value, allows);
    return allows;
}

messages::Messages without_allowed(const messages::Messages& all, std::vector<Allow>& allows) {
    messages::Messages left;
    for (const messages::Message& message : all.all())
        if (!allowed(message, allows)) left.add(message);
    return left;
}

} // namespace benchleaf::driver
