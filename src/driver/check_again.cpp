#include "driver/check_again.h"

#include "base/text.h"
#include "digest/digest.h"
#include "driver/archive.h"
#include "driver/asked.h"
#include "driver/disk.h"
#include "driver/picture_files.h"
#include "driver/rules.h"
#include "driver/shop_lock.h"
#include "pictures/pictures.h"

#include <algorithm>
#include <filesystem>
#include <set>
#include <unistd.h>
#include <utility>

namespace benchleaf::driver {

namespace {

using reach::Mark;

constexpr std::size_t most_bytes_remembered = 1U << 30;

reach::Kind kind_by_place(std::string_view path) {
    if (lies_in(path, "vehicles")) return reach::Kind::vehicle;
    if (lies_in(path, "jobs")) return reach::Kind::job;
    if (lies_in(path, "answers")) return reach::Kind::answers;
    if (lies_in(path, "approvals")) return reach::Kind::approval;
    if (lies_in(path, "catalogue")) return reach::Kind::catalogue;
    return path == "shop.yaml" || path.ends_with("/shop.yaml") ? reach::Kind::shop : reach::Kind::procedure;
}

Mark mark_of_stem(std::string_view path) {
    path.remove_prefix(path.rfind('/') + 1);
    return reach::mark_of(path.substr(0, path.rfind('.')));
}

std::shared_ptr<const reach::File> unlinked(const std::string& path, const reach::File* was, std::string_view text) {
    auto file = was != nullptr ? std::make_shared<reach::File>(*was) : std::make_shared<reach::File>();
    if (was == nullptr) {
        file->kind = kind_by_place(path);
        file->id = mark_of_stem(path);
    }
    file->unlinked = reach::words_of(text);
    return file;
}

// Its digest is empty where it cannot be read.
KnownFile known_picture(const std::string& root, const std::string& path) {
    KnownFile known;
    if (const auto stamp = stamp_of(root + "/" + path)) known.stamp = *stamp;
    std::string bytes;
    if (read_all(root + "/" + path, pictures::most_bytes + 1, bytes) == 0) known.digest = digest::sha256_hex(bytes);
    return known;
}

// What a file says of itself alone, whatever stands in the others.
bool of_one_file(const messages::Rule* rule) {
    static const std::set<const messages::Rule*> all = [] {
        std::set<const messages::Rule*> found;
        for (const StageRule& each : all_rules())
            if ((each.stage == Stage::syntax || each.stage == Stage::model) && each.rule->name != "misspelt-feature")
                found.insert(each.rule);
        return found;
    }();
    return all.contains(rule);
}

// What is told of a procedure by what stands near it alone: what it names, what its catalogues have, who begins and ends with that.
// These were held against checks of the whole shop often enough; any other one is told by such a check.
bool of_near(const messages::Rule* rule) {
    static const std::set<const messages::Rule*> all = [] {
        static constexpr std::string_view names[] = {"unknown-name",
                                                     "contract-broken",
                                                     "holds-nothing",
                                                     "left-loose",
                                                     "left-off",
                                                     "left-set",
                                                     "needs-unmet",
                                                     "openers-loose",
                                                     "other-vent-open",
                                                     "out-of-reach",
                                                     "outside-while",
                                                     "primed-open",
                                                     "slackened-outside-while",
                                                     "still-held",
                                                     "still-needed",
                                                     "vents-loose",
                                                     "ways-differ",
                                                     "wrong-place"};
        std::set<const messages::Rule*> found;
        for (const StageRule& each : all_rules())
            if (std::find(std::begin(names), std::end(names), each.rule->name) != std::end(names))
                found.insert(each.rule);
        return found;
    }();
    return all.contains(rule);
}

// Looks at what has changed, and at all that it can reach.
class Again {
public:
    Again(const std::string& root, const WorthIt& worth, const Stamps& stamps, Remembered& known)
        : root_(root), stamps_(stamps), known_(known), archive_(root, {}),
          most_(stamps.size() * worth.most_percent / 100), most_wide_(most_ / 5) {}

