#include "driver/run.h"

#include "base/text.h"
#include "driver/commands.h"
#include "driver/describe_command_line.h"
#include "driver/embedded.h"
#include "driver/manual.h"
#include "driver/say.h"
#include "driver/what_next.h"
#include "model/kind.h"
#include "model/words.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <new>
#include <set>
#include <span>

namespace benchleaf::driver {

namespace {

struct CommandLine {
    Global global;
    Colour colour = Colour::automatic;
    CheckArguments check;
    PrintArguments print;
    RecordArguments record;
    HistoryArguments history;
    DueArguments due;
    WhereArguments where;
    VerifyArguments verify;
    CompareArguments compare;
    ApproveArguments approve;
    BundleArguments bundle;
    AdoptArguments adopt;
    std::string explain;
    NewArguments start;
    SchemaArguments schema;
    BindingsArguments bindings;
    TorqueArguments torque;
    WearArguments wear;
    std::string shell;
    std::vector<std::string> next; // a line as far as it is typed
};

// CLI11 prints names and values in upper case types ("TEXT"); every option here says its own.
template <class T>
void words(CLI::Option* option, const std::vector<std::pair<std::string, T>>& names) {
    option->transform(CLI::CheckedTransformer(names).description(""));
    std::string type;
    std::vector<std::string> all;
    for (const auto& [name, value] : names) {
        type += (type.empty() ? "" : "|") + name;
        all.push_back(name);
    }
    // Asked before the transformer, whose own words are not for people.
    option->transform(CLI::Validator(
        [all](std::string& word) {
            word = base::small_letters(word);
            if (std::find(all.begin(), all.end(), word) != all.end()) return std::string();
            return fmt::format("`{}` cannot stand here; it is one of {}", word, base::join_and(all));
        },
        ""));
    option->type_name(type)->option_text(type);
}

// A value that has to be there: an empty one is that of a variable that nobody has set, and what it would leave undone nobody would miss.
void no_empty(CLI::Option* option) {
    option->check(CLI::Validator(
        [](std::string& value) {
            return value.empty() ? std::string("an empty name stands for no file or folder") : "";
        },
        ""));
}

// The commands. The options of all of them take longer to declare than a job's files to read; so only those are declared that the line names. (A
// command is named by its whole name.)
class Commands {
public:
    Commands(CLI::App& app, std::span<const char* const> given) : app_(app) {
        named_.insert(given.begin(), given.end());
        // These speak of all commands.
        all_ = named_.contains("manual") || named_.contains("what-next");
    }

