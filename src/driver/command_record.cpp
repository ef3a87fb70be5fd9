// `record`: takes what was filled in on the cards of a job, one answer after the other or all of them from a file, and writes the record.
#include "driver/commands.h"
#include "driver/damaged.h"
#include "driver/job_cards.h"
#include "driver/load_filled.h"
#include "driver/pipeline.h"
#include "driver/records.h"
#include "driver/say.h"
#include "driver/session.h"
#include "driver/shop_state.h"
#include "driver/typed.h"
#include "driver/write_files.h"

#include "base/text.h"
#include "history/history.h"
#include "labels/labels.h"
#include "model/dump.h"
#include "record/make.h"
#include "record/names.h"
#include "record/since.h"

#include <algorithm>
#include <cstring>
#include <filesystem>
#include <fmt/format.h>
#include <set>

namespace benchleaf::driver {

namespace {

namespace fs = std::filesystem;

// What goes wrong on the way is said, and `status` set.
class Recorder {
public:
    Recorder(const RecordArguments& arguments, const Global& global, Terminal& terminal)
        : arguments_(arguments), global_(global), terminal_(terminal) {}

    int run() {
        if (!read_given() || !open() || !take_given() || !records_are_whole()) return status_;
        if (arguments_.sheet) {
            terminal_.result(record::blank_sheet(sheet()));
            return clean;
        }
        if (arguments_.page) return page_again();
        if (!find_place()) return status_;
        return arguments_.from.empty() ? type() : from_file();
    }

private:
    int fail(int status, const std::string& what) {
        status_ = status;
        terminal_.say("benchleaf: " + what + "\n");
        return status;
    }

    const record::Sheet& sheet() const { return printed_ ? printed_->made->sheet : now_->sheet; }
    const JobCards& made() const { return printed_ ? *printed_->made : *now_; }

    // Printed cards, or one file of answers.
    bool read_given() {
        const std::vector<std::string>& paths = arguments_.from.empty() ? arguments_.card : arguments_.from;
        for (const std::string& path : paths) {
            auto bytes = read_bytes(path, bundle::most_bytes);
            if (!bytes) {
                status_ = machine_error(terminal_, bytes.failure());
                return false;
            }
            if (is_pdf(bytes.value())) {
                const auto reader = load_filled();
                if (!reader) {
                    status_ = machine_error(terminal_, reader.failure());
                    return false;
                }
                // To be asked from, a card needs no boxes.
                const auto form = arguments_.from.empty() ? filled::Form::may_be_missing : filled::Form::needed;
                auto pdf = read_pdf(*reader.value(), form, path, bytes.value());
                if (!pdf) {
                    fail(input_has_errors, pdf.failure().what);
                    return false;
                }
                pdfs_.push_back(std::move(pdf.value()));
            } else if (arguments_.from.empty()) {
                fail(input_has_errors, fmt::format("{} is no PDF; `--card` takes a card that was printed", path));
                return false;
            } else if (paths.size() > 1) {
                fail(input_has_errors,
                     fmt::format("{} is no PDF; several files are taken of the cards of one job alone", path));
                return false;
            } else {
                yaml_ = std::move(bytes.value());
            }
        }
        return true;
    }

    bool open() {
        auto read = open_shop(global_, "", terminal_, status_);
        if (!read) return false;
        root_ = read->root;
        const std::string language = pdfs_.empty() ? std::string() : pdfs_.front().filled.language;
        now_ = make_cards(std::move(read->files), arguments_.job,
                          labels::find(language) == nullptr ? std::string() : language);
        if (now_->work == nullptr) {
            std::vector<std::string_view> known;
            for (const linked::Job& job : now_->shop->linked.jobs) known.push_back(job.source->id.value);
            status_ = usage_error(terminal_, no_such("job", arguments_.job, known));
            return false;
        }
        return true;
    }

