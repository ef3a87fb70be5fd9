// `print`: the booklets of jobs, or blank cards. All bytes of a job are made before the first of them is written.
#include "driver/bindings.h"
#include "driver/commands.h"
#include "driver/damaged.h"
#include "driver/depfile.h"
#include "driver/part.h"
#include "driver/pipeline.h"
#include "driver/say.h"
#include "driver/write_files.h"

#include "labels/labels.h"
#include "linked/names.h"
#include "text/text.h"
#include "json/json.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <functional>
#include <set>

namespace benchleaf::driver {

namespace {

// `2026-0412`, `2026-0412.yaml` and `jobs/2026-0412.yaml` are the same job.
std::string plain_name(const std::string& given) {
    const std::filesystem::path path(given);
    return path.extension() == ".yaml" ? path.stem().string() : given;
}

template <class Things>
std::optional<std::size_t> index_of(const Shopful& shop, const Things& things, std::string_view name) {
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < things.size(); ++i) {
        const auto& id = things[i].source->id;
        if (id.value != name) continue;
        if (linked::named_as_its_file(shop.sources, name, id.span)) return i;
        if (!found) found = i; // whose file is called otherwise, which was told
    }
    return found;
}

template <class Things>
std::vector<std::string_view> names_of(const Things& things) {
    std::vector<std::string_view> names;
    names.reserve(things.size());
    for (const auto& thing : things) names.push_back(thing.source->id.value);
    return names;
}

// The file is there, but so wrong that it gave no job: what is wrong is said, not that there is none.
std::unique_ptr<Work> unreadable_job(const Shopful& shop, const std::string& name) {
    for (std::size_t i = 0; i < shop.sources.size(); ++i) {
        const source::FileId file(i);
        if (shop.sources.file(file).path != fmt::format("jobs/{}.yaml", name)) continue;
        auto work = std::make_unique<Work>();
        work->name = name;
        work->messages = messages_about(shop.messages, concerns_of(shop, {file}));
        if (work->messages.any_error()) return work;
    }
    return nullptr;
}

PrintOptions options_of(const PrintArguments& arguments) {
    PrintOptions options;
    options.approvals = true;
    options.paper = arguments.paper;
    options.language = arguments.language;
    options.bound = arguments.split ? pages::Bound::no : pages::Bound::yes;
    return options;
}

// A job's or a procedure's own files alone, and what was made of them.
struct OfPart {
    std::unique_ptr<Part> part;
    std::unique_ptr<Work> work; // nothing is said of it
};

// What was asked for, each from the files that it needs. None: the shop has to be read whole.
std::vector<OfPart> made_of_parts(const PrintArguments& arguments, const std::string& root) {
    constexpr std::size_t few = 8; // for more it is soon quicker to read the whole once
    std::vector<OfPart> all;
    if (arguments.all || arguments.names.size() > few) return all;
    std::vector<std::string> names;
    for (const std::string& given : arguments.names)
        if (std::string name = plain_name(given); std::find(names.begin(), names.end(), name) == names.end())
            names.push_back(std::move(name));
    const PrintOptions options = options_of(arguments);
    for (const std::string& name : names) {
        const bool blank = !arguments.vehicle.empty();
        const PartOf of{blank ? "" : name, blank ? name : "", blank ? plain_name(arguments.vehicle) : ""};
        OfPart made{read_part(root, of), nullptr};
        if (made.part == nullptr) return {};
        const Shopful& shop = *made.part->shop;
        const auto procedure = index_of(shop, shop.linked.procedures, of.procedure);
        const auto vehicle = index_of(shop, shop.linked.vehicles, of.vehicle);
        made.work = procedure && vehicle
                        ? make_blank(shop, linked::ProcedureId(*procedure), linked::VehicleId(*vehicle), options)
                        : make_job(shop, linked::JobId(std::size_t{0}), options);
        if (!made.work->messages.all().empty()) return {};
        all.push_back(std::move(made));
    }
    return all;
}

// Each is made when it is called, so that a fleet's are never held at once.
using ToMake = std::function<std::unique_ptr<Work>()>;

// What is to be printed; nothing, and `status` set, when the command line asks for what is not there.
std::vector<ToMake> works_of(const PrintArguments& arguments, const Shopful& shop, Terminal& terminal, int& status) {
    const PrintOptions options = options_of(arguments);
    std::vector<ToMake> works;
    if (!arguments.vehicle.empty()) {
        const auto vehicle = index_of(shop, shop.linked.vehicles, plain_name(arguments.vehicle));
        if (!vehicle) {
            status = usage_error(terminal, no_such("vehicle", arguments.vehicle, names_of(shop.linked.vehicles)));
            return works;
        }
        std::vector<std::size_t> procedures;
        for (const std::string& given : arguments.names) {
            const std::string name = plain_name(given);
            const auto procedure = index_of(shop, shop.linked.procedures, name);
            if (!procedure) {
                status = usage_error(terminal, no_such("procedure", name, names_of(shop.linked.procedures)));
                return {};
            }
            if (std::find(procedures.begin(), procedures.end(), *procedure) == procedures.end())
                procedures.push_back(*procedure);
        }
        for (const std::size_t procedure : procedures)
            works.push_back([=, &shop] {
                return make_blank(shop, linked::ProcedureId(procedure), linked::VehicleId(*vehicle), options);
            });
        return works;
    }
    std::vector<std::size_t> jobs;
    if (arguments.all)
        for (std::size_t i = 0; i < shop.linked.jobs.size(); ++i) jobs.push_back(i);
    for (const std::string& given : arguments.names) {
        const std::string name = plain_name(given);
        const auto job = index_of(shop, shop.linked.jobs, name);
        if (!job) {
            if (unreadable_job(shop, name) != nullptr) {
                works.push_back([=, &shop] { return unreadable_job(shop, name); });
                continue;
            }
            const bool procedure = index_of(shop, shop.linked.procedures, name).has_value();
            status = usage_error(terminal, procedure ? fmt::format("`{}` is a procedure: say for which --vehicle", name)
                                                     : no_such("job", given, names_of(shop.linked.jobs)));
            return {};
        }
        if (std::find(jobs.begin(), jobs.end(), *job) == jobs.end()) jobs.push_back(*job);
    }
    for (const std::size_t job : jobs)
        works.push_back([=, &shop] { return make_job(shop, linked::JobId(job), options); });
    return works;
}

// One file of a job, or one text of it for standard output.
struct Leaf {
    std::string stem;
    std::string bytes;
};

std::string in_words(const card::Card& card, Form form) {
    return form == Form::text ? text::print(card) : json::print(card);
}

// A booklet's worth in one; blank cards belong to no booklet.
base::Result<std::vector<Leaf>> bound(Work& work, const std::string& sources, const PrintArguments& arguments) {
    std::string bytes;
    if (arguments.as == Form::pdf) {
        auto painted = booklet_of(work, {!arguments.no_form, sources});
        if (!painted) return painted.failure();
        bytes = std::move(painted.value());
    } else if (arguments.as == Form::text) {
        if (work.cover) bytes = text::print(work.cover->cover);
        for (const PagedCard& each : work.cards) bytes += (bytes.empty() ? "" : "\n") + text::print(each.card);
    } else {
        std::vector<const card::Card*> cards;
        for (const PagedCard& each : work.cards) cards.push_back(&each.card);
        bytes = json::print(work.name, work.cover ? &work.cover->cover : nullptr, cards);
    }
    return std::vector<Leaf>{{work.name, std::move(bytes)}};
}

base::Result<std::vector<Leaf>> apart(const Work& work, const std::string& sources, const PrintArguments& arguments) {
    const Form form = arguments.as;
    const PdfOptions options{!arguments.no_form, sources};
    std::vector<Leaf> leaves;
    if (work.cover) {
        const card::Cover& cover = work.cover->cover;
        std::string bytes = form == Form::text ? text::print(cover) : form == Form::json ? json::print(cover) : "";
        if (form == Form::pdf) {
            auto painted = pdf_of(*work.cover, options);
            if (!painted) return painted.failure();
            bytes = std::move(painted.value());
        }
        leaves.push_back({cover.file_stem, std::move(bytes)});
    }
    for (const PagedCard& each : work.cards) {
        std::string bytes;
        if (form == Form::pdf) {
            auto painted = pdf_of(each, options);
            if (!painted) return painted.failure();
            bytes = std::move(painted.value());
        } else {
            bytes = in_words(each.card, form);
        }
        leaves.push_back({each.card.file_stem, std::move(bytes)});
    }
    return leaves;
}

// A work with all its bytes, and without what they were made of.
struct Made {
    messages::Messages messages;
    std::size_t cards = 0;
    base::Result<std::vector<Leaf>> leaves = std::vector<Leaf>();
    std::vector<std::string> dependencies; // for a depfile
};

Made made_of(Work& work, const Shopful& shop, const Files& files, const PrintArguments& arguments,
             const std::string& root) {
    Made made;
    made.messages = work.messages;
    made.cards = work.cards.size();
    if (work.messages.any_error()) return made;
    const std::string sources = arguments.as == Form::pdf ? sources_of(shop, work, files) : std::string();
    if (!arguments.depfile.empty()) made.dependencies = dependencies_of(root, shop, work);
    const bool booklet = !arguments.split && arguments.vehicle.empty();
    made.leaves = booklet ? bound(work, sources, arguments) : apart(work, sources, arguments);
    return made;
}

bool is_among(const std::string& path, const std::vector<std::string>& others) {
    std::error_code error;
    const auto place = [&error](const std::string& of) {
        return std::filesystem::weakly_canonical(std::filesystem::absolute(of, error), error);
    };
    const std::filesystem::path at = place(path);
    return std::any_of(others.begin(), others.end(), [&](const std::string& other) { return place(other) == at; });
}

// What is made of the works, one after the other, and where it goes: each into its files at once, or, with a depfile, all of them with it in the end; into
// `leaves` for standard output where there is no folder.
class Giver {
public:
    Giver(const PrintArguments& arguments, std::string root, Terminal& terminal)
        : arguments_(arguments), root_(std::move(root)), terminal_(terminal), folder_(arguments.out) {
        if (folder_.empty() && arguments.as == Form::pdf) folder_ = "out";
    }

