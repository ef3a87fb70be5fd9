#include "linked/look_over.h"
#include "linked/reports.h"

#include <string_view>

namespace benchleaf::linked {

namespace {

void find_tagged_goes_on(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::tagged_goes_on = {
    {"tagged-goes-on", messages::Level::warning, "an answer says not to drive it, and the work goes on to its end"},
    find_tagged_goes_on};

namespace {

// What forbids driving, whatever is hung where; null: nothing. In English.
const source::Spanned<std::string>* forbids(const Step& step) {
    if (step.source == nullptr || step.kind == StepKind::stop) return nullptr;
    static constexpr std::string_view forbidding[] = {
        "do not drive",      "do-not-drive",     "do not ride",      "do-not-ride",    "not be driven",
        "not be ridden",     "not to be driven", "not to be ridden", "must not drive", "not roadworthy",
        "not safe to drive", "unsafe to drive",  "off the road",     "out of service", "not to drive",
        "not to ride",       "nobody drives",    "nobody rides",     "lock it out",    "locked out"};
    for (const auto* text : {&step.source->plain, &step.source->say}) {
        if (!*text) continue;
        const std::string words = base::small_letters((*text)->value);
        if (std::any_of(std::begin(forbidding), std::end(forbidding),
                        [&](std::string_view each) { return words.find(each) != std::string::npos; }))
            return &**text;
    }
    return nullptr;
}

// "Take the do-not-drive tag off."
bool takes_off(const Step& step) {
    const auto* text = forbids(step);
    if (text == nullptr) return false;
    const std::string words = base::small_letters(text->value);
    return words.find(" off") != std::string::npos && words.find("off the road") == std::string::npos;
}

bool ends_work(const Step& step) {
    return step.kind == StepKind::stop || step.kind == StepKind::again || step.kind == StepKind::hole;
}

// `stopped`: the work stops there in any case.
void judge(const Steps& steps, bool in_answer, bool stopped, const Check& self, Messages& out) {
    const bool later = stopped || std::any_of(steps.begin(), steps.end(),
                                              [](const Step& each) { return ends_work(each) || takes_off(each); });
    for (const Step& step : steps) {
        if (const auto* said = in_answer && !later ? forbids(step) : nullptr; said != nullptr) {
            messages::Message& message =
                out.add(self.rule, said->span, "here it is not to be driven, and the work goes on as if it were good");
            message.help = "add `- stop:` with the reason after it, or bring it right and ask once more";
        }
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps}) judge(*below, true, later, self, out);
        judge(step.otherwise, true, later, self, out);
    }
}

void find_tagged_goes_on(const Linked& linked, const Check& self, Messages& out) {
    for (const Procedure& procedure : linked.procedures)
        for (const Section& section : procedure.sections) judge(section.steps, false, false, self, out);
}

} // namespace
} // namespace benchleaf::linked
