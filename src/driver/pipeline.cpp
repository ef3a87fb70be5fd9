#include "driver/pipeline.h"

#include "base/require.h"
#include "bundle/bundle.h"
#include "card/build.h"
#include "digest/digest.h"
#include "driver/allow.h"
#include "driver/approvals.h"
#include "driver/archive.h"
#include "driver/archived.h"
#include "driver/check.h"
#include "driver/damaged.h"
#include "driver/list_names.h"
#include "driver/prove_shop.h"
#include "driver/records.h"
#include "driver/reports.h"
#include "fitted/fit.h"
#include "history/history.h"
#include "labels/labels.h"
#include "linked/link.h"
#include "model/dump.h"
#include "model/lay_over.h"
#include "model/match_features.h"
#include "model/read.h"
#include "pages/bind.h"
#include "pages/field_words.h"
#include "pages/lay_out.h"
#include "pdf/paint.h"
#include "wording/take_apart.h"

#include <algorithm>
#include <numeric>

namespace benchleaf::driver {

namespace {

// Where nobody says how many threads there are to be. A file takes some hundredths of a millisecond, a job some milliseconds.
constexpr std::size_t files_worth_a_thread = 200;

void own(Concerns& concerns, source::Span span) {
    if (span.known()) concerns[span.file.index()] = Concern::own;
}

// A file that says what is wrong with a name or a key of its own.
bool says_error(const Shopful& shop, source::FileId file) {
    const auto& all = shop.messages.all();
    return std::any_of(all.begin(), all.end(), [&](const messages::Message& message) {
        return message.rule->level == messages::Level::error && !message.labels.empty() &&
               message.labels.front().span.file == file;
    });
}

// What belongs in a hole that its own file says nothing of is in some other file, and there is no telling which.
void look_for_hole(const Shopful& shop, source::FileId file, Concerns& concerns) {
    if (!says_error(shop, file)) concerns.assign(concerns.size(), Concern::own);
}

void add_procedure(const Shopful& shop, linked::ProcedureId id, Concerns& concerns);

// True where a step is a hole.
bool add_calls(const Shopful& shop, const linked::Steps& steps, Concerns& concerns) {
    bool holes = false;
    for (const linked::Step& step : steps) {
        holes = holes || step.kind == linked::StepKind::hole;
        if (step.procedure.known()) add_procedure(shop, step.procedure, concerns);
        for (const linked::Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise})
            holes = add_calls(shop, *below, concerns) || holes;
    }
    return holes;
}

// Each procedure's file is entered once, so a cycle of calls ends here too.
void add_procedure(const Shopful& shop, linked::ProcedureId id, Concerns& concerns) {
    const linked::Procedure& procedure = shop.linked.procedures[id.index()];
    const source::Span declared = procedure.source->id.span;
    if (!declared.known() || concerns[declared.file.index()] == Concern::own) return;
    concerns[declared.file.index()] = Concern::own;
    bool holes = false;
    for (const linked::Section& section : procedure.sections) holes = add_calls(shop, section.steps, concerns) || holes;
    if (holes) look_for_hole(shop, declared.file, concerns);
}

// Every card needs the shop's own figures. Where nothing is linked, nobody knows which catalogues it uses.
Concerns none_but_the_shop(const Shopful& shop) {
    Concerns concerns(shop.sources.size(), Concern::none);
    for (std::size_t i = 0; i < concerns.size(); ++i) {
        const std::string& path = shop.sources.file(source::FileId(i)).path;
        if (path == "shop.yaml" || (shop.linked.model == nullptr && lies_in(path, "catalogue")))
            concerns[i] = Concern::shared;
    }
    return concerns;
}

std::vector<source::FileId> files_of_records(const source::Sources& sources) {
    std::vector<source::FileId> files;
    for (std::size_t i = 0; i < sources.size(); ++i)
        if (sources.file(source::FileId(i)).path.starts_with("records/")) files.emplace_back(i);
    std::sort(files.begin(), files.end(),
              [&sources](source::FileId a, source::FileId b) { return sources.file(a).path < sources.file(b).path; });
    return files;
}

// The catalogues of a work, while they are gathered.
class SharedCatalogues {
public:
    SharedCatalogues(const Shopful& shop, Concerns& concerns) : shop_(shop), concerns_(concerns) {}

