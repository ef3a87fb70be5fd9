#include "messages/render.h"

#include <algorithm>
#include <nlohmann/json.hpp>

namespace benchleaf::messages {

namespace {

using Json = nlohmann::ordered_json;

// A URI reference (RFC 3986): a path relative to the shop, its bytes that cannot stand there in per cent.
std::string uri_of(std::string_view path) {
    constexpr std::string_view plain = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~/";
    constexpr std::string_view digits = "0123456789ABCDEF";
    std::string uri;
    for (const char c : path) {
        const auto byte = static_cast<unsigned char>(c);
        if (plain.find(c) != std::string_view::npos)
            uri += c;
        else
            (uri += '%') += {digits[byte >> 4U], digits[byte & 15U]};
    }
    return uri;
}

Json region(source::Span span, const source::Sources& sources) {
    const auto begin = sources.position(span.file, span.begin);
    const auto end = sources.position(span.file, span.end);
    return {{"startLine", begin.line}, {"startColumn", begin.column}, {"endLine", end.line}, {"endColumn", end.column}};
}

Json artifact(source::Span span, const source::Sources& sources) {
    return {{"uri", uri_of(sources.file(span.file).path)}, {"uriBaseId", "SHOP"}};
}

Json location(source::Span span, const source::Sources& sources) {
    return {{"physicalLocation", {{"artifactLocation", artifact(span, sources)}, {"region", region(span, sources)}}}};
}

Json fix_of(const Fix& fix, const source::Sources& sources) {
    Json changes = Json::array();
    for (const Edit& edit : fix.edits) {
        Json replaced = {{"deletedRegion", region(edit.span, sources)}, {"insertedContent", {{"text", edit.text}}}};
        const std::string uri = uri_of(sources.file(edit.span.file).path);
        const auto same = std::find_if(changes.begin(), changes.end(),
                                       [&uri](const Json& each) { return each["artifactLocation"]["uri"] == uri; });
        if (same != changes.end())
            (*same)["replacements"].push_back(std::move(replaced));
        else
            changes.push_back({{"artifactLocation", artifact(edit.span, sources)},
                               {"replacements", Json::array({std::move(replaced)})}});
    }
    return {{"description", {{"text", fix.title}}}, {"artifactChanges", std::move(changes)}};
}

} // namespace

std::string render_sarif(const Messages& messages, const source::Sources& sources, std::string_view version) {
    std::vector<const Rule*> rules;
    Json results = Json::array();
    for (const Message& message : messages.all()) {
        auto rule = std::find(rules.begin(), rules.end(), message.rule);
        if (rule == rules.end()) rule = rules.insert(rules.end(), message.rule);
        const std::string help = help_of(message);
        Json result = {{"ruleId", message.rule->name},
                       {"ruleIndex", rule - rules.begin()},
                       {"level", name_of(message.rule->level)},
                       {"message", {{"text", help.empty() ? message.text : message.text + ". " + help}}}};
        Json related = Json::array();
        for (std::size_t i = 0; i < message.labels.size(); ++i) {
            const Label& label = message.labels[i];
            if (!label.span.known()) continue;
            Json place = location(label.span, sources);
            if (!label.text.empty()) place["message"] = {{"text", label.text}};
            if (i == 0)
                result["locations"] = Json::array({std::move(place)});
            else
                related.push_back(std::move(place));
        }
        for (const source::Span& span : message.also) related.push_back(location(span, sources));
        if (!related.empty()) result["relatedLocations"] = std::move(related);
        Json fixes = Json::array();
        for (const Fix& fix : message.fixes)
            if (!fix.to_try && !fix.edits.empty()) fixes.push_back(fix_of(fix, sources));
        if (!fixes.empty()) result["fixes"] = std::move(fixes);
        results.push_back(std::move(result));
    }
    Json declared = Json::array();
    for (const Rule* rule : rules)
        declared.push_back({{"id", rule->name},
                            {"shortDescription", {{"text", rule->summary}}},
                            {"defaultConfiguration", {{"level", name_of(rule->level)}}}});
    const Json log = {
        {"$schema", "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"},
        {"version", "2.1.0"},
        {"runs",
         Json::array(
             {{{"tool", {{"driver", {{"name", "benchleaf"}, {"version", version}, {"rules", std::move(declared)}}}}},
               {"columnKind", "unicodeCodePoints"},
               {"results", std::move(results)}}})}};
    return log.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace benchleaf::messages