    // Null where its options need no declaring.
    CLI::App* add(const char* name, const char* about) {
        CLI::App* command = app_.add_subcommand(name, about);
        return all_ || named_.contains(name) ? command : nullptr;
    }

private:
    CLI::App& app_;
    std::set<std::string_view> named_;
    bool all_ = false;
};

// From shop to shop: what one hands over, and what another takes.
void declare_handing_over(Commands& commands, CommandLine& line) {
    if (CLI::App* bundle = commands.add("bundle", "one readable file with procedures and all that they need")) {
        bundle->add_option("procedures", line.bundle.procedures, "what is handed over; what they call goes along")
            ->option_text("PROCEDURE...")
            ->type_name(named(Takes::procedure))
            ->required();
        bundle
            ->add_option("--vehicle", line.bundle.vehicles,
                         "these models go along, in place of all that a procedure fits; repeatable")
            ->option_text("V")
            ->type_name(named(Takes::vehicle))
            ->expected(1)
            ->take_all();
        bundle->add_option("-o,--out", line.bundle.out, "the file to write; a bundle of that name is replaced")
            ->option_text("FILE")
            ->type_name(named(Takes::file))
            ->required();
        bundle->add_flag("--json", line.bundle.json, "what is in it, for a program");
        bundle->footer(
            "With the procedures go the procedures that they call, the catalogues, the pictures, and the models "
            "of vehicles.\nNever in it: shop.yaml, jobs, records, approvals. Each procedure is listed with its "
            "digest, by which both shops know it.\n\n"
            "Examples:\n"
            "  benchleaf bundle front-disc-service --out front-discs.bundle.yaml\n"
            "  benchleaf bundle rear-end-up rear-end-down --vehicle ostrel-haul-300 --out /tmp/lifting.yaml");
    }

    if (CLI::App* adopt = commands.add("adopt", "take procedures over from a bundle or a printed card")) {
        adopt->add_option("file", line.adopt.file, "a bundle, or the PDF of a printed card")
            ->option_text("FILE")
            ->type_name(named(Takes::file))
            ->required();
        adopt->add_option("procedures", line.adopt.procedures, "what is wanted of it; else all its procedures")
            ->option_text("[PROCEDURE...]");
        const auto names = [&](const char* option, std::vector<std::string>& into, const char* says, const char* form) {
            adopt->add_option(option, into, says)->option_text(form)->expected(1)->take_all();
        };
        names("--mine", line.adopt.mine, "of this that differs, mine stays; repeatable", "NAME");
        names("--theirs", line.adopt.theirs, "of this that differs, theirs takes the place of mine; repeatable",
              "NAME");
        names("--both", line.adopt.both, "mine stays, and theirs comes under a new name; repeatable", "NAME=NEW-NAME");
        CLI::Option* all_mine =
            adopt->add_flag("--all-mine", line.adopt.all_mine, "mine stays wherever nothing else is said");
        adopt->add_flag("--all-theirs", line.adopt.all_theirs, "theirs is taken wherever nothing else is said")
            ->excludes(all_mine);
        adopt->add_flag("--no-vehicles", line.adopt.no_vehicles, "leave the vehicles out");
        adopt->add_flag("--dry-run", line.adopt.dry_run, "write nothing, and show what would change as a difference");
        adopt->footer(
            "It lists what is new, the same and different, and asks about each thing that differs; where nobody can be "
            "asked, the options\nanswer. What lands checks clean together with all that is there, or nothing lands. "
            "Of a card, its shop.yaml and jobs are left out.\n"
            "NAME is that of a procedure or vehicle, or disc-brake/lower-guide-bolt; the torque of that bolt is "
            "torque:disc-brake/lower-guide-bolt.\n\n"
            "Examples:\n"
            "  benchleaf adopt front-discs.bundle.yaml --dry-run\n"
            "  benchleaf adopt front-discs.bundle.yaml --all-mine --theirs front-disc-service\n"
            "  benchleaf adopt front-discs.bundle.yaml --both front-disc-service=front-disc-their-way\n"
            "  benchleaf adopt 2026-0412.pdf front-disc-service");
    }
}

// Nothing that is written or said depends on it. (A job and a thread are other things in a workshop.)
void declare_cores(CLI::App& command, int& cores) {
    command
        .add_option("-j,--cores", cores,
                    "work on so many cores of the machine at a time, 1 to 256; else on all, where it pays")
        ->option_text("N")
        ->check(CLI::Range(1, most_threads));
}

void declare(CLI::App& app, std::span<const char* const> given, CommandLine& line) {
    Commands commands(app, given);
    app.name("benchleaf");
    app.set_help_flag("-h,--help", "this text");
    app.set_version_flag("--version", fmt::format("benchleaf {}", version()), "the program's version");
    app.require_subcommand(1);
    app.fallthrough();
    std::string ends;
    for (const StatusSays& each : statuses)
        ends += fmt::format("{}{} {}",
                            ends.empty()                 ? ""
                            : each.status == wrong_usage ? ";\n"
                                                         : "; ",
                            +each.status, each.about);
    app.footer("Exit status: " + ends +
               ".\n\n"
               "Examples:\n"
               "  benchleaf check                          prove every procedure and job of the shop\n"
               "  benchleaf print 2026-0412                the job's cards, as a booklet in out/\n"
               "  benchleaf print front-disc-service --vehicle ostrel-haul-300\n"
               "                                           a blank card\n"
               "  benchleaf history TX30418                a vehicle's readings over time\n"
               "  benchleaf due                            what comes to its limit before its next service\n"
               "  benchleaf explain left-loose             what a message means\n"
               "`benchleaf COMMAND --help` says more of a command.");

    // These stand before or behind the command.
    app.add_option("--shop", line.global.shop,
                   "the shop's folder; else the nearest one upward with shop.yaml, else procedures/")
        ->option_text("DIR")
        ->type_name(named(Takes::folder));
    words<Colour>(app.add_option("--color", line.colour, "colour in messages; NO_COLOR in the environment is honoured"),
                  {{"auto", Colour::automatic}, {"always", Colour::always}, {"never", Colour::never}});
    words<MessageForm>(app.add_option("--messages", line.global.messages,
                                      "messages for a person, at most 50 of them or all, or for a program"),
                       {{"human", MessageForm::human},
                        {"all", MessageForm::all},
                        {"json", MessageForm::json},
                        {"gnu", MessageForm::gnu},
                        {"sarif", MessageForm::sarif}});

    if (CLI::App* check = commands.add("check", "read and prove the shop, or what lies under the paths")) {
        check
            ->add_option("paths", line.check.paths,
                         "files or folders of the shop; what they need is read and proved with them")
            ->option_text("[PATH...]")
            ->type_name(named(Takes::file));
        check->add_flag("--fix", line.check.fix, "show what can be mended by machine, as a difference");
        check->add_flag("--yes", line.check.yes, "with --fix: write it")->needs("--fix");
        check->add_flag("--approved", line.check.approved,
                        "a procedure that nobody has approved as it stands is an error");
        check->add_flag("--watch", line.check.watch, "check again whenever a file of the shop changes, until Ctrl-C")
            ->excludes("--fix");
        std::vector<std::pair<std::string, Stage>> names;
        for (std::size_t i = 1; i < stages.size(); ++i)
            names.emplace_back(std::string(stages[i].name), static_cast<Stage>(i));
        check->add_flag("--anew", line.check.anew, "use nothing of what an earlier check of a large shop has left");
        words<Stage>(check->add_option("--stop-after", line.check.stop_after, "go no further than this stage"), names);
        declare_cores(*check, line.check.cores);
        check->add_flag("--dump", line.check.dump, "with --stop-after: print what that stage made")
            ->needs("--stop-after");
        check->footer("Examples:\n"
                      "  benchleaf check\n"
                      "  benchleaf check brakes/front-disc-service.yaml\n"
                      "  benchleaf check --fix --yes\n"
                      "  benchleaf check --watch\n"
                      "  benchleaf check jobs/2026-0412.yaml --stop-after proof --dump");
    }

    if (CLI::App* print = commands.add("print", "print the cards of jobs, or blank cards of procedures")) {
        print->add_option("names", line.print.names, "jobs; or, with --vehicle, procedures")
            ->option_text("JOB... | PROCEDURE...")
            ->type_name(named(Takes::card));
        print
            ->add_option("--vehicle", line.print.vehicle,
                         "a blank card of each procedure for this vehicle: no job, no date, lines to write on")
            ->option_text("V")
            ->type_name(named(Takes::vehicle));
        print->add_flag("--all", line.print.all, "every job of the shop");
        print
            ->add_option("--out", line.print.out,
                         "the folder to write into; else out/ for PDF, and standard output for text and JSON")
            ->option_text("DIR")
            ->type_name(named(Takes::folder));
        words<Form>(print->add_option("--as", line.print.as, "the form of a card; else pdf"),
                    {{"pdf", Form::pdf}, {"text", Form::text}, {"json", Form::json}});
        words<pages::Paper>(print->add_option("--paper", line.print.paper, "the paper; else the shop's"),
                            {{"a4", pages::Paper::a4}, {"letter", pages::Paper::letter}, {"a5", pages::Paper::a5}});
        print->add_option("--language", line.print.language, "the language of the card's own words; else the shop's")
            ->option_text("TAG")
            ->type_name(named(Takes::language));
        print->add_flag("--no-form", line.print.no_form, "a PDF without fields to fill in on a screen");
        print->add_flag("--split", line.print.split, "a file for each card and one for the cover sheet, not one a job");
        declare_cores(*print, line.print.cores);
        no_empty(print
                     ->add_option("--depfile", line.print.depfile,
                                  "write there what the files were made of, as a rule that make and ninja read")
                     ->option_text("FILE")
                     ->type_name(named(Takes::file)));
        no_empty(
            print
                ->add_option(
                    "--bindings", line.print.bindings,
                    "with --depfile: the folder into which `benchleaf bindings` wrote its lists; they go into the rule")
                ->option_text("DIR")
                ->type_name(named(Takes::folder))
                ->needs("--depfile"));
        print->footer(
            "A job with one faulty card prints none. A file is written whole or not at all; one of the same name is "
            "replaced.\n"
            "Written files are listed on standard output: JOB.pdf, with a cover sheet where the job has more than one "
            "card or\nsays who brought it or why; with --split JOB-0-cover.pdf and JOB-N-PROCEDURE.pdf; "
            "of a blank card PROCEDURE-V.pdf.\nJSON on standard output is one array: of jobs, with --split of cards.\n"
            "A PDF can be filled in on a screen, and carries the files that it was made of as an attachment.\n\n"
            "Examples:\n"
            "  benchleaf print 2026-0412\n"
            "  benchleaf print --all --out cards --paper letter\n"
            "  benchleaf print 2026-0412 --split\n"
            "  benchleaf print front-disc-service --vehicle ostrel-haul-300 --as text");
    }

    if (CLI::App* record = commands.add("record", "take the readings and signatures of a job, and write its record")) {
        record->add_option("job", line.record.job, "the job whose cards were worked")
            ->option_text("JOB")
            ->type_name(named(Takes::job))
            ->required();
        record
            ->add_option("--from", line.record.from,
                         "the cards that were filled in, as one PDF or several, or a file of answers; else it asks")
            ->option_text("FILE...")
            ->type_name(named(Takes::file));
        record
            ->add_option("--card", line.record.card,
                         "ask from the cards as they were printed earlier, not from the files as they stand now")
            ->option_text("FILE...")
            ->type_name(named(Takes::file));
        record->add_flag("--sheet", line.record.sheet,
                         "print a file of answers with every box, to be filled in by hand");
        record->add_flag("--page", line.record.page, "print the customer's page of the record that there is once more");
        record->add_option("--out", line.record.out, "the folder for the customer's page; else out/")
            ->option_text("DIR")
            ->type_name(named(Takes::folder));
        record->add_flag("--correct", line.record.correct, "write a record in the place of the job's, which names it");
        record->add_option("--reason", line.record.reason, "with --correct: why")
            ->option_text("TEXT")
            ->needs("--correct");
        record->footer(
            "It asks in the order of the cards, and gives the verdict on each reading at once. What is typed is "
            "on the disk before the\n"
            "next question: after `stop`, a crash or a closed terminal the same command goes on. A record is a "
            "file in records/, and is\n"
            "never changed. With it comes a page for the customer, out/JOB.customer.pdf.\n\n"
            "Examples:\n"
            "  benchleaf record 2026-0412\n"
            "  benchleaf record 2026-0412 --from filled-in.pdf\n"
            "  benchleaf record 2026-0412 --from out/2026-0412-*.pdf\n"
            "  benchleaf record 2026-0412 --sheet > answers.yaml\n"
            "  benchleaf record 2026-0412 --correct --reason \"left and right were mixed up\"");
    }

    if (CLI::App* history =
            commands.add("history", "the readings of one vehicle over time, and when limits are expected")) {
        history
            ->add_option("identity", line.history.identity,
                         "its registration, frame or any other number of it, or one of its jobs; blanks, dashes, "
                         "strokes and the size "
                         "of letters do not count")
            ->option_text("IDENTITY")
            ->type_name(named(Takes::number))
            ->required();
        words<Form>(history->add_option("--as", line.history.as, "the form; else text"),
                    {{"pdf", Form::pdf}, {"text", Form::text}, {"json", Form::json}});
        history
            ->add_option("--out", line.history.out,
                         "the folder to write into; else out/ for PDF, and standard output for text and JSON")
            ->option_text("DIR")
            ->type_name(named(Takes::folder));
        words<pages::Paper>(history->add_option("--paper", line.history.paper, "the paper; else the shop's"),
                            {{"a4", pages::Paper::a4}, {"letter", pages::Paper::letter}, {"a5", pages::Paper::a5}});
        history->add_option("--language", line.history.language, "the language of its words; else the shop's")
            ->option_text("TAG")
            ->type_name(named(Takes::language));
        history->footer("How each figure is reckoned stands in docs/history-and-due.md.\n\n"
                        "Examples:\n"
                        "  benchleaf history TX30418\n"
                        "  benchleaf history 2026-0412 --as pdf\n"
                        "  benchleaf history oh3-00417 --as json");
    }

    if (CLI::App* due =
            commands.add("due", "what is expected at its limit before its next service, over all vehicles")) {
        due->add_option("--at", line.due.at, "the day to ask for; else today")->option_text("DATE");
        due->add_flag("--json", line.due.json, "for a program, with all the figures");
        due->footer(
            "A vehicle that is not to be driven stands first; then what is past its limit or in doubt; then by the "
            "day by which,\n"
            "as its meter went on from visit to visit. How that is reckoned stands in docs/history-and-due.md.\n\n"
            "Examples:\n"
            "  benchleaf due\n"
            "  benchleaf due --at 2027-06-01\n"
            "  benchleaf due --json");
    }

    if (CLI::App* verify =
            commands.add("verify", "whether a card on paper is still the one that would be printed today")) {
        verify->add_option("what", line.verify.what, "what its code square says, in quotes; or its PDF")
            ->option_text("TEXT|FILE")
            ->type_name(named(Takes::file))
            ->required();
        verify->add_flag("--json", line.verify.json, "for a program");
        verify->footer(
            "Of each card: current; superseded, and how it differs, of a PDF also what has changed; or unknown. Exit "
            "status 0\nwhere all are current, else 1.\n\n"
            "Examples:\n"
            "  benchleaf verify \"BENCHLEAF 2026-0412 front-disc-service 3 5abdd46a0c838a4f\"\n"
            "  benchleaf verify out/2026-0412.pdf");
    }

    if (CLI::App* where = commands.add("where", "where a name is declared, and where it is used")) {
        where
            ->add_option("name", line.where.name,
                         "of anything in the shop: guide-bolt, disc-brake/guide-bolt, or of a file")
            ->option_text("NAME")
            ->type_name(named(Takes::name))
            ->required();
        where->add_flag("--json", line.where.json, "for a program");
        where->footer("Examples:\n"
                      "  benchleaf where lower-guide-bolt\n"
                      "  benchleaf where front-disc-service --json");
    }

    if (CLI::App* compare = commands.add(
            "compare", "what two states of a shop say otherwise, and which procedures and cards that touches")) {
        for (const auto& [name, state] :
             {std::pair("OLD", &line.compare.before), std::pair("NEW", &line.compare.after)})
            compare
                ->add_option(base::small_letters(name), *state,
                             "a shop's folder, a folder or file in one, a bundle, a printed PDF, or REV:PATH of git's")
                ->option_text(name)
                ->type_name(named(Takes::file))
                ->required();
        compare->add_flag("--json", line.compare.json, "for a program");
        compare->footer(
            "By what they mean: comments, layout and the order of keys are not told. Of a bundle or a card, what it "
            "lacks was not removed.\n\n"
            "Examples:\n"
            "  benchleaf compare HEAD~1:procedures procedures\n"
            "  benchleaf compare out/2026-0412.pdf procedures\n"
            "  benchleaf compare HEAD:catalogue/wheels.yaml catalogue/wheels.yaml --json");
    }

    if (CLI::App* approve = commands.add(
            "approve",
            "write down who has checked a procedure as it stands; without a procedure, how all of them stand")) {
        approve->add_option("procedures", line.approve.procedures, "procedures")
            ->option_text("[PROCEDURE...]")
            ->type_name(named(Takes::procedure));
        approve->add_flag("--all", line.approve.all, "every procedure of the shop that is not approved");
        approve->add_option("--by", line.approve.by, "the initials of who checked it")->option_text("WHO");
        approve->add_option("--note", line.approve.note, "what there is to say of it")
            ->option_text("TEXT")
            ->needs("--by");
        approve
            ->add_option("--sign", line.approve.key,
                         "sign it with this key, through ssh-keygen; the file of its private half")
            ->option_text("KEY")
            ->type_name(named(Takes::file))
            ->needs("--by");
        approve->add_flag("--json", line.approve.json, "for a program");
        approve->footer(
            "An approval is a file in approvals/, and holds for the procedure with all the figures that it takes from "
            "the "
            "catalogues: once one of\nthem is another, it is not approved any more, and its cards say so across each "
            "page. "
            "Where the shop has a file\napprovals/allowed-signers, as ssh-keygen(1) has it, only signed ones count.\n\n"
            "Examples:\n"
            "  benchleaf approve\n"
            "  benchleaf approve front-disc-service --by AB --note \"Read against the maker's manual.\"\n"
            "  benchleaf approve --all --by AB --sign ~/.ssh/id_ed25519\n"
            "  benchleaf check --approved");
    }

    declare_handing_over(commands, line);

    if (CLI::App* explain = commands.add("explain", "what a check finds and why; without a name, all checks")) {
        explain->add_option("check", line.explain, "a check's name, as a message shows it: left-loose")
            ->option_text("[CHECK]")
            ->type_name(named(Takes::check));
        explain->footer("Examples:\n"
                        "  benchleaf explain\n"
                        "  benchleaf explain left-loose");
    }

    if (CLI::App* start = commands.add("new", "write a commented starting file, where its kind belongs")) {
        std::string kinds; // that somebody writes by hand
        for (const Embedded& each : starters()) kinds += (kinds.empty() ? "" : "|") + std::string(each.name);
        start->add_option("kind", line.start.kind, "shop, catalogue, vehicle, procedure or job")
            ->option_text("KIND")
            ->type_name(kinds)
            ->required();
        start->add_option("name", line.start.name, "its name: small letters, digits and hyphens")
            ->option_text("NAME")
            ->required();
        start->footer(
            "Nothing is overwritten. A procedure may be named with its folder, else it goes into general/.\n\n"
            "Examples:\n"
            "  benchleaf new shop fernhollow-works\n"
            "  benchleaf new procedure brakes/front-disc-service\n"
            "  benchleaf new job 2026-0430");
    }

    if (CLI::App* schema = commands.add("schema", "the JSON Schema of a kind of file, for an editor")) {
        CLI::Option* schema_kind = schema->add_option(
            "kind", line.schema.kind, "shop, catalogue, vehicle, procedure, job, record, answers or approval");
        schema_kind->option_text("KIND")->type_name(fmt::format("{}", fmt::join(model::kind_words, "|")));
        schema->add_flag("--write", line.schema.write, "write those of all kinds into the shop's folder .schemas/")
            ->excludes(schema_kind);
        schema->footer("How an editor takes them stands in docs/editors.md.\n\n"
                       "Examples:\n"
                       "  benchleaf schema --write\n"
                       "  benchleaf schema procedure > procedure.schema.json");
    }

    if (CLI::App* bindings =
            commands.add("bindings", "for a build engine: which catalogues have to do with what is in another one")) {
        no_empty(
            bindings
                ->add_option("--out", line.bindings.out, "the folder to write into: CATALOGUE.txt for each catalogue")
                ->option_text("DIR")
                ->type_name(named(Takes::folder))
                ->required());
        bindings->footer("A list changes only where a catalogue begins or ceases to hold, lock, open, vent or disturb "
                         "what is in the other one;\nwhat is there and is the same stays as it is. "
                         "docs/build-engine.md has the rules for ninja and make.\n\n"
                         "Examples:\n"
                         "  benchleaf bindings --out out/bindings\n"
                         "  benchleaf print 2026-0412 --out out --depfile out/2026-0412.d --bindings out/bindings");
    }

    if (CLI::App* torque = commands.add("torque", "a torque in other units, on a thread, on a wrench, round a ring")) {
        torque
            ->add_option("stages", line.torque.stages, "24N·m, or its stages in order; what has blanks goes in quotes")
            ->option_text("TORQUE...")
            ->required();
        torque->add_option("--thread", line.torque.thread, "M8x1.25, 3/8-24 UNF: gives the preload")
            ->option_text("THREAD");
        torque->add_option("--class", line.torque.strength_class, "8.8, A2-70, `grade 5`: gives the proof load")
            ->option_text("CLASS")
            ->needs("--thread");
        std::vector<std::pair<std::string, std::string>> conditions;
        for (const std::string_view each : model::Words<model::ThreadState>::all)
            conditions.emplace_back(std::string(each), std::string(each));
        words<std::string>(
            torque->add_option("--threads", line.torque.condition, "how the threads are; else dry")->needs("--thread"),
            conditions);
        torque->add_option("--adapter", line.torque.adapter, "its length, from drive to socket: 40mm")
            ->option_text("LENGTH");
        torque
            ->add_option("--angle", line.torque.angle, "the adapter's angle to the wrench: 0° straight on, 90° square")
            ->option_text("ANGLE");
        torque
            ->add_option("--wrench-length", line.torque.wrench_length,
                         "from its drive to the middle of its grip; else the shop's wrench is taken")
            ->option_text("LENGTH")
            ->needs("--adapter");
        torque
            ->add_option("--date", line.torque.date,
                         "the day for the shop's wrenches; else their calibration is not looked at")
            ->option_text("DATE");
        torque->add_option("--count", line.torque.count, "how many there are in the ring: gives the order, 2 to 24")
            ->option_text("N")
            ->check(CLI::Range(2, 1000));
        torque->add_option("--rounds", line.torque.rounds, "in how many rounds they are brought there")
            ->option_text("N")
            ->check(CLI::Range(1, 9));
        torque->add_flag("--json", line.torque.json, "for a program");
        torque->footer("The formulas and their sources stand in docs/sources-of-values.md. What it prints is no torque "
                       "for a bolt:\n"
                       "that stands in the maker's manual.\n\n"
                       "Examples:\n"
                       "  benchleaf torque 24N·m\n"
                       "  benchleaf torque \"25 N·m ±10 %\" --thread M8x1.25 --class 8.8\n"
                       "  benchleaf torque \"30 N·m + 90°\" --rounds 2\n"
                       "  benchleaf torque 90N·m --count 4 --rounds 2\n"
                       "  benchleaf torque 40lbf·ft --adapter 4in --wrench-length 12in");
    }

    if (CLI::App* wear = commands.add(
            "wear", "a thing that wears: its keep figure, the verdict on a reading, when its limit comes")) {
        wear->add_option(
                "readings", line.wear.readings,
                "since it was new, the newest last: the size, and behind an @ the stand of the meter; of hours, too")
            ->option_text("[6.4mm@12460km...]");
        CLI::Option* minimum =
            wear->add_option("--minimum", line.wear.minimum, "the least reading that is allowed: 2.0mm");
        minimum->option_text("SIZE");
        wear->add_option("--maximum", line.wear.maximum, "the largest reading that is allowed: 0.10mm")
            ->option_text("SIZE")
            ->excludes(minimum);
        wear->add_option("--reads-to", line.wear.reads_to, "the step of the gauge: 0.1mm")
            ->option_text("SIZE")
            ->required();
        wear->add_option("--uncertainty", line.wear.uncertainty, "how far the reading may be off; else 0")
            ->option_text("SIZE");
        CLI::Option* as_new = wear->add_option("--new", line.wear.as_new, "the size when new: 9.0mm");
        as_new->option_text("SIZE");
        wear->add_option("--new-at", line.wear.new_at, "the meter when it was new, or renewed; else 0")
            ->option_text("METER")
            ->needs(as_new);
        wear->add_option("--meter", line.wear.meter, "its stand today: 16000km, 420h")->option_text("METER");
        wear->add_option("--next-service", line.wear.next_service, "so much further, +6000km, or a stand of the meter")
            ->option_text("METER");
        wear->add_option("--margin", line.wear.margin,
                         "by how much more it may wear than since the last reading, where there is no line; else 1.25")
            ->option_text("NUMBER");
        wear->add_option("--reading", line.wear.reading, "what was read today, to be judged: 6.1mm")
            ->option_text("SIZE");
        wear->add_flag("--json", line.wear.json, "for a program, with all the figures");
        wear->footer(
            "A keep figure is the reading with which it reaches the next service. With three readings or more it "
            "comes from the line\n"
            "through them, with fewer from the last one, else from the size when new. Today's reading is no part of "
            "what it is judged by.\n"
            "How each figure is reckoned stands in docs/history-and-due.md. The limit itself stands in the maker's "
            "manual.\n\n"
            "Examples:\n"
            "  benchleaf wear --maximum 0.10mm --reads-to 0.01mm --uncertainty 0.01mm --reading 0.08mm\n"
            "  benchleaf wear --minimum 2.0mm --reads-to 0.1mm --new 9.0mm --meter 12000km --next-service +6000km\n"
            "  benchleaf wear --minimum 2.0mm --reads-to 0.1mm 8.0mm@10000km 7.5mm@12000km 7.0mm@14000km");
    }

    if (CLI::App* completion = commands.add("completion", "the script by which a shell completes benchleaf's lines")) {
        words<std::string>(completion->add_option("shell", line.shell, "the shell")->required(),
                           {{"bash", "bash"}, {"zsh", "zsh"}});
        completion->footer("With it the Tab key completes commands, options, and the names of the shop on the line. To "
                           "have it in this "
                           "shell, and with\nthe line in ~/.bashrc or ~/.zshrc in each:\n\n"
                           "Examples:\n"
                           "  source <(benchleaf completion bash)\n"
                           "  source <(benchleaf completion zsh)");
    }

    if (CLI::App* manual = commands.add("manual", "the manual as a man page, in roff")) {
        manual->footer("Examples:\n"
                       "  benchleaf manual | man -l -\n"
                       "  benchleaf manual > benchleaf.1");
    }

    // For those scripts, and no command for people.
    app.add_subcommand("what-next", "the words that may come next on a line")
        ->group("") // for no person
        ->add_option("line", line.next)
        ->option_text("[WORD...]");
}

// What was most likely meant by a word of the command line that nothing takes.
std::string meant(const CLI::App& app, int argc, const char* const* argv, std::string what) {
    std::vector<std::string_view> commands;
    for (const CLI::App* command : app.get_subcommands({}))
        if (!command->get_group().empty()) commands.push_back(command->get_name());
    const CLI::App* command = nullptr;
    for (int i = 1; i < argc; ++i) {
        const std::string_view word = argv[i];
        if (word == "--") break;
        if (!word.starts_with('-')) {
            if (command) continue;
            for (const CLI::App* each : app.get_subcommands({}))
                if (each->get_name() == word) command = each;
            if (command) continue;
            // The value of a global option stands before a command too.
            if (i > 1 && std::string_view(argv[i - 1]).starts_with("--")) continue;
            const std::string_view near = base::nearest(word, commands);
            return fmt::format("there is no command `{}`{}", word,
                               near.empty() ? std::string() : fmt::format("; did you mean `{}`?", near));
        }
        if (!word.starts_with("--")) continue;
        const std::string_view name =
            word.substr(2, word.find('=') == std::string_view::npos ? std::string_view::npos : word.find('=') - 2);
        std::vector<std::string> own;
        for (const CLI::App* of : {&app, command})
            if (of)
                for (const CLI::Option* option : of->get_options())
                    for (const std::string& each : option->get_lnames()) own.push_back(each);
        if (std::find(own.begin(), own.end(), name) != own.end()) continue;
        const std::vector<std::string_view> known(own.begin(), own.end());
        const std::string_view near = base::nearest(name, known);
        return fmt::format("there is no option `--{}`{}", name,
                           near.empty() ? std::string() : fmt::format("; did you mean `--{}`?", near));
    }
    if (!what.empty()) what.front() = static_cast<char>(std::tolower(static_cast<unsigned char>(what.front())));
    return what;
}

int act(const CLI::App& app, CommandLine& line, Terminal& terminal) {
    if (app.got_subcommand("check")) return check(line.check, line.global, terminal);
    if (app.got_subcommand("print")) return print(line.print, line.global, terminal);
    if (app.got_subcommand("record")) return record(line.record, line.global, terminal);
    if (app.got_subcommand("history")) return show_history(line.history, line.global, terminal);
    if (app.got_subcommand("due")) return show_due(line.due, line.global, terminal);
    if (app.got_subcommand("verify")) return verify(line.verify, line.global, terminal);
    if (app.got_subcommand("where")) return where(line.where, line.global, terminal);
    if (app.got_subcommand("compare")) return compare(line.compare, terminal);
    if (app.got_subcommand("approve")) return approve(line.approve, line.global, terminal);
    if (app.got_subcommand("bundle")) return bundle_up(line.bundle, line.global, terminal);
    if (app.got_subcommand("adopt")) return adopt(line.adopt, line.global, terminal);
    if (app.got_subcommand("explain")) return explain(line.explain, line.global, terminal);
    if (app.got_subcommand("new")) return start_new(line.start, line.global, terminal);
    if (app.got_subcommand("bindings")) return bindings(line.bindings, line.global, terminal);
    if (app.got_subcommand("torque")) return torque(line.torque, line.global, terminal);
    if (app.got_subcommand("wear")) return wear(line.wear, terminal);
    if (app.got_subcommand("completion")) return completion(line.shell, terminal);
    if (app.got_subcommand("manual")) return terminal.result(manual(describe_command_line(app))), clean;
    if (app.got_subcommand("what-next")) return show_next(describe_command_line(app), line.next, terminal);
    return schema(line.schema, line.global, terminal);
}

} // namespace

int run(int argc, const char* const* argv) {
    Terminal terminal;
    CommandLine line;
    int status = clean;
    try { // the command line's library throws, and so does an allocation; nothing else does
        CLI::App app("Turns a workshop's procedures into proved job cards.");
        declare(app, std::span(argv, static_cast<std::size_t>(argc)), line);
        try {
            app.parse(argc, argv);
            terminal.set_colour(line.colour);
            status = act(app, line, terminal);
        } catch (const CLI::CallForHelp&) {
            terminal.result(app.help()); // of the command, where there is one
        } catch (const CLI::CallForVersion&) {
            terminal.result(fmt::format("benchleaf {}\n", version()));
        } catch (const CLI::ParseError& error) {
            status = usage_error(terminal, meant(app, argc, argv, error.what()));
            terminal.say("Run `benchleaf --help` for the commands and options.\n");
        }
    } catch (const std::bad_alloc&) {
        status = machine_error(terminal, {"out of memory"});
    }
    if (auto finished = terminal.finish(true); !finished) status = machine_error(terminal, finished.failure());
    return status;
}

} // namespace benchleaf::driver
