// `where`: where a name is declared and where it is used, each with the line that it stands in.
#include "driver/commands.h"
#include "driver/names.h"
#include "driver/pipeline.h"
#include "driver/say.h"

#include "base/text.h"
#include "linked/names.h"
#include "messages/render.h"

#include <algorithm>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace benchleaf::driver {

namespace {

using Json = nlohmann::ordered_json;

struct Declared {
    std::string name;      // "guide-bolt"
    std::string catalogue; // of an entry
    std::string_view kind; // "fastener"
    std::string called;    // as printed: "guide bolt"; may be empty
    source::Span at;
    std::vector<source::Span> uses; // by file and place
};

class Index {
public:
    explicit Index(const linked::Linked& linked) : linked_(linked) {
        for (const auto& each : linked.items) entry(each, linked::sort_word(each.sort), each.name);
        for (const auto& each : linked.limits)
            entry(each, "limit", each.figures.name ? each.figures.name->value : std::string());
        for (const auto& each : linked.consumables) entry(each, "consumable", each.name);
        for (const auto& each : linked.tools) entry(each, "tool", each.name);
        for (const auto& each : linked.cautions) entry(each, "caution", each.hazard);
        for (const auto& each : linked.catalogues) all_.push_back({each.id, "", "catalogue", "", each.declared, {}});
        for (const auto& each : linked.procedures)
            file(each, "procedure", each.source->title ? each.source->title->value : std::string());
        for (const auto& each : linked.vehicles)
            file(each, "vehicle", each.source->name ? each.source->name->value : std::string());
        for (const auto& each : linked.jobs) file(each, "job", "");
    }

    std::vector<Declared> called(std::string_view name) const {
        const std::size_t slash = name.find('/');
        std::vector<Declared> found;
        for (const Declared& each : all_) {
            const bool is = slash == std::string_view::npos
                                ? each.name == name
                                : each.catalogue == name.substr(0, slash) && each.name == name.substr(slash + 1);
            if (!is) continue;
            found.push_back(each);
            for (const linked::Use& use : linked_.uses)
                if (use.declared == each.at) found.back().uses.push_back(use.at);
            auto& uses = found.back().uses;
            std::sort(uses.begin(), uses.end(), [](source::Span a, source::Span b) {
                return std::pair(a.file.index(), a.begin) < std::pair(b.file.index(), b.begin);
            });
            uses.erase(std::unique(uses.begin(), uses.end()), uses.end());
        }
        return found;
    }

    const std::vector<Declared>& all() const { return all_; }

    std::vector<std::string_view> names() const {
        std::vector<std::string_view> all;
        for (const Declared& each : all_) all.push_back(each.name);
        return all;
    }

private:
    template <class Entry>
    void entry(const Entry& each, std::string_view kind, const std::string& name) {
        const std::string catalogue =
            each.catalogue.known() ? linked_.catalogues[each.catalogue.index()].id : std::string();
        all_.push_back({each.id, catalogue, kind, name, each.declared, {}});
    }
    template <class File>
    void file(const File& each, std::string_view kind, const std::string& name) {
        all_.push_back({each.source->id.value, "", kind, name, each.source->id.span, {}});
    }

    const linked::Linked& linked_;
    std::vector<Declared> all_;
};

std::string place(source::Span span, const source::Sources& sources) {
    const auto at = sources.position(span.file, span.begin);
    return fmt::format("{}:{}:{}", sources.file(span.file).path, at.line, at.column);
}

std::string line_of(source::Span span, const source::Sources& sources) {
    return std::string(base::trimmed(sources.line(span.file, sources.position(span.file, span.begin).line)));
}

std::string as_text(const std::vector<Declared>& found, const source::Sources& sources) {
    std::string to;
    for (const Declared& each : found) {
        to += fmt::format("{}{}{}: {}{}\n", to.empty() ? "" : "\n", each.catalogue.empty() ? "" : each.catalogue + "/",
                          each.name, each.kind, each.called.empty() ? "" : ", “" + each.called + "”");
        std::size_t wide = place(each.at, sources).size();
        for (const source::Span& use : each.uses) wide = std::max(wide, place(use, sources).size());
        to += fmt::format("  declared  {:<{}}  {}\n", place(each.at, sources), wide, line_of(each.at, sources));
        for (const source::Span& use : each.uses)
            to += fmt::format("  used      {:<{}}  {}\n", place(use, sources), wide, line_of(use, sources));
        if (each.uses.empty()) to += "  used      nowhere\n";
    }
    return to;
}

Json place_in_json(source::Span span, const source::Sources& sources) {
    const auto begin = sources.position(span.file, span.begin);
    const auto end = sources.position(span.file, span.end);
    return {{"file", sources.file(span.file).path},
            {"line", begin.line},
            {"column", begin.column},
            {"end", {{"line", end.line}, {"column", end.column}}}};
}

std::string as_json(const std::vector<Declared>& found, const source::Sources& sources) {
    Json all = Json::array();
    for (const Declared& each : found) {
        Json one = {{"name", each.name}, {"kind", each.kind}};
        if (!each.catalogue.empty()) one["catalogue"] = each.catalogue;
        if (!each.called.empty()) one["called"] = each.called;
        one["declared"] = place_in_json(each.at, sources);
        one["used"] = Json::array();
        for (const source::Span& use : each.uses) one["used"].push_back(place_in_json(use, sources));
        all.push_back(std::move(one));
    }
    return all.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace

std::vector<Name> declared_names(const linked::Linked& linked) {
    std::vector<Name> names;
    const Index index(linked);
    for (const Declared& each : index.all())
        names.push_back(
            {each.name, fmt::format("{}{}{}", each.kind, each.catalogue.empty() ? "" : " in ", each.catalogue)});
    return names;
}

int where(const WhereArguments& arguments, const Global& global, Terminal& terminal) {
    int status = clean;
    const auto read = open_shop(global, "", terminal, status);
    if (!read) return status;
    const auto shop = link_shop(read->files, Stage::linked);
    const Index index(shop->linked);
    const std::vector<Declared> found = index.called(arguments.name);
    if (found.empty()) {
        const std::string_view near = base::nearest(arguments.name, index.names());
        return usage_error(terminal, near.empty()
                                         ? fmt::format("nothing in the shop is called `{}`", arguments.name)
                                         : fmt::format("nothing in the shop is called `{}`; did you mean `{}`?",
                                                       arguments.name, near));
    }
    const std::string text = as_text(found, shop->sources);
    terminal.result(arguments.json                 ? as_json(found, shop->sources)
                    : terminal.results_on_screen() ? messages::for_screen(text)
                                                   : text);
    // What could not be read is not among it.
    if (shop->messages.any_error())
        terminal.say(
            "benchleaf: the shop has errors, so some uses may be missing here; `benchleaf check` says which\n");
    return clean;
}

} // namespace benchleaf::driver