    void add(const std::vector<linked::CatalogueId>& used, std::size_t named) {
        lacking_ = lacking_ || used.size() < named;
        for (const linked::CatalogueId each : used) add(each);
    }
    // What is bound to their things in others, and to the things of those.
    void add_those_speaking_of_them() {
        (void)add_speaking(
            shop_.catalogue_texts, [this] { return shared(); },
            [this](std::size_t i, std::vector<std::string>& things) {
                for (const model::Catalogue& each : shop_.model.catalogues)
                    if (each.id.span.known() && each.id.span.file == shop_.catalogue_files[i]) add_things(each, things);
            },
            [this](std::size_t i) {
                add(shop_.catalogue_files[i]);
                return true;
            });
    }
    // Of a vehicle or a job, which call entries by their names alone.
    void add(const std::vector<std::string>& names) {
        const Naming naming(names);
        // While a catalogue is not read, the linker is silent on what it does not find.
        if (shop_.model.unread_shared)
            lacking_ = lacking_ || !std::all_of(names.begin(), names.end(),
                                                [this](const std::string& name) { return is_entry(name); });
        for (const std::string& name : naming.names()) add_those_with(name);
        if (!naming.names().empty()) add_those_with({});
        for (const linked::Catalogue& each : shop_.linked.catalogues)
            if (naming.catalogues().contains(each.id)) add(each.declared.file);
    }
    // One that is named and was not found may be any of those that could not be read.
    void finish() {
        if (!lacking_) return;
        for (std::size_t i = 0; i < concerns_.size(); ++i)
            if (concerns_[i] == Concern::none && lies_in(shop_.sources.file(source::FileId(i)).path, "catalogue") &&
                of_file(source::FileId(i)) == nullptr)
                concerns_[i] = Concern::shared;
    }

private:
    CatalogueTexts::Some shared() const {
        CatalogueTexts::Some all;
        for (const source::FileId file : shop_.catalogue_files) all.push_back(concerns_[file.index()] != Concern::none);
        return all;
    }
    bool is_entry(std::string_view name) const {
        const std::size_t slash = name.find('/');
        const auto is_it = [&](const auto& entry) {
            if (slash == std::string_view::npos) return entry.id == name;
            return entry.id == name.substr(slash + 1) &&
                   shop_.linked.catalogues[entry.catalogue.index()].id == name.substr(0, slash);
        };
        const auto among = [&](const auto& all) { return std::any_of(all.begin(), all.end(), is_it); };
        const linked::Linked& linked = shop_.linked;
        return among(linked.items) || among(linked.limits) || among(linked.consumables) || among(linked.tools) ||
               among(linked.cautions);
    }
    const linked::Catalogue* of_file(source::FileId file) const {
        for (const linked::Catalogue& each : shop_.linked.catalogues)
            if (each.declared.known() && each.declared.file == file) return &each;
        return nullptr;
    }
    void add_those_with(std::string_view key) {
        auto at = std::lower_bound(shop_.declared.begin(), shop_.declared.end(), key,
                                   [](const auto& each, std::string_view wanted) { return each.first < wanted; });
        for (; at != shop_.declared.end() && at->first == key; ++at) add(at->second);
    }
    void add(source::FileId file) {
        if (const linked::Catalogue* catalogue = of_file(file))
            add(linked::CatalogueId(static_cast<std::size_t>(catalogue - shop_.linked.catalogues.data())));
        else if (concerns_[file.index()] == Concern::none)
            concerns_[file.index()] = Concern::shared;
    }
    void add(linked::CatalogueId id) {
        const linked::Catalogue& catalogue = shop_.linked.catalogues[id.index()];
        if (!catalogue.declared.known() || concerns_[catalogue.declared.file.index()] != Concern::none) return;
        concerns_[catalogue.declared.file.index()] = Concern::shared;
        const auto& uses = shop_.model.catalogues[id.index()].uses;
        add(catalogue.uses, uses ? uses->value.size() : 0);
    }