    // Of the paths of `touched`, or, where that is null, of all. False: the whole shop has to be looked at. True: nothing is wrong, or what `faulty` says.
    bool answers(const std::set<std::string>* touched, bool by_cause) {
        if (!(touched != nullptr ? find_changes(*touched) : find_changes()) || !find_changes_of_pictures())
            return false;
        if (changed_.empty() && changed_records_.empty() && gone_records_.empty()) return true;
        now_ = known_.reach;
        for (const std::string& path : changed_) {
            const auto was = known_.reach.find(path);
            const reach::File* before = was == known_.reach.end() ? nullptr : was->second.get();
            if (const auto bytes = texts_.find(path); bytes != texts_.end())
                now_[path] = unlinked(path, before, bytes->second);
            else
                now_.erase(path);
        }
        // What is looked at tells more of what has changed, and that may reach further.
        constexpr int most_rounds = 6;
        for (int round = 0; round < most_rounds; ++round) {
            reach_jobs_of_records();
            auto wanted = reach::smaller_shop(known_.reach, now_, changed_, sight_);
            if (!wanted || wanted->all.size() > (sight_ == reach::Sight::near ? most_ : most_wide_)) return false;
            reached_ = std::move(wanted->reached);
            const std::size_t before = looked_at();
            inside_.merge(wanted->all);
            records_.merge(records_of_jobs());
            if (round > 0 && looked_at() == before)
                return faulty_ != nullptr ? is_all(*faulty_, now_) && say(by_cause) : stands(nullptr, now_) && keep();
            if (!look_at_smaller_shop()) return false;
        }
        return false;
    }

    std::size_t looked_at() const { return inside_.size() + records_.size(); }
    bool stamps_changed() const { return stamps_changed_; }
    bool is_faulty() const { return faulty_ != nullptr; }
    std::unique_ptr<const Shopful> faulty() { return std::move(faulty_); }
    Statement said() { return std::move(said_); }

    // What differs from the state that is known.
    std::set<std::string> since() const {
        std::set<std::string> all = changed_;
        for (const auto& [path, record] : changed_records_) all.insert(path);
        all.insert(gone_records_.begin(), gone_records_.end());
        return all;
    }

    // Of a shop in which something is wrong: what could not be read is no procedure.
    Counts counts() const {
        Counts counts;
        counts.files = stamps_.size() - (stamps_.contains(allowed_signers_file) ? 1U : 0U);
        for (const auto& [path, file] : known_.reach)
            if (!inside_.contains(path) && stamps_.contains(path)) count(*file, counts);
        for (const model::Procedure& each : faulty_->model.procedures) {
            ++counts.procedures;
            counts.steps += reach::steps_of(each);
        }
        counts.jobs += faulty_->model.jobs.size();
        return counts;
    }
    static void count(const reach::File& file, Counts& counts) {
        counts.procedures += file.kind == reach::Kind::procedure ? 1U : 0U;
        counts.steps += file.steps;
        counts.jobs += file.kind == reach::Kind::job ? 1U : 0U;
    }

private:
    std::optional<std::string> read(const std::string& path) {
        auto bytes = archive_.read(path);
        return bytes ? std::optional(std::move(bytes.value())) : std::nullopt;
    }

    // A walk over what is known of files, beside one over those of today. What it passes by is gone.
    template <class T>
    class Beside {
    public:
        Beside(ByPath<T>& known, std::set<std::string>& gone)
            : at_(known.each().begin()), end_(known.each().end()), gone_(gone) {}
        T* come_to(std::string_view path) {
            for (; at_ != end_ && ByFolder{}(at_->first, path); ++at_) gone_.insert(at_->first);
            return at_ != end_ && at_->first == path ? &(at_++)->second : nullptr;
        }
        void come_to_end() {
            for (; at_ != end_; ++at_) gone_.insert(at_->first);
        }

    private:
        typename std::vector<std::pair<std::string, T>>::iterator at_, end_;
        std::set<std::string>& gone_;
    };

    bool find_changes() {
        Beside files(known_.files, changed_);
        Beside records(known_.records, gone_records_);
        for (const auto& [path, stamp] : stamps_)
            if (!(lies_in_archive(path) ? find_change_of_record(path, stamp, records.come_to(path))
                                        : find_change(path, stamp, files.come_to(path))))
                return false;
        files.come_to_end();
        records.come_to_end();
        return not_too_many();
    }