    base::Result<base::Done> give(Made made) {
        ++works_;
        if (made.messages.any_error()) {
            ++stopped_;
            return base::Done{};
        }
        const Form form = arguments_.as;
        dependencies_.insert(made.dependencies.begin(), made.dependencies.end());
        cards_ += made.cards;
        auto& leaves = made.leaves;
        if (!leaves) return leaves.failure();
        const std::string_view end = form == Form::pdf ? "pdf" : form == Form::text ? "txt" : "json";
        for (Leaf& leaf : leaves.value()) {
            if (folder_.empty())
                leaves_.push_back(std::move(leaf.bytes));
            else
                outputs_.push_back({(std::filesystem::path(folder_) / fmt::format("{}.{}", leaf.stem, end)).string(),
                                    std::move(leaf.bytes)});
        }
        return arguments_.depfile.empty() ? write() : base::Done{};
    }

    // All is given. A file that a build engine takes for made is so with all of the others, or not at all.
    base::Result<base::Done> finish() {
        if (folder_.empty()) show();
        if (arguments_.depfile.empty() || stopped_ > 0) return base::Done{};
        std::vector<std::string> targets;
        for (const Output& output : outputs_) targets.push_back(output.path);
        std::vector<std::string> dependencies(dependencies_.begin(), dependencies_.end());
        if (!arguments_.bindings.empty()) {
            const auto lists = lists_for(root_, arguments_.bindings, dependencies);
            if (!lists) return lists.failure();
            dependencies.insert(dependencies.end(), lists.value().begin(), lists.value().end());
        }
        // It would take the place of what it tells of.
        if (is_among(arguments_.depfile, targets) || is_among(arguments_.depfile, dependencies))
            return base::Failure{
                fmt::format("{} is to be printed, or what is printed is made of it: it cannot be the depfile as well",
                            arguments_.depfile)};
        auto rule = rule_of(targets, dependencies);
        if (!rule) return rule.failure();
        outputs_.push_back({arguments_.depfile, std::move(rule.value())});
        return write();
    }

