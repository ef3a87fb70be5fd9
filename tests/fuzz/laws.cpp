#include "fuzz/laws.h"

#include "base/text.h"
#include "cases/case.h"
#include "fixes/fixes.h"
#include "messages/render.h"
#include "syntax/syntax.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <nlohmann/json.hpp>

namespace benchleaf::fuzz {

namespace {

constexpr std::string_view separator = "#== file: ";

bool between_characters(std::string_view text, std::size_t at) {
    return at == text.size() || (static_cast<unsigned char>(text[at]) & 0xC0U) != 0x80U;
}

void hold_span(source::Span span, const source::Sources& sources, bool whole) {
    law(span.file.index() < sources.size(), "a place lies in a file that there is");
    const source::File& file = sources.file(span.file);
    law(span.begin <= span.end, "a place begins before it ends", file.path);
    law(span.end <= file.text.size(), "a place lies in its file", file.path);
    // In a file of broken letters there is no edge.
    if (whole)
        law(between_characters(file.text, span.begin) && between_characters(file.text, span.end),
            "a place begins and ends between two characters", file.text.substr(span.begin, span.end - span.begin));
}

bool is_yaml(const std::string& path, std::string text) {
    source::Sources sources;
    messages::Messages said;
    (void)syntax::parse(sources, sources.add(path, std::move(text)), said);
    return !said.any_error();
}

} // namespace

void broken(std::string_view law, std::string_view shown) {
    std::fprintf(stderr, "\nthis does not hold: %.*s\n%.*s\n", static_cast<int>(law.size()), law.data(),
                 static_cast<int>(std::min<std::size_t>(shown.size(), 4000)), shown.data());
    std::abort();
}

void is_text_for_a_terminal(std::string_view text, std::string_view what) {
    law(!base::first_bad_utf8(text), what, text);
    law(std::none_of(text.begin(), text.end(),
                     [](char c) { return (static_cast<unsigned char>(c) < 0x20 && c != '\n') || c == 0x7F; }),
        what, text);
}

void is_json(std::string_view text, std::string_view what) {
    law(!nlohmann::json::parse(text, nullptr, false).is_discarded(), what, text);
}

void hold_messages(const messages::Messages& messages, const source::Sources& sources) {
    std::vector<bool> whole;
    for (std::size_t i = 0; i < sources.size(); ++i)
        whole.push_back(!base::first_bad_utf8(sources.file(source::FileId(i)).text));
    for (const messages::Message& each : messages.all()) {
        law(each.rule != nullptr && !each.text.empty(), "a message has a rule and a sentence");
        for (const messages::Label& label : each.labels)
            if (label.span.known()) hold_span(label.span, sources, whole[label.span.file.index()]);
        for (const source::Span also : each.also)
            if (also.known()) hold_span(also, sources, whole[also.file.index()]);
        for (const messages::Fix& fix : each.fixes) {
            law(!fix.edits.empty(), "a fix has edits", fix.title);
            for (const messages::Edit& edit : fix.edits) hold_span(edit.span, sources, whole[edit.span.file.index()]);
        }
    }
    const std::string shown = messages::render_human(messages, sources, {false, 60});
    is_text_for_a_terminal(shown, "messages for a person are text for a terminal");
    is_text_for_a_terminal(messages::render_gnu(messages, sources), "messages of a line each are text for a terminal");
    const std::string json = messages::render_json(messages, sources);
    is_json(json, "messages as JSON parse");
    // SARIF tells every check that there is, so it is printed now and then; which messages it is printed of, they themselves say.
    if (!now_and_then(shown, 16)) return;
    is_json(messages::render_sarif(messages, sources, "0.1.0"), "messages as SARIF parse");
    law(shown == messages::render_human(messages, sources, {false, 60}) &&
            json == messages::render_json(messages, sources),
        "messages that are printed twice are the same");
}

bool now_and_then(std::string_view input, std::size_t one_in) {
    return std::hash<std::string_view>{}(input) % one_in == 0;
}

void fixes_do_not_break(const messages::Messages& messages, const source::Sources& sources) {
    constexpr std::size_t most = 20; // each reads the file anew
    std::size_t tried = 0;
    for (const messages::Message& each : messages.all())
        for (const messages::Fix& fix : each.fixes) {
            if (++tried > most) return;
            const source::FileId id = fix.edits.front().span.file;
            if (std::any_of(fix.edits.begin(), fix.edits.end(), [id](const messages::Edit& edit) {
                    return edit.span.file != id || edit.puts != messages::Puts::text;
                }))
                continue; // of several files; or not settled yet, which sort_and_unite does
            const source::File& file = sources.file(id);
            const fixes::Applied made = fixes::apply(std::span(&fix, 1), id, file.text);
            law(made.applied == 1, "a fix that is offered can be made", fix.title);
            law(made.text != file.text, "a fix changes something", fix.title);
            if (base::first_bad_utf8(file.text)) continue;
            law(!base::first_bad_utf8(made.text), "a fix leaves a file in UTF-8", fix.title);
            law(patched(file.text, fixes::unified_diff("x.yaml", file.text, made.text)) == made.text,
                "the difference that is shown is the one that is made", fix.title);
            if (is_yaml(file.path, std::string(file.text)))
                law(is_yaml(file.path, made.text), "a fix leaves a file that can be read",
                    std::string(each.rule->name) + ": " + fix.title + "\n" + made.text);
        }
}

Files files_in(std::string_view input) {
    Files files;
    std::string path;
    std::string text;
    bool any = false;
    const auto put = [&] {
        if (!any && text.empty()) return;
        if (!any) path = cases::path_for(text);
        files[path] = text;
    };
    while (!input.empty()) {
        const std::size_t end = std::min(input.find('\n'), input.size() - 1) + 1;
        const std::string_view line = input.substr(0, end);
        input.remove_prefix(end);
        if (!line.starts_with(separator)) {
            text += line;
            continue;
        }
        put();
        any = true;
        text.clear();
        path = base::trimmed(line.substr(separator.size()));
    }
    put();
    return files;
}

std::string in_one(const Files& files) {
    std::string to;
    for (const auto& [path, text] : files) {
        if (!to.empty() && !to.ends_with('\n')) to += '\n';
        to += std::string(separator) + path + "\n" + text;
    }
    return to;
}

std::string patched(std::string_view before, std::string_view diff) {
    if (diff.empty()) return std::string(before);
    const auto lines_of = [](std::string_view text) {
        std::vector<std::string_view> lines; // each with its end
        while (!text.empty()) {
            const std::size_t end = std::min(text.find('\n'), text.size() - 1) + 1;
            lines.push_back(text.substr(0, end));
            text.remove_prefix(end);
        }
        return lines;
    };
    const std::vector<std::string_view> old = lines_of(before);
    const std::vector<std::string_view> all = lines_of(diff);
    std::string to;
    std::size_t at = 0;
    for (std::size_t i = 2; i < all.size(); ++i) { // behind the two names
        const std::string_view line = all[i];
        if (line.starts_with("@@")) {
            // "@@ -12,3 +12,4 @@"; of no lines the number is that of the line before
            char* end = nullptr;
            const std::string numbers(line.substr(4));
            std::size_t first = std::strtoul(numbers.c_str(), &end, 10);
            const bool none = std::string_view(end).starts_with(",0");
            first -= none || first == 0 ? 0 : 1;
            if (first < at || first > old.size()) return {};
            for (; at < first; ++at) to += old[at];
            continue;
        }
        if (line.starts_with('\\')) continue; // no line feed at the end of the line before
        const bool bare = i + 1 < all.size() && all[i + 1].starts_with('\\');
        std::string_view own = line.substr(1);
        if (bare) own.remove_suffix(1);
        if (line.front() == '+') {
            to += own;
            continue;
        }
        if (at >= old.size() || old[at] != own) return {};
        if (line.front() == ' ') to += own;
        ++at;
    }
    for (; at < old.size(); ++at) to += old[at];
    return to;
}

} // namespace benchleaf::fuzz