    bool take_given() {
        if (!pdfs_.empty()) return take_pdfs();
        if (!cards_are_good(*now_)) return false;
        return !yaml_ || take_yaml(arguments_.from.front(), *yaml_);
    }

    bool cards_are_good(const JobCards& made) {
        if (!made.work->messages.any_error()) return true;
        messages::Messages all = made.work->messages;
        all.sort_and_unite(made.shop->sources);
        say_messages(terminal_, global_, all, made.shop->sources);
        fail(input_has_errors,
             fmt::format(
                 "the cards of {} cannot be made as the files stand; a printed one carries its own: `--card FILE.pdf`",
                 arguments_.job));
        return false;
    }

    bool take_pdfs() {
        printed_ = make_printed(pdfs_, arguments_.job, global_, terminal_, status_);
        if (!printed_) return false;
        // Who may sign, and whether he may look after his own work, is the shop's to say and not the paper's.
        if (now_->shop->linked.shop != nullptr) printed_->made->sheet.shop = now_->shop->linked.shop;
        if (!same_job(pdfs_.front().path)) return false;
        if (!arguments_.from.empty()) {
            answers_ = record::filled_in(sheet(), printed_->boxes, record::Written::in_a_form);
            file_ = answers_of(arguments_.job, answers_);
        }
        return true;
    }

    // The figures of the job may have been put right since; but it is the same visit of the same vehicle.
    bool same_job(const std::string& path) {
        const model::Job& then = *sheet().job;
        const auto id = job_called(*now_->shop, arguments_.job);
        const model::Job& job = *now_->shop->linked.jobs[id->index()].source;
        const bool same =
            then.identity && job.identity && history::same_vehicle(then.identity->value, job.identity->value);
        if (!history::fits(now_->shop->owners, job).clear) {
            fail(input_has_errors,
                 fmt::format("job {} could be of either of two vehicles; `benchleaf check` says more", arguments_.job));
            return false;
        }
        if (same || (!then.identity && !job.identity)) return true;
        fail(input_has_errors, fmt::format("{} is a card of job {} for another vehicle", path, arguments_.job));
        return false;
    }

    bool take_yaml(const std::string& path, const std::string& bytes) {
        AnswersFile read = read_answers(path, bytes);
        if (read.messages.any_error()) {
            say_messages(terminal_, global_, read.messages, read.sources);
            fail(input_has_errors, fmt::format("nothing recorded: {}", verdict(read.messages)));
            return false;
        }
        if (read.job != arguments_.job) {
            fail(input_has_errors,
                 fmt::format("{} has the answers of job {}, not of {}", path, read.job, arguments_.job));
            return false;
        }
        answers_ = record::filled_in(sheet(), read.boxes, record::Written::in_a_file);
        file_ = std::move(read);
        return true;
    }