    std::size_t works() const { return works_; }
    std::size_t stopped() const { return stopped_; }
    std::size_t cards() const { return stopped_ > 0 && !arguments_.depfile.empty() ? 0 : cards_; }

private:
    base::Result<base::Done> write() {
        if (auto written = write_files(outputs_); !written) return written;
        for (const Output& output : outputs_)
            if (output.path != arguments_.depfile) terminal_.result(output.path + "\n");
        outputs_.clear();
        return base::Done{};
    }
    void show();

    const PrintArguments& arguments_;
    std::string root_;
    Terminal& terminal_;
    std::string folder_;
    std::vector<std::string> leaves_; // text and JSON
    std::vector<Output> outputs_;
    std::set<std::string> dependencies_;
    std::size_t works_ = 0;
    std::size_t stopped_ = 0;
    std::size_t cards_ = 0;
};

// On standard output: texts one after the other, JSON always as one array.
void Giver::show() {
    const Form form = arguments_.as;
    std::string to;
    for (const std::string& leaf : leaves_) {
        if (form == Form::json) to += to.empty() ? "[\n" : ",\n";
        if (form == Form::text && !to.empty()) to += "\n";
        std::string_view text = leaf;
        if (form == Form::json)
            while (text.ends_with('\n')) text.remove_suffix(1);
        to += text;
    }
    if (form == Form::json) to += to.empty() ? "[]\n" : "\n]\n";
    terminal_.result(to);
}

// Damaged records of which nothing was said yet: those of vehicles that nothing was asked of.
std::vector<source::FileId> damaged_elsewhere(const Shopful& shop, const messages::Messages& said) {
    std::vector<source::FileId> damaged = damaged_records(shop);
    for (const messages::Message& each : said.all())
        if (!each.labels.empty()) std::erase(damaged, each.labels.front().span.file);
    return damaged;
}

std::string wrong_arguments(const PrintArguments& arguments) {
    if (arguments.all && !arguments.names.empty()) return "--all prints every job: name none beside it";
    if (!arguments.vehicle.empty() && arguments.all) return "--all prints jobs, and a job names its own vehicle";
    if (!arguments.vehicle.empty() && arguments.names.empty()) return "with --vehicle go the names of the procedures";
    if (!arguments.vehicle.empty() && arguments.split)
        return "a blank card always has a file of its own: leave out --split";
    if (arguments.names.empty() && !arguments.all) return "say which jobs are to be printed, or --all";
    if (!arguments.depfile.empty() && arguments.as != Form::pdf && arguments.out.empty())
        return "--depfile tells what files were made of: say with --out into which folder they go";
    if (!arguments.language.empty() && !labels::find(arguments.language)) {
        std::vector<std::string_view> spoken;
        for (const labels::Labels& each : labels::languages()) spoken.push_back(each.language);
        return no_such("language", arguments.language, spoken);
    }
    return "";
}

} // namespace