    bool find_changes(const std::set<std::string>& touched) {
        for (const std::string& path : touched) {
            const Stamp* stamp = stamps_.find(path);
            const bool record = lies_in_archive(path);
            if (stamp == nullptr) {
                if (record ? known_.records.contains(path) : known_.files.contains(path))
                    (record ? gone_records_ : changed_).insert(path);
            } else if (!(record ? find_change_of_record(path, *stamp, known_.records.find(path))
                                : find_change(path, *stamp, known_.files.find(path)))) {
                return false;
            }
        }
        return not_too_many();
    }

    bool not_too_many() {
        for (const std::string& path : gone_records_) {
            const reach::Told& told = known_.records.find(path)->told;
            told_.insert(told_.end(), told.begin(), told.end());
        }
        return changed_.size() <= most_ && changed_records_.size() <= most_;
    }

    bool find_changes_of_pictures() {
        for (auto& [path, picture] : known_.pictures)
            if (!find_change_of_picture(path, picture)) return false;
        return changed_.size() <= most_;
    }

    bool find_change(const std::string& path, const Stamp& stamp, KnownFile* known) {
        if (known != nullptr && known->stamp.same_as(stamp)) return true;
        auto bytes = read(path);
        if (!bytes) return false;
        std::string digest = digest::sha256_hex(*bytes);
        stamps_changed_ = true;
        if (known != nullptr && known->digest == digest) {
            known->stamp = stamp;
            return true;
        }
        new_files_[path] = {stamp, std::move(digest)};
        if (path == allowed_signers_file) return true; // a check without --approved asks nobody
        texts_[path] = std::move(*bytes);
        changed_.insert(path);
        return true;
    }

    bool find_change_of_record(const std::string& path, const Stamp& stamp, const KnownRecord* known) {
        if (known != nullptr && known->stamp.same_as(stamp)) return true;
        auto bytes = read(path);
        if (!bytes) return false;
        if (known != nullptr) told_.insert(told_.end(), known->told.begin(), known->told.end());
        stamps_changed_ = true;
        texts_[path] = std::move(*bytes);
        changed_records_[path] = {stamp, {}};
        records_.insert(path);
        return true;
    }

    bool find_change_of_picture(const std::string& path, KnownFile& known) {
        if (const auto stamp = stamp_of(root_ + "/" + path); stamp && stamp->same_as(known.stamp)) return true;
        KnownFile is = known_picture(root_, path);
        stamps_changed_ = true;
        if (is.digest == known.digest) {
            known.stamp = is.stamp;
            return true;
        }
        pictures_[path] = std::move(is);
        for (const auto& [procedure, file] : known_.reach) {
            const auto& all = file->pictures;
            if (std::find(all.begin(), all.end(), path) == all.end() || changed_.contains(procedure)) continue;
            auto bytes = read(procedure);
            if (!bytes) return false;
            texts_[procedure] = std::move(*bytes);
            changed_.insert(procedure);
        }
        return true;
    }

    // The records that belong to what is told, by the records as they are known so far.
    std::vector<std::pair<const std::string*, reach::Tells>> belonging(const std::vector<Mark>& told) const {
        std::vector<reach::Tells> all;
        std::vector<const std::string*> paths;
        const auto add = [&](const std::string& path, const KnownRecord& record) {
            all.push_back(record.told);
            paths.push_back(&path);
        };
        if (told.empty()) return {};
        for (const auto& [path, record] : known_.records)
            if (!gone_records_.contains(path)) add(path, record);
        for (const auto& [path, record] : changed_records_) add(path, record);
        std::vector<std::pair<const std::string*, reach::Tells>> found;
        for (const std::size_t i : reach::belonging(all, told)) found.emplace_back(paths[i], all[i]);
        return found;
    }

    // What a changed record tells of a vehicle stands on the cards of the jobs for it.
    void reach_jobs_of_records() {
        std::vector<Mark> told = told_;
        for (const auto& [path, record] : changed_records_)
            told.insert(told.end(), record.told.begin(), record.told.end());
        if (told.empty()) return;
        std::set<Mark> all(told.begin(), told.end());
        for (const auto& [path, more] : belonging(told)) all.insert(more.begin(), more.end());
        for (const auto& [path, file] : now_)
            if (file->kind == reach::Kind::job &&
                std::any_of(file->words.begin(), file->words.end(), [&](Mark word) { return all.contains(word); }))
                changed_.insert(path);
    }

