// Procedures that do procedures: rings are reported and cut, and so is what lies too deep, so that whoever follows a
// `do` after this comes to an end.
#include "linked/linker.h"

#include <algorithm>

namespace benchleaf::linked {

namespace {

void gather(Steps& steps, std::vector<Step*>& calls) {
    for (Step& step : steps) {
        if (step.procedure.known()) calls.push_back(&step);
        gather(step.if_so, calls);
        gather(step.if_not, calls);
        gather(step.steps, calls);
        gather(step.otherwise, calls);
    }
}

void cut(Step& step) {
    step.procedure = ProcedureId();
    step.kind = StepKind::hole;
}

Span called_at(const Step& step) {
    return step.targets.empty() ? step.source->span : step.targets.front().span;
}

} // namespace

void Linker::cut_cycles_of_do() {
    const std::size_t count = linked.procedures.size();
    std::vector<std::vector<Step*>> calls(count);
    for (Procedure& procedure : linked.procedures) {
        for (Section& section : procedure.sections) gather(section.steps, calls[procedure.id.index()]);
    }

    enum class Mark : std::uint8_t { fresh, open, done };
    std::vector<Mark> marks(count, Mark::fresh);
    std::vector<std::size_t> depth(count, 1);
    struct Frame {
        std::size_t procedure;
        std::size_t next = 0;
    };
    for (std::size_t start = 0; start < count; ++start) {
        if (marks[start] != Mark::fresh) continue;
        std::vector<Frame> stack{{start}};
        marks[start] = Mark::open;
        while (!stack.empty()) {
            Frame& frame = stack.back();
            const std::size_t here = frame.procedure;
            if (frame.next == calls[here].size()) {
                marks[here] = Mark::done;
                stack.pop_back();
                continue;
            }
            Step& call = *calls[here][frame.next];
            const std::size_t called = call.procedure.index();
            if (marks[called] == Mark::fresh) {
                marks[called] = Mark::open;
                stack.push_back({called}); // and this call is looked at again when that one is done
                continue;
            }
            ++frame.next;
            if (marks[called] == Mark::open) {
                std::vector<std::pair<std::string, Span>> ring;
                const auto first =
                    std::find_if(stack.begin(), stack.end(), [&](const Frame& f) { return f.procedure == called; });
                for (auto each = first; each != stack.end(); ++each) {
                    // The one on top has moved on already.
                    const std::size_t at = std::next(each) == stack.end() ? each->next - 1 : each->next;
                    ring.emplace_back(model.procedures[each->procedure].id.value,
                                      called_at(*calls[each->procedure][at]));
                }
                report_cycle_of_do(out, ring);
                cut(call);
            } else if (depth[called] + 1 > most_do_depth) {
                report_do_too_deep(out, called_at(call), model.procedures[called].id.value, depth[called] + 1,
                                   most_do_depth);
                cut(call);
            } else {
                depth[here] = std::max(depth[here], depth[called] + 1);
            }
        }
    }
}

} // namespace benchleaf::linked
