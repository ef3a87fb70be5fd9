// `check`: reads and proves the shop, says what is wrong, mends what a machine may mend.
#include "driver/archive.h"
#include "driver/asked.h"
#include "driver/check_again.h"
#include "driver/commands.h"
#include "driver/land_files.h"
#include "driver/mend.h"
#include "driver/pipeline.h"
#include "driver/say.h"
#include "driver/watch.h"

#include "base/text.h"
#include "card/build.h"
#include "fitted/fit.h"
#include "fixes/fixes.h"
#include "history/history.h"
#include "linked/link.h"
#include "messages/render.h"
#include "model/dump.h"
#include "pages/pages.h"
#include "proof/proved.h"
#include "syntax/syntax.h"
#include "wording/take_apart.h"

#include <algorithm>
#include <array>
#include <ctime>
#include <filesystem>
#include <fmt/format.h>
#include <set>

namespace benchleaf::driver {

namespace {

std::string summary(const Counts& counts, const messages::Messages& shown) {
    return fmt::format("{}, {}, {}, {}: {}\n", counted(counts.files, "file", "files"),
                       counted(counts.procedures, "procedure", "procedures"), counted(counts.steps, "step", "steps"),
                       counted(counts.jobs, "job", "jobs"), verdict(shown));
}

std::string dump_of(const Shopful& shop, Stage stage, const std::vector<source::FileId>& roots) {
    const std::set<source::FileId> among(roots.begin(), roots.end());
    std::string to;
    const auto works = [&](const auto& dump_one) {
        for (const auto& work : shop.works) {
            const linked::Job& job = shop.linked.jobs[work->fitted.fits.front().job.index()];
            if (among.contains(job.source->id.span.file)) dump_one(*work);
        }
    };
    switch (stage) {
    case Stage::folder:
        break;
    case Stage::syntax:
        for (const syntax::Syntax& each : shop.syntaxes)
            if (among.contains(each.file))
                to += fmt::format("# {}\n{}", shop.sources.file(each.file).path, syntax::dump(each, shop.sources));
        break;
    case Stage::model:
        to = model::dump(shop.model);
        break;
    case Stage::linked:
        to = linked::dump(shop.linked);
        break;
    case Stage::wording:
        to = wording::dump(shop.wording);
        break;
    case Stage::fitted:
        to = fitted::dump(shop.fitted);
        works([&](const Work& work) { to += fmt::format("# job {}\n{}", work.name, fitted::dump(work.fitted)); });
        break;
    case Stage::proof:
        works([&](const Work& work) {
            to += fmt::format("# job {}\n{}", work.name, work.proved ? proof::dump(*work.proved) : "not proved\n");
        });
        break;
    case Stage::card:
        works([&](const Work& work) {
            if (work.cover) to += card::dump(work.cover->cover);
            for (const PagedCard& each : work.cards) to += card::dump(each.card);
        });
        break;
    case Stage::pages:
        works([&](const Work& work) {
            if (work.cover) to += fmt::format("# {}\n{}", work.cover->cover.file_stem, pages::dump(work.cover->pages));
            for (const PagedCard& each : work.cards)
                to += fmt::format("# {}\n{}", each.card.file_stem, pages::dump(each.pages));
        });
        break;
    case Stage::record:
        to = history::dump(history::look_back(shop.model));
        break;
    }
    return to;
}

int fix(const CheckArguments& arguments, const Shop& shop, const std::vector<std::string>& paths, const Global& global,
        Terminal& terminal) {
    const Mended mended = mend(shop.files, paths);
    std::vector<Coming> changed;
    for (const auto& [path, bytes] : mended.files) {
        const std::string& before = shop.files.at(path);
        if (bytes == before) continue;
        const std::string diff = fixes::unified_diff(path, before, bytes);
        terminal.result(terminal.results_on_screen() ? messages::for_screen(diff) : diff);
        // A link is followed, so that what it names is mended and the link stays.
        std::error_code error;
        const std::filesystem::path target = std::filesystem::canonical(std::filesystem::path(shop.root) / path, error);
        changed.push_back(
            {error ? (std::filesystem::path(shop.root) / path).string() : target.string(), bytes, before});
    }
    if (arguments.yes)
        if (auto written = land_at(shop.root, changed); !written) return machine_error(terminal, written.failure());

    // What is left is said of the files as they are now.
    const auto after =
        check_shop(arguments.yes ? mended.files : shop.files, {.threads = Threads::asked(arguments.cores)});
    const std::vector<source::FileId> roots = roots_of(after->sources, paths);
    const messages::Messages shown = shown_of(*after, roots);
    say_messages(terminal, global, shown, after->sources);
    if (!is_for_programs(global.messages)) {
        if (changed.empty())
            terminal.say("nothing here can be mended by machine\n");
        else
            terminal.say(fmt::format("{} {} in {}{}\n", counted(mended.fixes, "fix", "fixes"),
                                     arguments.yes ? "made" : "to make", counted(changed.size(), "file", "files"),
                                     arguments.yes ? "" : "; --fix --yes writes them"));
    }
    return shown.any_error() ? input_has_errors : clean;
}

// A check of all of a shop, up to its records.
bool is_whole(const CheckArguments& arguments) {
    return arguments.paths.empty() && !arguments.stop_after && !arguments.approved && !arguments.fix && !arguments.anew;
}

bool is_by_cause(const Global& global) {
    return global.messages == MessageForm::human;
}

void say(Terminal& terminal, const Global& global, const Statement& said, const source::Sources& sources,
         const std::string& result) {
    say_messages(terminal, global, said.shown, sources);
    if (said.gone > 0)
        terminal.say(fmt::format("\n({} of this, and {} with it; `--messages all` shows {})\n",
                                 counted(said.gone, "more error comes", "more errors come"),
                                 said.gone == 1 ? "goes" : "go", said.gone == 1 ? "it" : "them"));
    terminal.result(result);
    terminal.result(said.then);
}

// `again`: what is remembered of the shop, for a check of all of it; else null. `touched`: see CheckAgain::look.
int check_once(const CheckArguments& arguments, const Global& global, Terminal& terminal, CheckAgain* again,
               const std::set<std::string>* touched = nullptr) {
    int status = clean;
    if (again != nullptr)
        if (const auto looked = again->look(Threads::asked(arguments.cores), touched, is_by_cause(global))) {
            static const source::Sources nowhere;
            say(terminal, global, looked->said, looked->faulty != nullptr ? looked->faulty->sources : nowhere,
                summary(looked->counts, looked->said.shown));
            return looked->said.shown.any_error() ? input_has_errors : clean;
        }
    // The last one is never taken apart piece by piece: the process ends, and the system takes it back at once.
    static std::unique_ptr<const Shopful>& checked = *new std::unique_ptr<const Shopful>;
    static std::optional<Shop>& shop = *new std::optional<Shop>; // which has the texts of its files
    checked.reset();
    shop.reset();
    shop = open_shop(global, arguments.paths.empty() ? "" : arguments.paths.front(), terminal, status,
                     arguments.fix ? Records::with_the_files : Records::in_the_archive);
    if (!shop) return status;
    static const std::vector<std::string> none;
    const std::vector<std::string>& archived = shop->files.archive != nullptr ? shop->files.archive->paths() : none;
    std::vector<std::string> paths;
    for (const std::string& path : arguments.paths) {
        const auto below = below_root(shop->root, path);
        if (!below) {
            std::error_code error;
            if (std::filesystem::exists(path, error))
                return usage_error(terminal, fmt::format("{} is not in the shop {}", path, shop->root));
            std::vector<std::string_view> known; // by its place, or by its name alone
            for (const auto& [file, bytes] : shop->files) known.push_back(file);
            known.insert(known.end(), archived.begin(), archived.end());
            std::string_view near = base::nearest(path, known);
            for (const std::string_view file : known)
                if (near.empty() && file.ends_with("/" + path)) near = file;
            return usage_error(
                terminal, near.empty() ? fmt::format("there is no file {}, here or in the shop {}", path, shop->root)
                                       : fmt::format("there is no file {}; did you mean {}?", path, near));
        }
        if (!std::any_of(shop->files.begin(), shop->files.end(),
                         [&](const auto& f) { return lies_below(f.first, *below); }) &&
            !std::any_of(archived.begin(), archived.end(),
                         [&](const std::string& record) { return lies_below(record, *below); }))
            return usage_error(terminal, fmt::format("there is no file of the shop in {}", path));
        paths.push_back(*below);
    }
    if (arguments.fix) return fix(arguments, *shop, paths, global, terminal);

    checked = check_shop(shop->files, {.until = arguments.stop_after.value_or(Stage::record),
                                       .approved = arguments.approved,
                                       .keep_cards = arguments.dump,
                                       .keep_stages = arguments.dump,
                                       .texts = Texts::lent,
                                       .threads = Threads::asked(arguments.cores)});
    if (checked->failed) return machine_error(terminal, *checked->failed);
    if (again != nullptr && checked->messages.all().empty()) again->remember(*shop, *checked);
    const std::vector<source::FileId> roots = roots_of(checked->sources, paths);
    const Statement said =
        said_of(shop->files, *checked, paths,
                {.by_cause = is_by_cause(global) && !arguments.stop_after, .tries = !arguments.dump});
    say(terminal, global, said, checked->sources,
        arguments.dump ? dump_of(*checked, *arguments.stop_after, roots)
                       : summary(counts_of(*checked, paths), said.shown));
    return said.shown.any_error() ? input_has_errors : clean;
}

std::string time_of_day() { // as the clock on the wall has it
    const std::time_t now = std::time(nullptr);
    std::tm local{};
    localtime_r(&now, &local);
    return fmt::format("{:02}:{:02}:{:02}", local.tm_hour, local.tm_min, local.tm_sec);
}

// "brakes/a.yaml changed, jobs/b.yaml is new, and 3 more files"
std::string told(const std::vector<Change>& changes) {
    constexpr std::size_t most_told = 4;
    constexpr std::array<std::string_view, 3> what = {"changed", "is new", "is gone"};
    std::vector<std::string> all;
    for (std::size_t i = 0; i < std::min(changes.size(), most_told); ++i)
        all.push_back(fmt::format("{} {}", messages::for_screen(changes[i].path),
                                  what[static_cast<std::size_t>(changes[i].what)]));
    if (changes.size() > most_told) all.push_back(counted(changes.size() - most_told, "more file", "more files"));
    return base::join_and(all);
}

// What it says of itself goes to standard output, as the summary does: standard error is the messages', which a program may read.
int check_and_watch(const CheckArguments& arguments, Global global, Terminal& terminal) {
    const auto root = shop_folder(global, arguments.paths.empty() ? "" : arguments.paths.front(), terminal);
    if (!root) return wrong_usage;
    global.shop = *root;
    Watch watch(*root);
    CheckAgain again(*root);
    CheckAgain* const remembering = is_whole(arguments) ? &again : nullptr;
    int status = check_once(arguments, global, terminal, remembering);
    if (status == wrong_usage) return status; // later on a file may be away for a while
    terminal.result(fmt::format("{} watching {}{}; Ctrl-C ends it\n", time_of_day(), *root,
                                watch.why_looking().empty()
                                    ? std::string()
                                    : fmt::format(" by looking at it again and again ({})", watch.why_looking())));
    for (;;) {
        if (auto written = terminal.finish(); !written) return machine_error(terminal, written.failure());
        again.write_down();
        const auto changes = watch.wait();
        if (!changes) return status;
        terminal.result(fmt::format("{} {}\n", time_of_day(), told(*changes)));
        if (auto written = terminal.finish(); !written) return machine_error(terminal, written.failure());
        std::set<std::string> touched;
        for (const Change& each : *changes) touched.insert(each.path);
        status = check_once(arguments, global, terminal, remembering, watch.told_all() ? &touched : nullptr);
    }
}

} // namespace

int check(const CheckArguments& given, const Global& asked, Terminal& terminal) {
    CheckArguments arguments = given;
    Global global = asked;
    if (!given.paths.empty()) { // the shop's own folder is all of it
        const auto root = shop_folder(asked, given.paths.front(), terminal);
        if (!root) return wrong_usage;
        if (std::all_of(given.paths.begin(), given.paths.end(),
                        [&](const std::string& path) { return below_root(*root, path) == ""; })) {
            arguments.paths.clear();
            global.shop = *root;
        }
    }
    if (arguments.watch) return check_and_watch(arguments, global, terminal);
    if (!is_whole(arguments)) return check_once(arguments, global, terminal, nullptr);
    const auto root = shop_folder(global, "", terminal);
    if (!root) return wrong_usage;
    if (place_of_remembered(*root).empty())
        return check_once(arguments, global, terminal, nullptr); // nobody would have it
    // Like the shop, it is not taken apart when the process ends.
    static CheckAgain& again = *new CheckAgain(*root);
    const int status = check_once(arguments, global, terminal, &again);
    again.write_down();
    return status;
}

} // namespace benchleaf::driver