    reach::Paths records_of_jobs() const {
        std::vector<Mark> told;
        for (const std::string& path : inside_)
            if (const auto file = now_.find(path); file != now_.end() && file->second->kind == reach::Kind::job)
                told.insert(told.end(), file->second->words.begin(), file->second->words.end());
        reach::Paths records;
        for (const auto& [path, of] : belonging(told)) records.insert(*path);
        return records;
    }

    // A file of which nothing has changed has to be what it was when it was looked at.
    bool put(const std::string& path, Files& files) {
        if (const auto text = texts_.find(path); text != texts_.end()) {
            files.emplace(path, text->second);
            return true;
        }
        auto bytes = read(path);
        const KnownFile* known = known_.files.find(path);
        if (!bytes) return false;
        if (known != nullptr && known->digest != digest::sha256_hex(*bytes)) return false;
        files.emplace(path, std::move(*bytes));
        return true;
    }

    bool look_at_smaller_shop() {
        files_ = {};
        files_.shelf = std::make_shared<const Shelf>(root_);
        for (const std::string& path : inside_)
            if (stamps_.contains(path) && !put(path, files_)) return false;
        for (const std::string& path : records_)
            if (!put(path, files_)) return false;
        CheckOptions options;
        options.unused = false; // whoever uses it may be left out
        options.allows_in = &reached_;
        auto checked = check_shop(files_, options);
        if (checked->failed) return false;
        const bool faulty = !checked->messages.all().empty();
        if (faulty && !each_of_one_file(*checked)) {
            if (!may_look_wider()) return false;
            sight_ = sees_far_enough(*checked, reach::Sight::wide) ? std::max(sight_, reach::Sight::wide)
                                                                   : reach::Sight::widest;
        }
        // Where names and figures are lacking, nothing was linked, and nothing else of the shop is judged.
        if (!checked->model.unread_shared) {
            note(*checked, faulty, files_, now_);
            note_records(*checked);
        }
        faulty_ = faulty ? std::move(checked) : nullptr;
        return true;
    }

    // Nothing but procedures has changed: they see what their catalogues have, and no others.
    bool may_look_wider() const {
        return changed_records_.empty() && gone_records_.empty() &&
               std::all_of(changed_.begin(), changed_.end(), [&](const std::string& path) {
                   const auto is = now_.find(path);
                   const auto was = known_.reach.find(path);
                   return is != now_.end() && was != known_.reach.end() && texts_.contains(path) &&
                          is->second->kind == reach::Kind::procedure && was->second->kind == reach::Kind::procedure;
               });
    }

    // Is all that is said of files that have changed, by themselves, and is that how a check would say it? It tries fixes for some, which reach further.
    bool each_of_one_file(const Shopful& checked) const {
        const auto& all = checked.messages.all();
        const bool several = checked.messages.count(messages::Level::error) > 1;
        return std::all_of(all.begin(), all.end(), [&](const messages::Message& each) {
            const bool tried = std::any_of(each.fixes.begin(), each.fixes.end(),
                                           [&](const messages::Fix& fix) { return several || fix.to_try; });
            return !tried && is_of_one_file(each, checked);
        });
    }

    // Where a procedure does not say how it begins, it is looked for among all procedures whether it begins as one of them ends.
    bool sees_far_enough(const Shopful& checked, reach::Sight sight) const {
        if (sight == reach::Sight::widest) return true;
        const auto& said = checked.messages.all();
        if (std::all_of(said.begin(), said.end(), [](const messages::Message& each) {
                return of_one_file(each.rule) || each.rule->name == "unknown-name";
            }))
            return true;
        const auto& all = checked.model.procedures;
        return std::all_of(all.begin(), all.end(), [&](const model::Procedure& each) {
            return each.starts_with || !has_changed(each.id.span, checked);
        });
    }

    bool has_changed(source::Span span, const Shopful& checked) const {
        return span.known() && texts_.contains(checked.sources.file(span.file).path);
    }