    const Shopful& shop_;
    Concerns& concerns_;
    bool lacking_ = false;
};

bool is(const Concerns& concerns, source::Span declared, Concern concern) {
    return declared.known() && concerns[declared.file.index()] == concern;
}

void add_unread_vehicles(const Shopful& shop, Concerns& concerns) {
    std::vector<bool> read(concerns.size(), false);
    for (const model::Vehicle& each : shop.model.vehicles)
        if (each.id.span.known()) read[each.id.span.file.index()] = true;
    for (std::size_t i = 0; i < concerns.size(); ++i)
        if (!read[i] && concerns[i] == Concern::none && lies_in(shop.sources.file(source::FileId(i)).path, "vehicles"))
            concerns[i] = Concern::shared;
}

// What its own procedures, vehicles and jobs bring with them.
void add_what_they_use(const Shopful& shop, Concerns& concerns) {
    SharedCatalogues catalogues(shop, concerns);
    Asks asks;
    for (const linked::Procedure& each : shop.linked.procedures) {
        if (!is(concerns, each.source->id.span, Concern::own)) continue;
        catalogues.add(each.uses, each.source->uses ? each.source->uses->value.size() : 0);
        asks.add(*each.source);
    }
    catalogues.add_those_speaking_of_them();
    for (const model::Job& each : shop.model.jobs)
        if (is(concerns, each.id.span, Concern::own)) catalogues.add(entries_named(each));
    for (const model::Record& each : shop.model.records)
        if (is(concerns, each.id.span, Concern::own)) catalogues.add(entries_named(each));
    for (const model::Vehicle& each : shop.model.vehicles)
        if (is(concerns, each.id.span, Concern::own)) {
            catalogues.add(entries_named(each));
            asks.add(each);
        }
    catalogues.finish();
    for (const model::Catalogue& each : shop.model.catalogues)
        if (is(concerns, each.id.span, Concern::shared)) asks.add(each);
    for (const model::Vehicle& each : shop.model.vehicles)
        if (is(concerns, each.id.span, Concern::own)) asks.meet(each);
    for (const model::Vehicle& each : shop.model.vehicles)
        if (!asks.all_met() && is(concerns, each.id.span, Concern::none) && asks.meet(each))
            concerns[each.id.span.file.index()] = Concern::beside;
    // Likewise on an axis that a vehicle which could not be read may have.
    if (shop.model.unread_shared && !asks.axes_met()) add_unread_vehicles(shop, concerns);
}

void add_job(const Shopful& shop, const linked::Job& job, Concerns& concerns) {
    own(concerns, job.source->id.span);
    // What the records of its vehicle say stands on its cards.
    if (job.source->identity) {
        const std::string folder = "records/" + history::folder_of(job.source->identity->value) + "/";
        const auto path_of = [&shop](source::FileId file) -> const std::string& {
            return shop.sources.file(file).path;
        };
        auto at = std::lower_bound(shop.records.begin(), shop.records.end(), folder,
                                   [&](source::FileId file, const std::string& path) { return path_of(file) < path; });
        for (; at != shop.records.end() && path_of(*at).starts_with(folder); ++at) concerns[at->index()] = Concern::own;
        const history::Identity numbers = history::all_numbers(shop.owners, job.source->identity->value);
        for (const model::Record* each : history::told_of(shop.owners, numbers)) {
            own(concerns, each->id.span);
            if (history::tells_frame(each->identity->value)) continue;
            for (const model::Record* other : history::sharing_a_number(shop.owners, each->identity->value))
                own(concerns, other->id.span);
        }
        for (const source::FileId file : damaged_records(shop))
            if (may_be_of(shop, file, job.source->identity->value)) concerns[file.index()] = Concern::own;
    }
    bool holes = !job.vehicle.known();
    if (job.vehicle.known()) own(concerns, shop.linked.vehicles[job.vehicle.index()].source->id.span);
    for (const auto& [procedure, span] : job.procedures) {
        if (procedure.known())
            add_procedure(shop, procedure, concerns);
        else
            holes = true;
    }
    if (holes) look_for_hole(shop, job.source->id.span.file, concerns);
    add_what_they_use(shop, concerns);
}

pages::Paper paper_of(const Shopful& shop, const PrintOptions& options) {
    if (options.paper) return *options.paper;
    if (!shop.linked.shop || !shop.linked.shop->paper) return pages::Paper::a4;
    switch (shop.linked.shop->paper->value) {
    case model::Paper::a4:
        return pages::Paper::a4;
    case model::Paper::letter:
        return pages::Paper::letter;
    case model::Paper::a5:
        return pages::Paper::a5;
    }
    return pages::Paper::a4;
}

// What stands on it is known once all cards are.
void add_cover(const PrintOptions& options, const labels::Labels& words, pages::Paper paper,
               const std::vector<card::Needs>& needs, Work& work) {
    std::optional<card::Cover> cover = card::build_cover(*work.proved, needs, words, work.messages);
    if (!cover) return;
    card::seal(*cover, digest::sha256_hex(card::dump(*cover)));
    std::optional<pages::Pages> laid;
    if (options.until >= Stage::pages) {
        std::vector<pages::CardPages> cards;
        for (const PagedCard& each : work.cards) cards.push_back(pages::pages_of(each.card, each.pages));
        laid = pages::lay_out(*cover, cards, paper, work.messages, options.bound, options.codes);
        base::require(laid || work.messages.any_error(), "a cover sheet was not laid out, and no message says why");
    }
    work.cover = PagedCover{std::move(*cover), laid ? std::move(*laid) : pages::Pages{}};
}

// What is wrong with the pictures of a procedure; those that are good.
void look_at_pictures(const Shopful& shop, const model::Procedure& procedure, messages::Messages& out,
                      card::Pictures& into) {
    for_each_picture(procedure, [&](const source::Spanned<std::string>& file) {
        const Shelf::Held held = shop.shelf->at(file.value, shop.keeps_pixels);
        if (held.picture != nullptr) {
            report_if_too_coarse(out, file, *held.picture);
            into.emplace(file.value, held.picture);
        } else if (held.missing) {
            report_picture_not_found(out, file, held.refused);
        } else {
            report_picture_unreadable(out, file, held.refused);
        }
    });
}

void look_at_pictures(const Shopful& shop, Work& work) {
    for (const model::Procedure* procedure : shop.pictured)
        if (procedure->id.span.known() && work.concerns[procedure->id.span.file.index()] == Concern::own)
            look_at_pictures(shop, *procedure, work.messages, work.pictures);
}

// Fitted → Proved → Cards → Pages. One faulty card leaves none.
void finish(const Shopful& shop, const PrintOptions& options, Work& work) {
    if (options.until < Stage::proof) return;
    work.proved = proof::prove_job(work.fitted, 0, work.messages);
    // What is named in many files and declared in none is told of once, and that may be in a file that this work has nothing to do with.
    if (!work.proved && !work.messages.any_error())
        for (const messages::Message& each : shop.messages.all())
            if (each.rule->level == messages::Level::error) work.messages.add(each);
    base::require(work.proved || work.messages.any_error(), "a job was not proved, and no message says why");
    if (!work.proved || options.until < Stage::card) return;
    const labels::Labels& words = labels_of(shop, options);
    const pages::Paper paper = paper_of(shop, options);
    const std::size_t cards = work.fitted.fits.front().sequence.size();
    std::vector<card::Needs> needs(cards);
    for (std::size_t i = 0; i < cards; ++i) {
        std::optional<card::Card> card = card::build(*work.proved, i, words, work.messages, work.pictures, &needs[i]);
        base::require(card || work.messages.any_error(), "a card was not made, and no message says why");
        if (!card) continue;
        card::seal(*card, digest::sha256_hex(card::dump(*card)));
        std::optional<pages::Pages> laid;
        if (options.until >= Stage::pages) laid = pages::lay_out(*card, paper, work.messages, options.codes);
        work.cards.push_back({std::move(*card), laid ? std::move(*laid) : pages::Pages{}});
    }
    if (!work.messages.any_error()) add_cover(options, words, paper, needs, work);
    if (work.messages.any_error()) {
        work.cards.clear();
        work.cover.reset();
    } else if (options.approvals) {
        mark_not_approved(shop, options, work);
    }
}

// Up to its pages, with all that is said of it.
std::unique_ptr<Work> work_on_job(const Shopful& shop, linked::JobId id, const PrintOptions& options) {
    const linked::Job& job = shop.linked.jobs[id.index()];
    Concerns concerns = none_but_the_shop(shop);
    add_job(shop, job, concerns);
    auto work = std::make_unique<Work>();
    work->name = job.source->id.value;
    work->messages = messages_about(shop.messages, concerns);
    work->concerns = std::move(concerns);
    look_at_pictures(shop, *work);
    work->fitted = fitted::fit_job(*shop.common, id, history::look_back(shop.owners, *job.source), work->messages);
    finish(shop, options, *work);
    work->messages.sort_and_unite(shop.sources);
    return work;
}

CatalogueTexts::Named named_catalogues(const Shopful& shop) {
    CatalogueTexts::Named named;
    for (const source::FileId each : shop.catalogue_files) {
        const source::File& file = shop.sources.file(each);
        named.emplace_back(stem_of(file.path), file.text);
    }
    return named;
}

void add_catalogue_texts(Shopful& shop) {
    for (std::size_t i = 0; i < shop.sources.size(); ++i)
        if (is_catalogue(shop.sources.file(source::FileId(i)).path)) shop.catalogue_files.emplace_back(i);
    shop.catalogue_texts = CatalogueTexts(named_catalogues(shop));
}

// Of a file whose names may be spelled in other ways any name may be, by an empty one.
std::vector<std::pair<std::string_view, source::FileId>> declared_in_catalogues(const source::Sources& sources) {
    std::vector<std::pair<std::string_view, source::FileId>> declared;
    for (std::size_t i = 0; i < sources.size(); ++i) {
        const source::File& file = sources.file(source::FileId(i));
        if (!is_catalogue(file.path)) continue;
        if (Naming::spelled_otherwise(file.text)) declared.emplace_back(std::string_view(), i);
        each_key(file.text, [&](std::string_view key) { declared.emplace_back(key, i); });
    }
    std::sort(declared.begin(), declared.end());
    return declared;
}

// Model → Linked → Wording
void link(Shopful& shop, Stage until, bool keeps) {
    shop.linked = linked::link(shop.model, shop.sources, shop.messages);
    shop.common = fitted::common_of(shop.linked);
    if (until >= Stage::wording) shop.wording = wording::take_apart(shop.linked, shop.sources, shop.messages, keeps);
}

// Some files one after the other, by themselves: what they say does not depend on any other.
struct TakenIn {
    model::Model model;
    messages::Messages messages;
    std::vector<syntax::Syntax> syntaxes;
    std::optional<base::Failure> failed;
};

// bytes → Syntax → Model
void take_in(source::FileId file, Stage until, bool keeps, const source::Sources& sources, TakenIn& into) {
    if (!sources.file(file).path.ends_with(".yaml")) return; // else not read: a check says so
    syntax::Syntax syntax = syntax::parse(sources, file, into.messages);
    if (until >= Stage::model) model::read(syntax, sources, into.model, into.messages);
    if (keeps) into.syntaxes.push_back(std::move(syntax));
}

void add(TakenIn taken, Shopful& shop) {
    model::append(std::move(taken.model), shop.model);
    for (const messages::Message& each : taken.messages.all()) shop.messages.add(each);
    std::move(taken.syntaxes.begin(), taken.syntaxes.end(), std::back_inserter(shop.syntaxes));
    if (taken.failed) shop.failed = taken.failed;
}

// The paths, in their order.
void add_sources(const Files& files, Texts texts, Shopful& shop) {
    for (const auto& [path, bytes] : files) {
        const std::string_view text = syntax::without_byte_order_mark(bytes);
        if (path == allowed_signers_file)
            shop.allowed_signers = bytes;
        else if (pictures::named_as_picture(path))
            continue;
        else if (texts == Texts::lent)
            shop.sources.lend(path, text);
        else
            shop.sources.add(path, std::string(text));
    }
}

void take_files_in(Stage until, bool keeps, Threads threads, Shopful& shop) {
    const std::size_t all = shop.sources.size();
    const std::size_t at_once = threads.among(all, files_worth_a_thread);
    // One thread takes all in one; of a portion for each of several, some would come to the end long before the others.
    const std::size_t portion = at_once == 1 ? all : std::clamp<std::size_t>(all / (8 * at_once), 1, 256);
    in_order(
        all == 0 ? 0 : (all + portion - 1) / portion, at_once,
        [&](std::size_t which) {
            TakenIn taken;
            for (std::size_t i = which * portion; i < std::min(all, (which + 1) * portion); ++i)
                take_in(source::FileId(i), until, keeps, shop.sources, taken);
            return taken;
        },
        [&](std::size_t, TakenIn taken) {
            add(std::move(taken), shop);
            return true;
        });
}

// Of each record in the archive what it tells. One that was mended, in memory, is among the files.
void read_heads(const Files& files, Threads threads, Shopful& shop) {
    const std::vector<std::string>& paths = shop.archive->paths();
    constexpr std::size_t portion = 64;
    struct Some {
        std::vector<Head> heads;
        std::optional<base::Failure> failed;
    };
    in_order((paths.size() + portion - 1) / portion, threads.among(paths.size(), files_worth_a_thread),
             [&](std::size_t which) {
                 Some some;
                 for (std::size_t i = which * portion; i < std::min(paths.size(), (which + 1) * portion); ++i) {
                     if (files.contains(paths[i])) {
                         some.heads.emplace_back();
                         continue;
                     }
                     const auto bytes = shop.archive->read(paths[i]);
                     if (!bytes) {
                         some.failed = bytes.failure();
                         break;
                     }
                     some.heads.push_back(read_head(paths[i], bytes.value()));
                 }
                 return some;
             },
             [&](std::size_t which, Some some) {
                 for (std::size_t i = 0; i < some.heads.size(); ++i)
                     shop.heads.add(paths[which * portion + i], some.heads[i]);
                 shop.failed = some.failed;
                 return !shop.failed;
             });
}

// As any file is; but it is to say what it said when it was judged.
void take_in_archived(std::size_t which, Stage until, bool keeps, Shopful& shop) {
    const std::string& path = shop.archive->paths()[which];
    auto bytes = shop.archive->read(path);
    if (!bytes) {
        shop.failed = bytes.failure();
        return;
    }
    const source::FileId file = shop.sources.add(path, std::string(syntax::without_byte_order_mark(bytes.value())));
    TakenIn taken;
    take_in(file, until, keeps, shop.sources, taken);
    if (which < shop.heads.size()) {
        const reach::Tells told = shop.heads.told(which);
        const reach::Told is =
            taken.model.records.size() == 1 ? reach::told_by(taken.model.records.front()) : reach::Told{};
        if (!std::equal(is.begin(), is.end(), told.begin(), told.end()))
            taken.failed = base::Failure{path + " was changed while it was read"};
    }
    add(std::move(taken), shop);
}

// Those of the archive: all where every stage is kept, or else what may have to be shown.
void take_records_in(const Files& files, Stage until, bool keeps, Threads threads, Shopful& shop) {
    const std::vector<std::string>& paths = shop.archive->paths();
    std::vector<std::size_t> wanted(paths.size());
    std::iota(wanted.begin(), wanted.end(), std::size_t{0});
    if (!keeps && until >= Stage::model) {
        read_heads(files, threads, shop);
        if (shop.failed) return;
        wanted = shop.heads.wanted(shop.model);
    }
    std::erase_if(wanted, [&](std::size_t i) { return files.contains(paths[i]); });
    const std::size_t before = shop.sources.size();
    for (const std::size_t i : wanted) {
        take_in_archived(i, until, keeps, shop);
        if (shop.failed) return;
    }
    const auto others =
        std::count_if(paths.begin(), paths.end(), [&](const auto& path) { return !files.contains(path); });
    shop.left_out = static_cast<std::size_t>(others) - (shop.sources.size() - before);
    // As if all had been read in the order of their paths.
    const auto path_of = [&](const model::Record& record) {
        const source::FileId file = record.id.span.file;
        return file.known() ? std::string_view(shop.sources.file(file).path) : std::string_view();
    };
    const auto before_it = [&](const auto& a, const auto& b) { return path_of(a) < path_of(b); };
    if (!std::is_sorted(shop.model.records.begin(), shop.model.records.end(), before_it))
        std::stable_sort(shop.model.records.begin(), shop.model.records.end(), before_it);
}

} // namespace

