#include "bench/grow.h"

#include "driver/records.h"

#include <algorithm>
#include <fmt/format.h>
#include <map>
#include <set>
#include <vector>
#include <yaml-cpp/yaml.h>

namespace benchleaf::bench {

namespace {

using Names = std::map<std::string, std::string, std::less<>>;

bool of_a_name(char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
}

// Each whole name of the text that is among them.
std::string renamed(std::string_view text, const Names& names) {
    std::string to;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t end = at;
        while (end < text.size() && of_a_name(text[end])) ++end;
        if (end == at) {
            to += text[at++];
            continue;
        }
        const auto found = names.find(text.substr(at, end - at));
        to += found == names.end() ? text.substr(at, end - at) : std::string_view(found->second);
        at = end;
    }
    return to;
}

// Applies `change` to each line that begins with `head`.
std::string lines_changed(const std::string& text, std::string_view head,
                          const std::function<std::string(std::string_view)>& change) {
    std::string to;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        const std::string_view line(text.data() + at, end - at);
        to += line.starts_with(head) ? change(line) : std::string(line);
        to += '\n';
        at = end + 1;
    }
    return to;
}

// What the catalogues are for all vehicles alike.
bool is_common(std::string_view catalogue) {
    return catalogue == "lifting" || catalogue == "workshop";
}

struct Demo {
    std::map<std::string, std::string> catalogues, procedures, vehicles, jobs; // by name
    std::map<std::string, std::string> folders;                                // of a procedure: "brakes"
    std::string shop;
    std::map<std::string, std::string> entries; // of the catalogues that are not common: to their catalogue
};

Demo taken_apart(const driver::Files& files) {
    Demo demo;
    for (const auto& [path, text] : files) {
        const YAML::Node file = path.ends_with(".yaml") ? YAML::Load(text) : YAML::Node();
        const auto named = [&](const char* key) { return file[key].as<std::string>(); };
        if (path.starts_with("approvals/") || !file.IsMap()) continue;
        if (path == "shop.yaml") demo.shop = text;
        if (file["catalogue"]) {
            demo.catalogues[named("catalogue")] = text;
            if (is_common(named("catalogue"))) continue;
            for (const auto& section : file)
                if (section.second.IsMap())
                    for (const auto& entry : section.second)
                        demo.entries[entry.first.as<std::string>()] = named("catalogue");
        } else if (file["job"] && file["do"]) {
            demo.jobs[named("job")] = text;
        } else if (file["procedure"]) {
            demo.procedures[named("procedure")] = text;
            demo.folders[named("procedure")] = path.substr(0, path.find('/'));
        } else if (file["vehicle"]) {
            demo.vehicles[named("vehicle")] = text;
        }
    }
    return demo;
}

// The names of one family, and of one of its sets of procedures.
struct Renaming {
    const Demo& demo;
    std::size_t family;

    std::string of_family(const std::string& catalogue) const {
        return is_common(catalogue) ? catalogue : fmt::format("{}-f{}", catalogue, family);
    }
    Names catalogues() const {
        Names names;
        for (const auto& [name, text] : demo.catalogues) names[name] = of_family(name);
        return names;
    }
    Names procedures(std::size_t set) const {
        Names names;
        for (const auto& [name, text] : demo.procedures) names[name] = fmt::format("{}-f{}-s{}", name, family, set);
        return names;
    }
    // "  drain-plug: …" → "  engine-f3/drain-plug: …", which no other family has.
    std::string entries_qualified(const std::string& text) const {
        bool figures = false;
        return lines_changed(text, "", [&](std::string_view line) {
            if (!line.starts_with(' ')) figures = line == "torques:" || line == "limits:" || line == "items:";
            if (!figures || !line.starts_with("  ")) return std::string(line);
            const std::size_t colon = line.find(':');
            const auto entry = colon == std::string_view::npos
                                   ? demo.entries.end()
                                   : demo.entries.find(std::string(line.substr(2, colon - 2)));
            if (entry == demo.entries.end()) return std::string(line);
            return fmt::format("  {}/{}", of_family(entry->second), line.substr(2));
        });
    }
    std::string conditions_narrowed(std::string text) const {
        for (const std::string_view head : {"only-on: { ", "fits: { "})
            for (std::size_t at = text.find(head); at != std::string::npos; at = text.find(head, at + 1))
                text.insert(at + head.size(), fmt::format("family: f{}, ", family));
        return text;
    }
};

std::string date_of(std::size_t day) { // of years of 360 days, all of them real ones
    return fmt::format("{}-{:02}-{:02}", 2015 + day / 336, day / 28 % 12 + 1, day % 28 + 1);
}

} // namespace

std::string grown_job(std::size_t number) {
    return fmt::format("job-{:05}", number);
}