int print(const PrintArguments& arguments, const Global& global, Terminal& terminal) {
    if (const std::string wrong = wrong_arguments(arguments); !wrong.empty()) return usage_error(terminal, wrong);
    const auto root = shop_folder(global, "", terminal);
    if (!root) return wrong_usage;
    Giver giver(arguments, *root, terminal);
    const std::vector<OfPart> parts = made_of_parts(arguments, *root);
    for (const OfPart& each : parts)
        if (auto given = giver.give(made_of(*each.work, *each.part->shop, each.part->files, arguments, *root)); !given)
            return machine_error(terminal, given.failure());

    messages::Messages all;
    std::unique_ptr<Shopful> shop; // where it had to be read whole
    if (parts.empty()) {
        int status = clean;
        const auto read = open_shop(global, "", terminal, status, Records::in_the_archive);
        if (!read) return status;
        const Threads threads = Threads::asked(arguments.cores);
        shop = link_shop(read->files, Stage::wording, true, false, threads);
        if (shop->failed) return machine_error(terminal, *shop->failed);
        const auto works = works_of(arguments, *shop, terminal, status);
        if (status != clean) return status;
        std::optional<base::Failure> failed;
        in_order(
            works.size(), threads.among(works.size(), jobs_worth_a_thread),
            [&](std::size_t i) { return made_of(*works[i](), *shop, read->files, arguments, *root); },
            [&](std::size_t, Made made) {
                for (const messages::Message& message : made.messages.all()) all.add(message);
                if (auto given = giver.give(std::move(made)); !given) failed = given.failure();
                return !failed;
            });
        if (failed) return machine_error(terminal, *failed);
    }
    if (auto finished = giver.finish(); !finished) return machine_error(terminal, finished.failure());
    if (shop != nullptr) {
        all.sort_and_unite(shop->sources);
        say_messages(terminal, global, all, shop->sources);
    }
    if (!is_for_programs(global.messages)) {
        // Of what nobody asked for only who prints everything is told; whoever prints one job may not even have looked there.
        if (arguments.all) terminal.say(notice_of_damage(*shop, damaged_elsewhere(*shop, all)));
        const bool blank = !arguments.vehicle.empty();
        const std::string_view one = blank ? "blank card" : "job";
        const std::string_view many = blank ? "blank cards" : "jobs";
        const std::size_t works = giver.works();
        const std::size_t stopped = giver.stopped();
        const std::string made =
            blank ? counted(giver.cards(), one, many)
                  : fmt::format("{} of {}", counted(giver.cards(), "card", "cards"), counted(works, one, many));
        if (stopped > 0 && (stopped == works || !arguments.depfile.empty()))
            terminal.say(fmt::format("nothing printed of {}: {}\n", counted(works, one, many), verdict(all)));
        else
            terminal.say(
                fmt::format("{}: {}{}\n", made, verdict(all),
                            stopped == 0 ? "" : fmt::format("; nothing printed of {}", counted(stopped, one, many))));
    }
    return giver.stopped() == 0 ? clean : input_has_errors;
}

} // namespace benchleaf::driver