    // Where the record goes, and which one it is.
    bool find_place() {
        const model::Job& job = *sheet().job;
        if (!job.identity || history::folder_of(job.identity->value).empty()) {
            fail(input_has_errors,
                 fmt::format("job {} does not say which vehicle it is of; give it an `identity`", arguments_.job));
            return false;
        }
        const Standing standing = standing_record(now_->shop->model, arguments_.job);
        about_.id = standing.count == 0 ? arguments_.job : fmt::format("{}-{}", arguments_.job, standing.count + 1);
        const auto taken = [&] {
            return std::any_of(now_->shop->model.records.begin(), now_->shop->model.records.end(),
                               [&](const model::Record& each) { return each.id.value == about_.id; });
        };
        for (std::size_t i = standing.count + 1; taken(); ++i) about_.id = fmt::format("{}-{}", arguments_.job, i + 1);
        if (standing.last != nullptr) {
            const bool open = standing.last->outcome && standing.last->outcome->value != model::Outcome::finished;
            if (!arguments_.correct && !open) {
                clear_up_after(*standing.last);
                fail(input_has_errors,
                     fmt::format("job {} has its record: {}; `--correct --reason TEXT` writes another one in its "
                                 "place, which names it",
                                 arguments_.job, now_->shop->sources.file(standing.last->id.span.file).path));
                return false;
            }
            (arguments_.correct ? about_.corrects : about_.continues) = standing.last->id.value;
            before_ = standing.last;
            if (!arguments_.correct && before_->stopped) {
                about_.stopped_before = before_->stopped->value;
                for (const model::StoppedAt& each : before_->stopped->value)
                    if (const auto day = each.date ? mechanics::parse_date(each.date->value) : std::nullopt;
                        day && each.card)
                        (printed_ ? printed_->made->sheet : now_->sheet).stopped = {
                            *day, record::number_in(each.card->value)};
            }
        } else if (arguments_.correct) {
            fail(input_has_errors, fmt::format("job {} has no record yet that could be corrected", arguments_.job));
            return false;
        }
        about_.reason = arguments_.reason;
        folder_ = (fs::path(root_) / "records" / history::folder_of(job.identity->value)).string();
        auto lock = Lock::take(folder_);
        if (!lock) {
            status_ = machine_error(terminal_, lock.failure());
            return false;
        }
        if (lock.value() == nullptr) {
            fail(machine_failed,
                 fmt::format("somebody else is writing a record of this vehicle ({} is locked)", folder_));
            return false;
        }
        lock_ = std::move(lock.value());
        if (!nothing_came_in_between()) return false;
        if (printed_) about_.since = since();
        return true;
    }

    // Of a recorder that was stopped between the two: what was typed is the record by now.
    void clear_up_after(const model::Record& record) const {
        const fs::path file = fs::path(root_) / now_->shop->sources.file(record.id.span.file).path;
        const std::string path = fs::path(file).replace_extension(".draft").string();
        const auto lock = Lock::take(file.parent_path().string());
        std::error_code error;
        if (!lock || lock.value() == nullptr || !record.boxes || !fs::exists(path, error)) return;
        const auto named = [](const auto& reference) { return reference ? reference->value.name : std::string(); };
        auto draft = Draft::open(path, {arguments_.job, named(record.corrects), named(record.continues)}, "");
        if (!draft) return;
        record::Answers recorded;
        for (const auto& [box, text] : record.boxes->value) recorded.emplace(box.value, text.value);
        const auto is_in_it = [&](const auto& each) {
            const auto found = recorded.find(each.first);
            return each.second.empty() || (found != recorded.end() && found->second == each.second);
        };
        const record::Answers typed = Session::without_notes(draft.value().answers());
        if (!typed.empty() && std::all_of(typed.begin(), typed.end(), is_in_it)) draft.value().remove();
    }

    // The shop was read before the vehicle's records were locked: what was recorded in between would be missing in what readings are judged by.
    bool nothing_came_in_between() {
        const std::string below = fmt::format("records/{}/", fs::path(folder_).filename().string());
        const auto is_record = [](std::string_view name) {
            return !name.starts_with('.') && name.ends_with(".yaml") && name.find('/') == std::string_view::npos;
        };
        std::size_t read = 0, there = 0;
        for (std::size_t i = 0; i < now_->shop->sources.size(); ++i) {
            const std::string_view path = now_->shop->sources.file(source::FileId(i)).path;
            read += path.starts_with(below) && is_record(path.substr(below.size())) ? 1 : 0;
        }
        std::error_code error;
        for (auto entry = fs::directory_iterator(folder_, error); !error && entry != fs::directory_iterator();
             entry.increment(error)) {
            there += is_record(entry->path().filename().string()) ? 1 : 0;
        }
        if (!error && there == read) return true;
        fail(machine_failed, error
                                 ? fmt::format("cannot read {}: {}", folder_, error.message())
                                 : fmt::format("somebody else has just written a record of this vehicle into {}; start "
                                               "anew, so that it counts",
                                               folder_));
        return false;
    }