void grow(const driver::Files& files, const Size& size, const Emit& emit) {
    const Demo demo = taken_apart(files);
    emit("shop.yaml", demo.shop);
    const std::size_t own = static_cast<std::size_t>(std::count_if(demo.catalogues.begin(), demo.catalogues.end(),
                                                                   [](const auto& c) { return !is_common(c.first); }));
    const std::size_t common = demo.catalogues.size() - own;
    const std::size_t families = std::max<std::size_t>(1, (size.catalogues - std::min(common, size.catalogues)) / own);
    const auto each_of = [&](std::size_t all, std::size_t in_demo) {
        return std::max<std::size_t>(1, (all + families * in_demo - 1) / (families * in_demo));
    };
    const std::size_t sets = each_of(size.procedures, demo.procedures.size());
    const std::size_t copies = each_of(size.vehicles, demo.vehicles.size());
    for (const auto& [name, text] : demo.catalogues)
        if (is_common(name)) emit(fmt::format("catalogue/{}.yaml", name), text);

    for (std::size_t family = 0; family < families; ++family) {
        const Renaming names{demo, family};
        const Names catalogues = names.catalogues();
        for (const auto& [name, text] : demo.catalogues) {
            if (is_common(name)) continue;
            std::string made = names.conditions_narrowed(text);
            for (const std::string_view head : {"uses:", "catalogue:"})
                made = lines_changed(made, head, [&](std::string_view line) { return renamed(line, catalogues); });
            emit(fmt::format("catalogue/{}.yaml", names.of_family(name)), made);
        }
        for (std::size_t set = 0; set < sets; ++set) {
            const Names procedures = names.procedures(set);
            for (const auto& [name, text] : demo.procedures) {
                std::string made = renamed(names.conditions_narrowed(text), procedures);
                made = lines_changed(made, "uses:", [&](std::string_view line) { return renamed(line, catalogues); });
                emit(fmt::format("{}/{}.yaml", demo.folders.at(name), procedures.at(name)), made);
            }
        }
        for (std::size_t copy = 0; copy < copies; ++copy)
            for (const auto& [name, text] : demo.vehicles) {
                const std::string own_name = fmt::format("{}-f{}-v{}", name, family, copy);
                std::string made = renamed(names.entries_qualified(text), {{name, own_name}});
                made = lines_changed(
                    made, "name:", [&](std::string_view line) { return fmt::format("{} {}/{}", line, family, copy); });
                made.insert(made.find("has:\n") + 5, fmt::format("  family: f{}\n", family));
                emit(fmt::format("vehicles/{}.yaml", own_name), made);
            }
    }

    std::size_t number = 0;
    while (number < size.jobs)
        for (const auto& [name, text] : demo.jobs) {
            if (number == size.jobs) break;
            const Renaming names{demo, number % families};
            Names all = names.procedures(number / families % sets);
            all[name] = grown_job(number);
            for (const auto& [vehicle, of] : demo.vehicles)
                all[vehicle] = fmt::format("{}-f{}-v{}", vehicle, number % families, number / families % copies);
            std::string made = renamed(names.entries_qualified(text), all);
            made = lines_changed(made, "identity:", [&](std::string_view) {
                return fmt::format("identity: {{ frame: JF-{:05} }}", number);
            });
            emit(fmt::format("jobs/{}.yaml", grown_job(number)), made);
            ++number;
        }

    // Ten visits a vehicle, of the last years.
    constexpr std::size_t visits = 10;
    for (std::size_t i = 0; i < size.records; ++i) {
        const std::size_t frame = i / visits;
        const std::size_t visit = i % visits;
        const std::string job = fmt::format("past-{:06}", i);
        const std::string name = fmt::format("ostrel-haul-300-f{}-v{}", frame % families, frame / families % copies);
        std::string text =
            fmt::format("record: {0}\njob: {0}\nvehicle: {1}\nname: Ostrel Haul 300\n"
                        "identity: {{ registration: TR {2}, frame: RF-{2:06} }}\nmeter: {3} km\ndate: {4}\n"
                        "next-service: {5} km\noutcome: finished\ncards:\n",
                        job, name, frame, 2000 + 4000 * visit + frame % 1000, date_of(visit * 336 + frame % 300),
                        6000 + 4000 * visit + frame % 1000);
        text += fmt::format(
            "  - card: front-disc-service-f{0}-s0\n    title: Front disc brake – pads and guides\n    revision: 3\n"
            "    digest: e01c09aaf8c38666\n    readings:\n",
            frame % families);
        for (const std::string_view pad : {"inner-pad", "outer-pad"})
            for (const std::string_view side : {"left", "right"})
                text += fmt::format(
                    "      - {{ step: 9, limit: pad-thickness, of: {}, at: {}, read: {}.{} mm, minimum: 2.0 mm, "
                    "uncertainty: 0.1 mm, keep: 2.4 mm, verdict: within }}\n",
                    pad, side, 7 - visit / 3, (frame + visit) % 10);
        text += "    done-by: AB\n";
        emit(fmt::format("records/rf-{:06}/{}.yaml", frame, job), driver::sealed(std::move(text)));
    }
}

} // namespace benchleaf::bench
