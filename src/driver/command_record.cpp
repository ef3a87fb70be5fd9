// `record`: takes what was filled in on the cards of a job, one answer after the other or all of them from a file, and writes the record.
#include "driver/commands.h"
#include "driver/pipeline.h"
#include "driver/records.h"
#include "driver/say.h"
#include "driver/session.h"
#include "driver/write_files.h"

#include "base/text.h"
#include "bundle/bundle.h"
#include "filled/filled.h"
#include "history/history.h"
#include "model/dump.h"
#include "record/make.h"
#include "record/since.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iostream>
#include <iterator>
#include <sstream>

namespace benchleaf::driver {

namespace {

namespace fs = std::filesystem;

std::optional<std::string> read_whole(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file || fs::is_directory(path)) return std::nullopt;
    return std::string(std::istreambuf_iterator<char>(file), {});
}

// The cards of the job, made of one state of the shop's files.
struct Made {
    Files files;
    std::unique_ptr<Shopful> shop;
    std::unique_ptr<Work> work;
    record::Sheet sheet;
};

std::optional<linked::JobId> job_called(const Shopful& shop, std::string_view name) {
    for (const linked::Job& job : shop.linked.jobs)
        if (job.source->id.value == name) return job.id;
    return std::nullopt;
}

std::unique_ptr<Made> make_cards(Files files, std::string_view job) {
    auto made = std::make_unique<Made>();
    made->files = std::move(files);
    made->shop = link_shop(made->files);
    const auto id = job_called(*made->shop, job);
    if (!id) return made;
    PrintOptions options;
    options.until = Stage::card;
    made->work = make_job(*made->shop, *id, options);
    if (!made->work->messages.any_error()) made->sheet = sheet_of(*made->shop, *made->work);
    return made;
}

// What goes wrong on the way is said, and `status` set.
class Recorder {
public:
    Recorder(const RecordArguments& arguments, const Global& global, Terminal& terminal)
        : arguments_(arguments), global_(global), terminal_(terminal) {}