void take_in(const std::string& path, std::string_view bytes, Stage until, bool keeps_stages, Shopful& shop) {
    const source::FileId file = shop.sources.add(path, std::string(syntax::without_byte_order_mark(bytes)));
    TakenIn taken;
    take_in(file, until, keeps_stages, shop.sources, taken);
    add(std::move(taken), shop);
}

const labels::Labels& labels_of(const Shopful& shop, const PrintOptions& options) {
    const labels::Labels* found = nullptr;
    if (!options.language.empty())
        found = labels::find(options.language);
    else if (shop.linked.shop && shop.linked.shop->language)
        found = labels::find(shop.linked.shop->language->value);
    return found ? *found : labels::languages().front(); // the rest was reported: language-not-spoken
}

std::unique_ptr<Shopful> link_shop(const Files& files, Stage until, bool keeps_pixels, bool keeps_stages,
                                   Threads threads, Texts texts) {
    auto shop = std::make_unique<Shopful>();
    shop->shelf = files.shelf != nullptr ? files.shelf : std::make_shared<const Shelf>(files);
    shop->keeps_pixels = keeps_pixels;
    shop->archive = files.archive;
    add_sources(files, texts, *shop);
    take_files_in(until, keeps_stages, threads, *shop);
    if (shop->archive != nullptr) take_records_in(files, until, keeps_stages, threads, *shop);
    if (until < Stage::model || shop->failed) return shop;
    put_together(*shop, until, keeps_stages);
    return shop;
}