    bool is_of_one_file(const messages::Message& message, const Shopful& checked) const {
        return of_one_file(message.rule) && !message.labels.empty() &&
               std::all_of(message.labels.begin(), message.labels.end(),
                           [&](const messages::Label& label) { return has_changed(label.span, checked); });
    }

    // Likewise, of a changed procedure, by what stands near it, which is there.
    bool is_of_near(const messages::Message& message, const Shopful& checked, const reach::Reach& now) const {
        if (sight_ == reach::Sight::near || !of_near(message.rule) || message.labels.empty()) return false;
        if (!has_changed(message.labels.front().span, checked)) return false;
        if (!std::all_of(message.labels.begin(), message.labels.end(),
                         [](const messages::Label& label) { return label.span.known(); }))
            return false;
        return message.rule->name != "unknown-name" || is_slip_near(message, checked, now);
    }

    // A name that no catalogue has, of the shop; and what is nearest to it stands in one that the procedure uses.
    bool is_slip_near(const messages::Message& message, const Shopful& checked, const reach::Reach& now) const {
        if (message.labels.size() != 2) return false;
        const auto declared = now.find(checked.sources.file(message.labels.back().span.file).path);
        if (declared == now.end() || declared->second->kind != reach::Kind::catalogue) return false;
        std::string_view name = checked.sources.text(message.labels.front().span);
        if (const std::size_t slash = name.find('/'); slash != std::string_view::npos) name.remove_prefix(slash + 1);
        return base::is_kebab_case(name) && !reach::is_declared_elsewhere(now, inside_, name);
    }

    // Is what is said of a smaller shop all that is said of the whole?
    bool is_all(const Shopful& checked, const reach::Reach& now) const {
        const auto& all = checked.messages.all();
        return std::all_of(all.begin(), all.end(),
                           [&](const messages::Message& each) {
                               return is_of_one_file(each, checked) || is_of_near(each, checked, now);
                           }) &&
               sees_far_enough(checked, sight_) && stands(&checked, now);
    }

    bool stands(const Shopful* faulty, const reach::Reach& now) const {
        if (faulty == nullptr) return reach::stands_as_before(known_.reach, now);
        if (faulty->model.unread_shared) return true;
        return reach::stands_as_before(
            known_.reach, now, {.spelling = faulty->model.unread.empty(), .use = !faulty->messages.any_error()});
    }

    // As a check of the whole shop would say it, which tries fixes. False: it is not known.
    bool say(bool by_cause) {
        bool sure = true;
        const auto check = [&](const Files& files, const CheckOptions& options) {
            auto checked = sure ? check_attempt(files, options) : nullptr;
            sure = checked != nullptr;
            return checked;
        };
        said_ = said_of(files_, *faulty_, {}, {.by_cause = by_cause, .tries = true}, check);
        return sure;
    }

    // The smaller shop with a fix. What it names now has to be there, too.
    std::unique_ptr<Shopful> check_attempt(const Files& files, CheckOptions options) const {
        if (sight_ == reach::Sight::near) return nullptr;
        if (options.unused) options.allows_in = &reached_;
        options.unused = false;
        auto checked = check_shop(files, options);
        if (checked->failed || checked->model.unread_shared) return nullptr;
        reach::Reach now = now_;
        note(*checked, true, files, now);
        const auto wanted = reach::smaller_shop(known_.reach, now, changed_, sight_);
        if (!wanted || !std::includes(inside_.begin(), inside_.end(), wanted->all.begin(), wanted->all.end()) ||
            !is_all(*checked, now))
            return nullptr;
        return checked;
    }

    // `faulty`: what a changed file names may be more than what was found.
    void note(const Shopful& checked, bool faulty, const Files& files, reach::Reach& now) const {
        if (faulty)
            for (const std::string& path : changed_)
                if (const auto text = files.find(path); text != files.end())
                    now[path] = unlinked(path, nullptr, text->second);
        for (auto& [path, file] : reach::reach_of(checked.linked, checked.sources)) {
            std::shared_ptr<const reach::File>& is = now[path];
            const auto was = known_.reach.find(path);
            if (faulty && changed_.contains(path)) {
                auto with_words = std::make_shared<reach::File>(*file);
                with_words->unlinked = is->unlinked;
                is = std::move(with_words);
            } else {
                is = was != known_.reach.end() && *was->second == *file ? was->second : file;
            }
        }
    }

