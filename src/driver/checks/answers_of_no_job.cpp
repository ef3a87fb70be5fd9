#include "driver/check.h"

#include "base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

void find_answers_of_no_job(const Folder& folder, const Check& self, messages::Messages& out) {
    std::vector<std::string_view> jobs;
    for (const model::Job& each : folder.model.jobs) jobs.push_back(each.id.value);
    for (const model::Answers& each : folder.model.answers) {
        const auto& unread = folder.model.unread;
        if (each.id.value.empty() || std::find(jobs.begin(), jobs.end(), each.id.value) != jobs.end() ||
            std::find(unread.begin(), unread.end(), each.id.value) != unread.end())
            continue;
        const std::string_view near = base::nearest(each.id.value, jobs);
        out.add(self.rule, each.id.span,
                fmt::format("there is no job `{}` that these could be the answers of", each.id.value))
            .help = near.empty() ? std::string() : fmt::format("did you mean `{}`?", near);
    }
}

} // namespace

namespace checks {
extern const Check answers_of_no_job;
const Check answers_of_no_job = {
    {"answers-of-no-job", messages::Level::error, "a file of answers for a job that there is not"},
    find_answers_of_no_job};
} // namespace checks

} // namespace benchleaf::driver