void put_together(Shopful& shop, Stage until, bool keeps_stages) {
    shop.owners = history::whose(shop.model);
    shop.declared = declared_in_catalogues(shop.sources);
    add_catalogue_texts(shop);
    shop.records = files_of_records(shop.sources);
    for (const model::Procedure& each : shop.model.procedures)
        for_each_picture(each, [&](const source::Spanned<std::string>&) {
            if (shop.pictured.empty() || shop.pictured.back() != &each) shop.pictured.push_back(&each);
        });
    model::match_features(shop.model, shop.messages);
    for (const Check* check : all_checks())
        if (check->find != nullptr) check->find({shop.sources, shop.model, shop.owners}, *check, shop.messages);
    if (until >= Stage::linked) link(shop, until, keeps_stages);
}

record::Sheet sheet_of(const Shopful& shop, const Work& work) {
    record::Sheet sheet;
    const fitted::Fit& fit = work.fitted.fits.front();
    if (fit.job.known()) sheet.job = shop.linked.jobs[fit.job.index()].source;
    sheet.shop = shop.linked.shop;
    if (fit.vehicle.known())
        if (const auto& name = shop.linked.vehicles[fit.vehicle.index()].source->name) sheet.vehicle = name->value;
    for (const PagedCard& each : work.cards) sheet.cards.push_back(&each.card);
    return sheet;
}