    // What is damaged of another vehicle is told, and stops nothing of this one.
    bool records_are_whole() {
        if (!sheet().job->identity) return true;
        std::vector<source::FileId> of_it, of_others;
        for (const source::FileId file : damaged_records(*now_->shop))
            (may_be_of(*now_->shop, file, sheet().job->identity->value) ? of_it : of_others).push_back(file);
        if (of_it.empty()) {
            if (!is_for_programs(global_.messages)) terminal_.say(notice_of_damage(*now_->shop, of_others));
            return true;
        }
        const messages::Messages wrong = messages_in(*now_->shop, of_it);
        say_messages(terminal_, global_, wrong, now_->shop->sources);
        fail(input_has_errors, fmt::format("what is known of this vehicle is damaged: {}", verdict(wrong)));
        return false;
    }

    // What the shop's files say otherwise now than the cards that were printed.
    std::vector<std::vector<std::string>> since() const {
        if (now_->sheet.cards.empty())
            return std::vector<std::vector<std::string>>(sheet().cards.size(),
                                                         {"the shop's files make no cards of this job any more"});
        return record::changed_since(sheet(), now_->sheet);
    }

    // Is the card of that box the one that the earlier record was made of?
    bool same_card(const std::string& box) const {
        if (!before_->cards) return false;
        std::size_t card = 1;
        for (std::size_t i = 1; i <= sheet().cards.size(); ++i)
            if (box.starts_with(record::prefix_of(sheet(), i))) card = i;
        const auto& cards = before_->cards->value;
        return card <= cards.size() && card <= sheet().cards.size() && cards[card - 1].digest &&
               cards[card - 1].digest->value == sheet().cards[card - 1]->head.digest;
    }

    // Cards that were signed before the work was stopped on a later one.
    std::size_t settled() const { return about_.continues.empty() || last_card() == 0 ? 0 : last_card() - 1; }

    // The card on which the work ended the last time: who goes on signs it anew.
    std::size_t last_card() const {
        std::size_t last = 0;
        if (!before_->boxes) return last;
        for (std::size_t card = 1; card <= sheet().cards.size(); ++card)
            for (const auto& [box, text] : before_->boxes->value)
                if (box.value.starts_with(record::prefix_of(sheet(), card))) last = card;
        return last;
    }

    record::Answers earlier() const {
        record::Answers made;
        if (before_ == nullptr || !before_->boxes) return made;
        const std::string to_sign =
            about_.continues.empty() ? std::string() : record::prefix_of(sheet(), last_card()) + "sign-off/";
        for (const auto& [box, text] : before_->boxes->value) {
            if (!to_sign.empty() && box.value.starts_with(to_sign)) continue;
            // Work that is gone on with is no longer stopped.
            if (!same_card(box.value)) continue; // its steps are others by now
            const bool stop = box.value.starts_with("stopped/") || box.value.find("/stopped/") != std::string::npos;
            if (!stop || about_.continues.empty()) made.emplace(box.value, text.value);
        }
        return made;
    }

    int from_file() {
        record::Answers answers = answers_;
        if (!about_.continues.empty()) {
            const record::GoneOn gone_on = record::gone_on_with(sheet(), earlier(), answers_);
            answers = gone_on.answers;
            say_answered_anew(gone_on.anew);
        }
        const record::Look look = record::look_over(sheet(), answers);
        if (const std::string lacking = cards_not_given(look); !lacking.empty()) return fail(input_has_errors, lacking);
        const auto wrong = record::complaints(look);
        if (!wrong.empty()) {
            messages::Messages all = complaints_as_messages(file_, wrong);
            if (file_.head.known()) all.sort_and_unite(file_.sources); // a form's stand in the order of its cards
            say_messages(terminal_, global_, all, file_.sources);
            return fail(input_has_errors, fmt::format("nothing recorded: {}", verdict(all)));
        }
        say_gone_on_with(look, answers);
        for (const record::Ask& each : look.asks)
            if (!each.doubt.empty())
                terminal_.say(fmt::format("look once more: card {}{}: {}: {}, {}\n", each.card,
                                          each.step == 0 ? "" : fmt::format(", step {}", each.step), each.what,
                                          each.given, each.doubt));
        return write(look, answers);
    }

