#include "messages/render.h"

#include <nlohmann/json.hpp>

namespace benchleaf::messages {

namespace {

using Json = nlohmann::ordered_json;

// Lines and columns count from 1, columns in code points; `end` is the place behind the last character.
Json place(source::Span span, const source::Sources& sources) {
    const auto begin = sources.position(span.file, span.begin);
    const auto end = sources.position(span.file, span.end);
    return {{"file", sources.file(span.file).path},
            {"line", begin.line},
            {"column", begin.column},
            {"end", {{"line", end.line}, {"column", end.column}}}};
}

} // namespace

std::string render_json(const Messages& messages, const source::Sources& sources) {
    Json all = Json::array();
    for (const Message& message : messages.all()) {
        Json labels = Json::array();
        for (const Label& label : message.labels) {
            if (!label.span.known()) continue;
            Json entry = place(label.span, sources);
            entry["text"] = label.text;
            labels.push_back(std::move(entry));
        }
        Json fixes = Json::array();
        for (const Fix& fix : message.fixes) {
            if (fix.to_try) continue;
            Json edits = Json::array();
            for (const Edit& edit : fix.edits) {
                Json entry = place(edit.span, sources);
                entry["text"] = edit.text;
                edits.push_back(std::move(entry));
            }
            fixes.push_back({{"title", fix.title}, {"edits", std::move(edits)}});
        }
        all.push_back({{"check", message.rule->name},
                       {"level", name_of(message.rule->level)},
                       {"text", message.text},
                       {"labels", std::move(labels)},
                       {"help", help_of(message)},
                       {"fixes", std::move(fixes)}});
    }
    // A text may quote bytes of a file that are not UTF-8; they are replaced.
    return all.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace benchleaf::messages