namespace {

AnswersFile answers_in(const model::Answers& answers) {
    AnswersFile file;
    file.job = answers.id.value;
    file.head = answers.id.span;
    if (answers.boxes)
        for (const auto& each : answers.boxes->value) {
            file.boxes[each.key.value] = each.value.value;
            file.at[each.key.value] = each.value.span;
        }
    return file;
}

} // namespace

AnswersFile read_answers(const std::string& path, const std::string& bytes) {
    source::Sources sources;
    messages::Messages messages;
    const std::string_view text = syntax::without_byte_order_mark(bytes);
    // It is read as if it lay where such a file belongs, and spoken of as what it is called.
    const std::size_t slash = path.rfind('/');
    const source::FileId id =
        sources.add("answers/" + path.substr(slash == std::string::npos ? 0 : slash + 1), std::string(text));
    const syntax::Syntax syntax = syntax::parse(sources, id, messages);
    model::Model model;
    messages::Messages said;
    model::read(syntax, sources, model, said);
    for (const messages::Message& each : said.all())
        if (each.rule->name != "name-not-file") messages.add(each); // it lies where he has put it
    AnswersFile file;
    if (!model.answers.empty()) file = answers_in(model.answers.front());
    file.sources.add(path, std::string(text)); // the first one here as well, and so what the messages speak of
    file.messages = std::move(messages);
    return file;
}

AnswersFile answers_of(const std::string& job, const record::Answers& boxes) {
    AnswersFile file;
    file.job = job;
    file.boxes.insert(boxes.begin(), boxes.end());
    return file;
}

messages::Messages complaints_as_messages(const AnswersFile& file,
                                          const std::vector<std::pair<std::string, record::Complaint>>& wrong) {
    messages::Messages all;
    for (const auto& [box, complaint] : wrong) {
        messages::Message message;
        message.rule = complaint.rule;
        message.text = complaint.text;
        message.help = complaint.help;
        const auto at = file.at.find(box);
        if (file.head.known())
            message.labels.push_back({at != file.at.end() ? at->second : file.head, complaint.where});
        else if (!complaint.where.empty()) // of a form, which has no lines
            message.text = complaint.where + ": " + message.text;
        if (at == file.at.end() && !box.empty())
            message.help += (message.help.empty() ? "" : "; ") + ("its box is `" + box + "`");
        all.add(std::move(message));
    }
    return all;
}

namespace {

void judge_answers(const Shopful& shop, const Work& work, messages::Messages& out) {
    for (const model::Answers& each : shop.model.answers) {
        if (each.id.value != work.name || work.cards.empty()) continue;
        const record::Sheet sheet = sheet_of(shop, work);
        const AnswersFile file = answers_in(each);
        const record::Answers answers = record::filled_in(sheet, file.boxes, record::Written::in_a_file);
        const messages::Messages wrong =
            complaints_as_messages(file, record::complaints(record::look_over(sheet, answers)));
        for (const messages::Message& message : wrong.all()) out.add(message);
    }
}

} // namespace

namespace {

struct JudgedJob {
    std::unique_ptr<Work> work;
    messages::Messages answers; // what is said of its file of answers
};

// Of what is known to be good, all but its messages.
void let_go(Work& work) {
    work.cards = std::vector<PagedCard>(); // and the room for them
    work.cover.reset();
    work.concerns = Concerns();
    work.pictures = {};
    work.proved.reset();
    work.fitted = {};
}

} // namespace

namespace {

bool is_in(const std::set<std::string>* paths, source::Span at, const Shopful& shop) {
    return paths != nullptr && paths->contains(shop.sources.file(at.file).path);
}

} // namespace

std::unique_ptr<Shopful> check_shop(const Files& files, const CheckOptions& given) {
    CheckOptions options = given;
    std::unique_ptr<Shopful> shop = link_shop(files, std::min(options.until, Stage::model), options.keep_cards,
                                              options.keep_stages, options.threads, options.texts);
    if (shop->failed) return shop;
    if (options.until >= Stage::model) {
        card::Pictures seen;
        for (const model::Procedure* procedure : shop->pictured)
            look_at_pictures(*shop, *procedure, shop->messages, seen);
    }
    // Where names and figures are lacking, what is said of the rest would not be true.
    if (shop->model.unread_shared) options.until = std::min(options.until, Stage::model);
    if (options.until >= Stage::linked) link(*shop, options.until, options.keep_stages);
    if (options.until >= Stage::fitted) {
        PrintOptions print;
        print.until = options.until;
        if (!options.keep_cards) print.codes = pages::Codes::places;
        messages::Messages of_answers;
        in_order(
            shop->linked.jobs.size(), options.threads.among(shop->linked.jobs.size(), jobs_worth_a_thread),
            [&](std::size_t i) {
                JudgedJob judged{work_on_job(*shop, linked::JobId(i), print), {}};
                if (options.until >= Stage::record) judge_answers(*shop, *judged.work, judged.answers);
                if (!options.keep_cards) let_go(*judged.work);
                return judged;
            },
            [&](std::size_t, JudgedJob judged) {
                shop->works.push_back(std::move(judged.work));
                for (const messages::Message& message : judged.answers.all()) of_answers.add(message);
                return true;
            });
        for (const messages::Message& message : of_answers.all()) shop->messages.add(message);
        if (options.keep_stages)
            shop->fitted = fitted::fit_shop(shop->linked, shop->messages);
        else
            prove_shop(shop->linked, shop->common, options.until >= Stage::proof, options.vehicles, options.threads,
                       shop->messages);
        if (options.keep_stages && options.until >= Stage::proof)
            for (std::size_t i = 0; i < shop->fitted.fits.size(); ++i)
                proof::prove_procedures(shop->fitted, i, shop->messages);
        for (const auto& work : shop->works)
            for (const messages::Message& message : work->messages.all()) shop->messages.add(message);
    }
    // After an error, what is said to be unused may only have been named in the part that could not be read; and a shop that is half
    // written is told first what is wrong with it.
    if (options.until >= Stage::linked && options.unused && !shop->messages.any_error())
        linked::find_unused(shop->linked, shop->sources, shop->messages);
    if (options.approved && options.until >= Stage::linked) tell_not_approved(*shop, shop->messages);
    std::vector<Allow> allows = allows_of(shop->model);
    shop->messages = without_allowed(shop->messages, allows);
    for (const auto& work : shop->works) work->messages = without_allowed(work->messages, allows);
    // What was not looked at, or not to the end, may still be found fault with.
    if (options.until >= Stage::pages && !shop->messages.any_error())
        for (const Allow& each : allows)
            if (!each.used && (options.unused || is_in(options.allows_in, each.name, *shop)))
                report_allows_nothing(shop->messages, each.name, each.check);
    shop->messages.sort_and_unite(shop->sources);
    return shop;
}