    void note_records(const Shopful& checked) {
        for (const model::Record& record : checked.model.records)
            if (const auto changed = changed_records_.find(checked.sources.file(record.id.span.file).path);
                changed != changed_records_.end())
                changed->second.told = reach::told_by(record);
    }

    // What was found is known from now on.
    bool keep() {
        known_.reach = std::move(now_);
        for (const std::string& path : changed_)
            if (!stamps_.contains(path)) known_.files.erase(path);
        for (auto& [path, file] : new_files_) known_.files.put(path, std::move(file));
        for (auto& [path, record] : changed_records_) known_.records.put(path, std::move(record));
        for (const std::string& path : gone_records_) known_.records.erase(path);
        for (auto& [path, picture] : pictures_) known_.pictures[path] = std::move(picture);
        for (const std::string& path : inside_)
            if (const auto file = known_.reach.find(path); file != known_.reach.end())
                for (const std::string& picture : file->second->pictures)
                    if (!known_.pictures.contains(picture)) known_.pictures[picture] = known_picture(root_, picture);
        stamps_changed_ = true;
        return true;
    }

    const std::string& root_;
    const Stamps& stamps_;
    Remembered& known_;
    Archive archive_;
    std::size_t most_;      // files to look at
    std::size_t most_wide_; // of them where something is wrong, for they are looked at several times
    reach::Reach now_;
    reach::Paths changed_, inside_, reached_;
    reach::Sight sight_ = reach::Sight::near;
    Files files_;                              // of the smaller shop
    Statement said_;                           // where something is wrong with it
    std::map<std::string, std::string> texts_; // of what has changed
    std::map<std::string, KnownFile> new_files_;
    std::map<std::string, KnownRecord> changed_records_;
    std::map<std::string, KnownFile> pictures_; // of those that have changed
    reach::Paths records_;                      // that are looked at
    std::unique_ptr<const Shopful> faulty_;     // the smaller shop, where something is wrong with it
    std::vector<Mark> told_;                    // by records as they were before
    reach::Paths gone_records_;
    bool stamps_changed_ = false;
};

} // namespace

Counts counts_of(const Shopful& shop, const std::vector<std::string>& paths) {
    const std::vector<source::FileId> files = roots_of(shop.sources, paths);
    const std::set<source::FileId> among(files.begin(), files.end());
    Counts counts;
    counts.files = files.size();
    for (const model::Procedure& each : shop.model.procedures) {
        if (!among.contains(each.id.span.file)) continue;
        ++counts.procedures;
        counts.steps += reach::steps_of(each);
    }
    for (const model::Job& each : shop.model.jobs) counts.jobs += among.contains(each.id.span.file) ? 1U : 0U;
    if (shop.left_out == 0) return counts;
    // Records that were let go after they had been read are files of the shop, too.
    std::set<std::string_view> kept;
    for (const source::FileId file : shop.records) kept.insert(shop.sources.file(file).path);
    for (const std::string& path : shop.archive->paths()) {
        const auto above = [&path](const std::string& folder) { return lies_below(path, folder); };
        if (!kept.contains(path) && (paths.empty() || std::any_of(paths.begin(), paths.end(), above))) ++counts.files;
    }
    return counts;
}

bool CheckAgain::look_at_stamps(Threads threads, std::set<std::string>& touched) {
    if (!touched.empty() && stamps_ && known_ && in_step_) {
        touched.insert(since_.begin(), since_.end());
        for (const auto& [path, stamp] : *stamps_)
            if (!stamp.settled) touched.insert(path);
        if (look_again_at(root_, touched, *stamps_)) return true;
    }
    touched.clear();
    // What is known is fetched meanwhile.
    std::optional<Remembered> known;
    const bool fetch = !known_;
    in_order(
        2, threads.most,
        [&](std::size_t i) {
            if (i == 0)
                stamps_ = stamps_of(root_, threads);
            else if (fetch)
                known = load();
            return 0;
        },
        [](std::size_t, int) { return true; });
    if (fetch) known_ = std::move(known);
    return stamps_ && stamps_->size() >= worth_.least_files && known_;
}

std::optional<Looked> CheckAgain::look(Threads threads, const std::set<std::string>* touched, bool by_cause) {
    looked_at_ = 0;
    const auto lock = ShopLock::take(root_, ShopLock::For::reading);
    if (!lock) return std::nullopt; // which the whole look says
    std::set<std::string> those;
    if (touched != nullptr) those = *touched;
    if (!look_at_stamps(threads, those)) return std::nullopt;
    Again again(root_, worth_, *stamps_, *known_);
    in_step_ = again.answers(those.empty() ? nullptr : &those, by_cause);
    if (!in_step_) {
        known_.reset(); // half of it may be of today
        return std::nullopt;
    }
    looked_at_ = again.looked_at();
    if (again.is_faulty()) {
        since_ = again.since();
        const Counts counts = again.counts();
        return Looked{counts, again.faulty(), again.said()};
    }
    since_.clear();
    fresh_ = fresh_ || again.stamps_changed();
    Counts counts;
    counts.files =
        known_->files.size() + known_->records.size() - (known_->files.contains(allowed_signers_file) ? 1U : 0U);
    for (const auto& [path, file] : known_->reach) Again::count(*file, counts);
    return Looked{counts, nullptr, {}};
}

void CheckAgain::remember(const Shop& shop, const Shopful& checked) {
    known_.reset();
    if (!stamps_ || stamps_->size() < worth_.least_files) return;
    Remembered known;
    for (const model::Record& record : checked.model.records) // a shared folder's own are not read one at a time
        if (!lies_in_archive(checked.sources.file(record.id.span.file).path)) return;
    known.reach = reach::reach_of(checked.linked, checked.sources);
    for (const auto& [path, file] : known.reach)
        for (const std::string& picture : file->pictures)
            if (!known.pictures.contains(picture)) known.pictures[picture] = known_picture(root_, picture);
    static const std::vector<std::string> none;
    const std::vector<std::string>& archived = checked.archive != nullptr ? checked.archive->paths() : none;
    known.files.reserve(shop.files.size());
    known.records.reserve(archived.size());
    for (auto& [path, stamp] : stamps_->each()) { // they are in the order in which they are known
        if (!lies_in_archive(path)) {
            if (const auto file = shop.files.find(path); file != shop.files.end())
                known.files.add(std::move(path), {stamp, digest::sha256_hex(file->second)});
            continue;
        }
        const auto at = std::lower_bound(archived.begin(), archived.end(), path);
        if (at == archived.end() || *at != path) continue;
        const reach::Tells told = checked.heads.told(static_cast<std::size_t>(at - archived.begin()));
        known.records.add(std::move(path), {stamp, reach::Told(told.begin(), told.end())});
    }
    stamps_.reset(); // most of it went over
    // A file came or went between the two looks.
    if (known.files.size() != shop.files.size() || known.records.size() != archived.size()) return;
    // Each file was read as one thing, or it is not known what it was judged by.
    if (known.files.size() - (known.files.contains(allowed_signers_file) ? 1U : 0U) != known.reach.size()) return;
    known_ = std::move(known);
    since_.clear();
    in_step_ = true;
    fresh_ = true;
}

std::optional<Remembered> CheckAgain::load() const {
    const std::string place = place_of_remembered(root_);
    std::string bytes;
    if (place.empty() || read_all(place, most_bytes_remembered, bytes) != 0) return std::nullopt;
    return remembered_in(bytes, mark_of_program());
}

// What is lost with the light is no loss: its sum tells.
void CheckAgain::write_down() {
    if (!fresh_ || !known_) return;
    fresh_ = false;
    const std::string place = place_of_remembered(root_);
    const std::string program = mark_of_program();
    if (place.empty() || program.empty()) return;
    std::vector<std::string> made;
    std::string at;
    if (make_folders(std::filesystem::path(place).parent_path().string(), made, at) != 0) return;
    std::string name;
    const int file = open_new_beside(place + ".", name);
    if (file < 0) return;
    const int wrong = put_remembered(*known_, program, [file](std::string_view bytes) { return put_all(file, bytes); });
    const int closed = close_file(file);
    if (wrong != 0 || closed != 0 || take_name(name, place) != 0) (void)remove_file(name);
}

} // namespace benchleaf::driver