    // On paper that lay on the bench until the end a stop is no end, where all that comes after it is there as well; but somebody wrote it.
    void say_gone_on_with(const record::Look& look, const record::Answers& answers) {
        for (std::size_t card = 1; card <= sheet().cards.size() && look.stopped_on == 0; ++card) {
            std::string said;
            for (const std::string& box : record::stop_boxes(sheet(), card))
                if (const auto found = answers.find(box); found != answers.end() && !found->second.empty())
                    said += (said.empty() ? "" : ", ") + found->second;
            if (!said.empty())
                terminal_.say(
                    fmt::format("look once more: card {} says that the work was stopped there ({}), and all that "
                                "comes after it is filled in: taken as gone on with\n",
                                card, said));
        }
    }

    // What was found the first time must not go without a word.
    void say_answered_anew(const std::vector<std::string>& anew) {
        if (anew.empty()) return;
        terminal_.say(fmt::format("otherwise than in {}, which stays as it is:\n", about_.continues));
        for (const std::string& each : anew) {
            terminal_.say("  " + each + "\n");
            about_.reason += (about_.reason.empty() ? "answered anew: " : "; ") + each;
        }
    }

    // Of cards in files of their own one may be forgotten: that is one mistake, however many boxes it has.
    std::string cards_not_given(const record::Look& look) const {
        if (!printed_ || !about_.continues.empty()) return {};
        std::set<std::size_t> lacking;
        for (const record::Ask& each : look.asks)
            if (record::lacks(each) && !printed_->given.contains(each.card)) lacking.insert(each.card);
        if (lacking.empty()) return {};
        return fmt::format("nothing recorded: what the work needs of card {} is not in {}; give all of its cards: "
                           "`--from CARD.pdf CARD.pdf …`",
                           fmt::join(lacking, " and "), pdfs_.size() == 1 ? pdfs_.front().path : "these files");
    }

    // What has to be typed to go on with what was begun.
    std::string again() const { return arguments_.job + (arguments_.correct ? " --correct --reason …" : ""); }

    int type() {
        const std::string path = (fs::path(folder_) / (about_.id + ".draft")).string();
        auto draft = Draft::open(
            path, {arguments_.job, about_.corrects, about_.continues},
            fmt::format(
                "# What is filled in so far on the cards of {}, before it is a record; `benchleaf record {}` goes on.",
                arguments_.job, again()));
        if (!draft) return machine_error(terminal_, draft.failure());
        if (draft.value().fresh() && before_ != nullptr)
            if (auto put = draft.value().put(earlier()); !put) return machine_error(terminal_, put.failure());
        if (!about_.stopped_before.empty()) {
            const model::StoppedAt& at = about_.stopped_before.back();
            const auto said = [](const model::Given<std::string>& text) {
                return text ? text->value : std::string("?");
            };
            terminal_.say(fmt::format("the work was stopped on {} at {}, card {}, before step {}; the vehicle: {}\n",
                                      said(at.date), said(at.time), said(at.card), said(at.step), said(at.state)));
        }
        Typed typed;
        const Session::End end = Session(sheet(), draft.value(), arguments_.correct, settled(), typed, terminal_).run();
        switch (end) {
        case Session::End::failed:
            return machine_failed;
        case Session::End::left:
            terminal_.say(fmt::format("kept in {}; `benchleaf record {}` goes on from there\n", path, again()));
            return clean;
        case Session::End::cut_off:
            if (typed.error() != 0)
                return fail(machine_failed,
                            fmt::format("cannot read standard input: {}; what was answered is kept in {}",
                                        std::strerror(typed.error()), path));
            terminal_.say(
                fmt::format("not finished: kept in {}; `benchleaf record {}` goes on from there\n", path, again()));
            return input_has_errors;
        case Session::End::done:
            break;
        }
        const record::Answers answers = Session::without_notes(draft.value().answers());
        const int status = write(record::look_over(sheet(), answers, record::Stops::end_it), answers);
        if (recorded_) draft.value().remove();
        return status;
    }