namespace {

void leave_out_allowed(const Shopful& shop, Work& work) {
    if (work.messages.all().empty()) return; // what is allowed anywhere need not be known
    std::vector<Allow> allows = allows_of(shop.model);
    work.messages = without_allowed(work.messages, allows);
}

} // namespace

std::unique_ptr<Work> make_job(const Shopful& shop, linked::JobId id, const PrintOptions& options) {
    std::unique_ptr<Work> work = work_on_job(shop, id, options);
    leave_out_allowed(shop, *work);
    return work;
}

std::unique_ptr<Work> make_blank(const Shopful& shop, linked::ProcedureId procedure, linked::VehicleId vehicle,
                                 const PrintOptions& options) {
    Concerns concerns = none_but_the_shop(shop);
    own(concerns, shop.linked.vehicles[vehicle.index()].source->id.span);
    add_procedure(shop, procedure, concerns);
    add_what_they_use(shop, concerns);
    auto work = std::make_unique<Work>();
    work->name = shop.linked.procedures[procedure.index()].source->id.value;
    work->messages = messages_about(shop.messages, concerns);
    work->concerns = std::move(concerns);
    look_at_pictures(shop, *work);
    work->fitted = fitted::fit_procedure(*shop.common, procedure, vehicle, work->messages);
    finish(shop, options, *work);
    work->messages.sort_and_unite(shop.sources);
    leave_out_allowed(shop, *work);
    return work;
}

std::vector<std::string> catalogues_beside(const Shopful& shop, const Work& work) {
    if (shop.catalogues_beside) return *shop.catalogues_beside;
    std::vector<std::string> names;
    for (const model::Vehicle& each : shop.model.vehicles)
        if (is(work.concerns, each.id.span, Concern::beside))
            for (std::string& name : entries_named(each)) names.push_back(std::move(name));
    const CatalogueTexts::Some called = called_by(names, named_catalogues(shop), shop.catalogue_texts);
    std::vector<std::string> paths;
    for (std::size_t i = 0; i < called.size(); ++i)
        if (called[i] && work.concerns[shop.catalogue_files[i].index()] == Concern::none)
            paths.push_back(shop.sources.file(shop.catalogue_files[i]).path);
    return paths;
}

std::string sources_of(const Shopful& shop, const Work& work, const Files& files) {
    std::vector<bundle::File> made_of;
    const std::vector<std::string> beside = catalogues_beside(shop, work);
    for (const std::string& path : beside)
        if (const auto file = files.find(path); file != files.end()) made_of.push_back({path, file->second});
    for (std::size_t i = 0; i < work.concerns.size(); ++i) {
        if (work.concerns[i] == Concern::none) continue;
        const std::string& path = shop.sources.file(source::FileId(i)).path;
        if (!path.ends_with(".yaml")) continue;
        // A record that nobody else holds was given back, as a job's card shows it.
        const auto file = files.find(path);
        made_of.push_back(
            {path, file != files.end() ? std::string_view(file->second) : shop.sources.file(source::FileId(i)).text});
    }
    std::sort(made_of.begin(), made_of.end(), [](const auto& a, const auto& b) { return a.path < b.path; });
    for (const auto& [path, picture] : work.pictures) made_of.push_back({path, picture->bytes, true});
    return bundle::write(made_of);
}

namespace {

pdf::DocumentInfo about(const card::Head& head, std::string title, const std::string& language) {
    pdf::DocumentInfo info;
    info.title = std::move(title);
    info.author = head.shop;
    info.subject = head.vehicle;
    for (const std::string* part : {&head.known_by, &head.job})
        if (!part->empty()) info.subject += ", " + *part;
    info.language = language;
    info.keywords = head.code;
    return info;
}

template <class Leaf>
base::Result<std::string> pdf_of_leaf(const Leaf& leaf, const pages::Pages& pages, const PdfOptions& options) {
    pages::FieldWords words;
    pdf::Extras extras;
    if (options.form) {
        words = pages::field_words(leaf, pages);
        extras.form = &words;
    }
    if (!options.sources.empty())
        extras.source = {leaf.file_stem + ".sources.yaml", "application/yaml", options.sources}; // RFC 9512
    return pdf::paint(pages, about(leaf.head, leaf.head.title, leaf.language), extras);
}

} // namespace

base::Result<std::string> pdf_of(const PagedCard& card, const PdfOptions& options) {
    return pdf_of_leaf(card.card, card.pages, options);
}

base::Result<std::string> pdf_of(const PagedCover& cover, const PdfOptions& options) {
    return pdf_of_leaf(cover.cover, cover.pages, options);
}

