#include "driver/archived.h"

#include "driver/records.h"
#include "history/history.h"
#include "messages/message.h"
#include "model/read.h"
#include "source/source.h"
#include "syntax/syntax.h"

#include <fmt/format.h>

namespace benchleaf::driver {

namespace {

// No name has a blank in it, so that no folder is taken for one.
reach::Mark mark_of_folder(std::string_view folder) {
    return reach::mark_of(reach::mark_of("in folder"), folder);
}

std::string_view folder_of_path(std::string_view path) {
    return path.substr(0, path.rfind('/') + 1);
}

template <class Identity>
void tell(const Identity& identity, std::vector<reach::Mark>& to) {
    for (const auto& number : identity) {
        to.push_back(reach::mark_of_number(number.key.name, number.value.value));
        to.push_back(mark_of_folder(fmt::format("records/{}/", history::folder_of({number}))));
    }
}

} // namespace

Head read_head(const std::string& path, std::string_view bytes) {
    Head head;
    if (!path.ends_with(".yaml")) return head;
    source::Sources sources;
    messages::Messages said;
    model::Model model;
    const std::string_view text = syntax::without_byte_order_mark(bytes);
    const syntax::Syntax syntax = syntax::parse(sources, sources.lend(path, text), said);
    model::read(syntax, sources, model, said);
    if (model.records.size() != 1) return head;
    const model::Record& record = model.records.front();
    head.told = reach::told_by(record);
    head.plain = said.all().empty() && record.identity && record.date && seal_holds(text) &&
                 folder_of_path(path) == fmt::format("records/{}/", history::folder_of(record.identity->value));
    return head;
}

void Heads::add(const std::string& path, const Head& head) {
    if (!head.plain) odd_.push_back(static_cast<std::uint32_t>(size()));
    marks_.insert(marks_.end(), head.told.begin(), head.told.end());
    marks_.push_back(mark_of_folder(folder_of_path(path)));
    begins_.push_back(static_cast<std::uint32_t>(marks_.size()));
}

reach::Tells Heads::told(std::size_t i) const {
    return std::span(marks_).subspan(begins_[i], begins_[i + 1] - begins_[i] - 1);
}

std::vector<std::size_t> Heads::wanted(const model::Model& model) const {
    std::vector<reach::Tells> all;
    all.reserve(size());
    for (std::size_t i = 0; i < size(); ++i)
        all.push_back(std::span(marks_).subspan(begins_[i], begins_[i + 1] - begins_[i]));
    std::vector<reach::Mark> of;
    for (const std::uint32_t i : odd_) of.insert(of.end(), all[i].begin(), all[i].end());
    for (const model::Job& job : model.jobs)
        if (job.identity) tell(job.identity->value, of);
    for (const model::Record& record : model.records) // of other folders, or mended in memory
        if (record.identity) tell(record.identity->value, of);
    return reach::belonging(all, of);
}

} // namespace benchleaf::driver
