#include "driver/archived.h"

#include "model/read.h"
#include "syntax/syntax.h"

#include <algorithm>
#include <set>

namespace benchleaf::driver {

namespace {

base::Result<base::Done> give_back_text(const Archive& archive, source::FileId file, source::Sources& sources) {
    if (!sources.file(file).forgotten) return base::Done{};
    auto bytes = archive.read(sources.file(file).path);
    if (!bytes) return bytes.failure();
    sources.recall(file, std::string(syntax::without_byte_order_mark(bytes.value())));
    return base::Done{};
}

} // namespace

void keep_head(model::Record& record, source::Sources& sources) {
    model::Record head;
    head.id = std::move(record.id);
    head.job = std::move(record.job);
    head.identity = std::move(record.identity);
    head.meter = std::move(record.meter);
    head.date = std::move(record.date);
    head.corrects = std::move(record.corrects);
    head.continues = std::move(record.continues);
    record = std::move(head);
    sources.forget(record.id.span.file);
}

base::Result<base::Done> give_back_for_jobs(const Archive& archive, const history::Owners& owners, model::Model& model,
                                            source::Sources& sources) {
    std::set<const model::Record*> wanted;
    for (const model::Job& job : model.jobs)
        if (job.identity)
            for (const model::Record* each :
                 history::told_of(owners, history::all_numbers(owners, job.identity->value)))
                wanted.insert(each);
    if (wanted.empty()) return base::Done{};
    for (model::Record& record : model.records) {
        const source::FileId file = record.id.span.file;
        if (!wanted.contains(&record) || !sources.file(file).forgotten) continue;
        if (auto text = give_back_text(archive, file, sources); !text) return text;
        messages::Messages said; // nothing was to be said
        const syntax::Syntax syntax = syntax::parse(sources, file, said);
        model::Model read;
        model::read(syntax, sources, read, said);
        if (read.records.size() != 1 || read.records.front().id.value != record.id.value)
            return base::Failure{sources.file(file).path + " was changed while it was read"};
        record = std::move(read.records.front());
    }
    return base::Done{};
}

void give_back_for_messages(const Archive& archive, const messages::Messages& messages, source::Sources& sources) {
    for (const messages::Message& message : messages.all())
        for (const messages::Label& label : message.labels)
            if (label.span.known())
                (void)give_back_text(archive, label.span.file, sources); // else it has no line to show
}

} // namespace benchleaf::driver