base::Result<std::string> booklet_of(Work& work, const PdfOptions& options) {
    base::require(!work.cards.empty(), "a booklet has a card");
    std::vector<pages::Leaves> leaves;
    for (PagedCard& each : work.cards) leaves.push_back({&each.card, &each.pages});
    const pages::Booklet booklet = work.cover ? pages::bind(&work.cover->cover, &work.cover->pages, leaves)
                                              : pages::bind(nullptr, nullptr, leaves);
    pdf::Extras extras;
    extras.booklet = &booklet;
    if (options.form) extras.form = &booklet.words;
    if (!options.sources.empty())
        extras.source = {work.name + ".sources.yaml", "application/yaml", options.sources}; // RFC 9512
    const card::Card& card = work.cards.front().card;
    pdf::DocumentInfo info = about(card.head, card.words.job + " " + card.head.job, card.language);
    info.keywords = work.cover ? work.cover->cover.head.code : std::string();
    for (const PagedCard& each : work.cards) info.keywords += (info.keywords.empty() ? "" : "; ") + each.card.head.code;
    return pdf::paint(booklet.pages, info, extras);
}

namespace {

// A name as a record has it, `pad-thickness` or `disc-brake/pad-thickness`: the one thing of that name; nullptr: none, or several.
template <class Thing>
const Thing* only_one_called(const linked::Linked& linked, const std::vector<Thing>& things, std::string_view name) {
    const std::size_t slash = name.find('/');
    const std::string_view catalogue = slash == std::string_view::npos ? std::string_view() : name.substr(0, slash);
    const std::string_view id = slash == std::string_view::npos ? name : name.substr(slash + 1);
    const Thing* found = nullptr;
    for (const Thing& each : things) {
        if (each.id != id) continue;
        if (!catalogue.empty() && linked.catalogues[each.catalogue.index()].id != catalogue) continue;
        if (found != nullptr) return nullptr;
        found = &each;
    }
    return found;
}

std::optional<report::LimitFacts> limit_facts(const linked::Linked& linked, std::string_view vehicle,
                                              std::string_view limit) {
    const linked::Limit* found = only_one_called(linked, linked.limits, limit);
    if (found == nullptr) return std::nullopt;
    model::Limit figures = found->figures;
    for (const linked::Vehicle& each : linked.vehicles)
        if (each.source->id.value == vehicle)
            for (const linked::LimitDifference& own : each.limits)
                if (own.limit.known() && &linked.limits[own.limit.index()] == found)
                    model::lay_over(figures, own.figures);
    report::LimitFacts facts;
    if (figures.name) facts.name = figures.name->value;
    if (figures.new_size) facts.as_new = figures.new_size->value.quantity;
    if (figures.reads_to) facts.reads_to = figures.reads_to->value.quantity;
    facts.wears = figures.wears_with.has_value();
    return facts;
}

} // namespace

report::Shop report_shop(const Shopful& shop, const PrintOptions& options) {
    report::Shop made;
    made.labels = &labels_of(shop, options);
    const linked::Linked& linked = shop.linked;
    if (const model::Shop* of = linked.shop) {
        made.name = of->name ? of->name->value : of->id.value;
        if (of->foot) made.foot = of->foot->value;
        if (of->margin) {
            const auto written = units::parse_decimal(of->margin->value);
            if (const auto* number = std::get_if<units::Decimal>(&written)) made.margin = *number;
        }
    }
    made.item = [&linked](std::string_view name) {
        const linked::Item* found = only_one_called(linked, linked.items, name);
        return found != nullptr ? found->name : std::string();
    };
    made.limit = [&linked](std::string_view vehicle, std::string_view limit) {
        return limit_facts(linked, vehicle, limit);
    };
    return made;
}

base::Result<std::string> pdf_of(const Shopful& shop, const report::Report& report, const PrintOptions& options) {
    messages::Messages said;
    const auto laid = pages::lay_out(report, paper_of(shop, options), said);
    if (!laid) return base::Failure{said.all().front().text};
    return pdf::paint(*laid, about(report.head, report.head.title, report.language));
}

base::Result<std::string> customer_page(const Shopful& shop, const model::Record& record, const PrintOptions& options) {
    return pdf_of(shop, report::customer_page(report_shop(shop, options), record), options);
}

Concerns concerns_of(const Shopful& shop, const std::vector<source::FileId>& roots) {
    Concerns concerns = none_but_the_shop(shop);
    const auto is_root = [&roots](source::Span span) {
        return std::find(roots.begin(), roots.end(), span.file) != roots.end();
    };
    for (std::size_t i = 0; i < shop.linked.procedures.size(); ++i)
        if (is_root(shop.linked.procedures[i].source->id.span)) add_procedure(shop, linked::ProcedureId(i), concerns);
    for (const linked::Job& job : shop.linked.jobs)
        if (is_root(job.source->id.span)) add_job(shop, job, concerns);
    for (const source::FileId root : roots) concerns[root.index()] = Concern::own;
    add_what_they_use(shop, concerns);
    return concerns;
}

messages::Messages messages_about(const messages::Messages& all, const Concerns& concerns) {
    messages::Messages about;
    for (const messages::Message& message : all.all()) {
        bool concerned = message.labels.empty();
        for (std::size_t i = 0; i < message.labels.size(); ++i) {
            const source::Span at = message.labels[i].span;
            const Concern with = at.known() ? concerns[at.file.index()] : Concern::own;
            if (with == Concern::own || (i == 0 && with == Concern::shared)) concerned = true;
        }
        if (concerned) about.add(message);
    }
    return about;
}

} // namespace benchleaf::driver