    int write(const record::Look& look, const record::Answers& answers) {
        const model::Job& job = *sheet().job;
        const auto same = [](const auto& then, const auto& now) {
            return then.has_value() == now.has_value() && (!then || then->value.quantity == now->value.quantity);
        };
        const bool same_visit = before_ != nullptr && same(before_->meter, job.meter) && before_->date && job.date &&
                                before_->date->value == job.date->value;
        if (!about_.corrects.empty() && same_visit && answers == earlier())
            return fail(input_has_errors, "nothing was changed, so there is nothing to correct; no record was written");
        model::Record record = record::make(sheet(), look, answers, about_);
        const std::string text = sealed(model::print(record));
        const std::string path = (fs::path(folder_) / (about_.id + ".yaml")).string();
        auto written = write_new_file({path, text});
        if (!written) return machine_error(terminal_, written.failure());
        if (!written.value())
            return fail(input_has_errors, fmt::format("{} is there already, and stays as it is", path));
        recorded_ = true;
        terminal_.result(path + "\n");
        terminal_.say(record::summary(record));
        record.seal = source::Spanned<std::string>{seal_of(text), {}};
        return print_page(*made().shop, record);
    }

    // For the customer. The record is written whatever becomes of it.
    int print_page(const Shopful& shop, const model::Record& record) {
        auto page = customer_page(shop, record);
        if (!page) {
            terminal_.say(fmt::format("the record is written; no page for the customer could be made of it: {}\n",
                                      page.failure().what));
            return clean;
        }
        const std::string path = (fs::path(arguments_.out) / (record.id.value + ".customer.pdf")).string();
        if (auto written = write_files({{path, page.value()}}); !written)
            return machine_error(terminal_, written.failure());
        terminal_.result(path + "\n");
        return clean;
    }

    int page_again() {
        const Standing standing = standing_record(now_->shop->model, arguments_.job);
        if (standing.last == nullptr)
            return fail(input_has_errors, fmt::format("job {} has no record yet", arguments_.job));
        if (!seal_holds(now_->shop->sources.file(standing.last->id.span.file).text))
            return fail(input_has_errors, "the record is not as it was written; `benchleaf check` says more");
        return print_page(*now_->shop, *standing.last);
    }

    const RecordArguments& arguments_;
    const Global& global_;
    Terminal& terminal_;
    int status_ = clean;
    std::string root_;
    std::vector<Pdf> pdfs_;
    std::optional<std::string> yaml_; // a file of answers
    std::unique_ptr<JobCards> now_;
    std::optional<PrintedCards> printed_; // from the source that they carry
    record::Answers answers_;             // from a file
    AnswersFile file_;
    record::About about_;
    const model::Record* before_ = nullptr;
    std::string folder_;
    std::unique_ptr<Lock> lock_;
    bool recorded_ = false;
};

std::string wrong_arguments(const RecordArguments& arguments) {
    if (!arguments.reason.empty() && !record::in_letters(arguments.reason))
        return "--reason is a line of plain letters, two thousand at most";
    if (arguments.correct && arguments.reason.empty()) return "a correction says why: --reason TEXT";
    if (!arguments.from.empty() && !arguments.card.empty()) return "--from brings its own card: leave out --card";
    return {};
}

} // namespace

int record(const RecordArguments& arguments, const Global& global, Terminal& terminal) {
    if (const std::string wrong = wrong_arguments(arguments); !wrong.empty()) return usage_error(terminal, wrong);
    return Recorder(arguments, global, terminal).run();
}

} // namespace benchleaf::driver