    int run() {
        if (!open() || !take_file()) return status_;
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

    const record::Sheet& sheet() const { return printed_ ? printed_->sheet : now_->sheet; }
    const Made& made() const { return printed_ ? *printed_ : *now_; }

    bool open() {
        auto read = open_shop(global_, "", terminal_, status_);
        if (!read) return false;
        root_ = read->root;
        now_ = make_cards(std::move(read->files), arguments_.job);
        if (now_->work == nullptr) {
            std::vector<std::string_view> known;
            for (const linked::Job& job : now_->shop->linked.jobs) known.push_back(job.source->id.value);
            status_ = usage_error(terminal_, no_such("job", arguments_.job, known));
            return false;
        }
        return true;
    }

    // A file of answers, or a printed card that carries what it was made of.
    bool take_file() {
        const std::string& path = arguments_.from.empty() ? arguments_.card : arguments_.from;
        if (path.empty()) return cards_are_good(*now_);
        const auto bytes = read_whole(path);
        if (!bytes) {
            status_ = machine_error(terminal_, {fmt::format("cannot read {}", path)});
            return false;
        }
        if (bytes->starts_with("%PDF-")) return take_pdf(path, *bytes);
        if (arguments_.from.empty()) {
            fail(input_has_errors, fmt::format("{} is no PDF; `--card` takes a card that was printed", path));
            return false;
        }
        if (!cards_are_good(*now_)) return false;
        return take_yaml(path, *bytes);
    }

    bool cards_are_good(const Made& made) {
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

    bool take_pdf(const std::string& path, const std::string& bytes) {
        auto filled = filled::read(bytes);
        if (!filled) {
            fail(input_has_errors, fmt::format("{}: {}", path, filled.failure().what));
            return false;
        }
        if (filled.value().source.empty()) {
            fail(
                input_has_errors,
                fmt::format(
                    "{} carries no source: it was not printed by benchleaf, or went through a program that left it out",
                    path));
            return false;
        }
        auto unpacked = bundle::read(filled.value().source);
        if (!unpacked) {
            fail(input_has_errors,
                 fmt::format("{}: what it was made of cannot be read: {}", path, unpacked.failure().what));
            return false;
        }
        Files files;
        for (auto& each : unpacked.value()) files.emplace(std::move(each.path), std::move(each.bytes));
        printed_ = make_cards(std::move(files), arguments_.job);
        if (printed_->work == nullptr) {
            std::string its;
            for (const linked::Job& job : printed_->shop->linked.jobs) its = job.source->id.value;
            fail(input_has_errors, its.empty()
                                       ? fmt::format("{} is a blank card and of no job", path)
                                       : fmt::format("{} is a card of job {}, not of {}", path, its, arguments_.job));
            return false;
        }
        if (printed_->sheet.cards.empty()) {
            messages::Messages all = printed_->work->messages;
            all.sort_and_unite(printed_->shop->sources);
            say_messages(terminal_, global_, all, printed_->shop->sources);
            fail(input_has_errors,
                 fmt::format("{}: this program makes no cards of what it carries; an older one printed it", path));
            return false;
        }
        // Who may sign, and whether he may look after his own work, is the shop's to say and not the paper's.
        if (now_->shop->linked.shop != nullptr) printed_->sheet.shop = now_->shop->linked.shop;
        if (!same_job(path)) return false;
        if (!arguments_.from.empty()) {
            record::Answers boxes;
            const std::string prefix = prefix_for(filled.value());
            for (const auto& [box, text] : filled.value().boxes) boxes.emplace(prefix + box, text);
            answers_ = record::filled_in(sheet(), boxes, record::Written::in_a_form);
            file_ = answers_of(path, arguments_.job, answers_);
        }
        return true;
    }

    // The figures of the job may have been put right since; but it is the same visit of the same vehicle.
    bool same_job(const std::string& path) {
        const model::Job& then = *printed_->sheet.job;
        const auto id = job_called(*now_->shop, arguments_.job);
        const model::Job& job = *now_->shop->linked.jobs[id->index()].source;
        const bool same =
            then.identity && job.identity && history::same_vehicle(then.identity->value, job.identity->value);
        if (same || (!then.identity && !job.identity)) return true;
        fail(input_has_errors, fmt::format("{} is a card of job {} for another vehicle", path, arguments_.job));
        return false;
    }

    // Cards that were printed one by one have boxes without the card's number.
    std::string prefix_for(const filled::Filled& filled) const {
        if (sheet().cards.size() < 2) return {};
        for (const auto& [box, text] : filled.boxes)
            if (box.starts_with("card-") || box.starts_with("cover/")) return {};
        for (std::size_t i = 0; i < sheet().cards.size(); ++i)
            if (sheet().cards[i]->head.title == filled.title) return record::prefix_of(sheet(), i + 1);
        return {};
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
        for (const model::Record& each : now_->shop->model.records)
            if (each.id.span.known() && !seal_holds(now_->shop->sources.file(each.id.span.file).text)) {
                fail(input_has_errors, fmt::format("{} is not as it was written; `benchleaf check` says more",
                                                   now_->shop->sources.file(each.id.span.file).path));
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
                fail(input_has_errors,
                     fmt::format("job {} has its record: {}; `--correct --reason TEXT` writes another one in its "
                                 "place, which names it",
                                 arguments_.job, now_->shop->sources.file(standing.last->id.span.file).path));
                return false;
            }
            (arguments_.correct ? about_.corrects : about_.continues) = standing.last->id.value;
            before_ = standing.last;
            if (!arguments_.correct && before_->stopped) about_.stopped_before = before_->stopped->value;
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
        if (printed_) about_.since = since();
        return true;
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

    record::Answers earlier() const {
        record::Answers made;
        if (before_ != nullptr && before_->boxes)
            for (const auto& [box, text] : before_->boxes->value) {
                // Work that is gone on with is no longer stopped.
                if (!same_card(box.value)) continue; // its steps are others by now
                const bool stop = box.value.starts_with("stopped/") || box.value.find("/stopped/") != std::string::npos;
                if (!stop || about_.continues.empty()) made.emplace(box.value, text.value);
            }
        return made;
    }

    int from_file() {
        record::Answers answers = answers_;
        // What was stopped and gone on with keeps what was filled in before.
        if (!about_.continues.empty())
            for (const auto& [box, text] : earlier()) answers.emplace(box, text);
        const record::Look look = record::look_over(sheet(), answers);
        const auto wrong = record::complaints(look);
        if (!wrong.empty()) {
            messages::Messages all = complaints_as_messages(file_, wrong);
            all.sort_and_unite(file_.sources);
            say_messages(terminal_, global_, all, file_.sources);
            return fail(input_has_errors, fmt::format("nothing recorded: {}", verdict(all)));
        }
        return write(look, answers);
    }

    // What has to be typed to go on with what was begun.
    std::string again() const { return arguments_.job + (arguments_.correct ? " --correct --reason …" : ""); }

    int type() {
        const std::string path = (fs::path(folder_) / (about_.id + ".draft")).string();
        auto draft = Draft::open(
            path,
            fmt::format(
                "# What is filled in so far on the cards of {}, before it is a record; `benchleaf record {}` goes on.\n"
                "answers: {}\n",
                arguments_.job, arguments_.job, arguments_.job));
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
        const Session::End end = Session(sheet(), draft.value(), arguments_.correct, std::cin, terminal_).run();
        switch (end) {
        case Session::End::failed:
            return machine_failed;
        case Session::End::left:
            terminal_.say(fmt::format("kept in {}; `benchleaf record {}` goes on from there\n", path, again()));
            return clean;
        case Session::End::cut_off:
            terminal_.say(
                fmt::format("not finished: kept in {}; `benchleaf record {}` goes on from there\n", path, again()));
            return input_has_errors;
        case Session::End::done:
            break;
        }
        const record::Answers answers = Session::without_notes(draft.value().answers());
        const int status = write(record::look_over(sheet(), answers), answers);
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
    std::unique_ptr<Made> now_;
    std::unique_ptr<Made> printed_; // from the source that a printed card carries
    record::Answers answers_;       // from a file
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
