#include "driver/part.h"

#include "driver/allow.h"
#include "driver/approvals.h"
#include "driver/archive.h"
#include "driver/list_names.h"
#include "driver/needed.h"
#include "driver/picture_files.h"
#include "driver/records.h"
#include "driver/shop_lock.h"
#include "history/history.h"

#include <algorithm>
#include <functional>
#include <set>
#include <utility>

namespace benchleaf::driver {

namespace {

void each_called(const model::Steps& steps, const std::function<void(const std::string&)>& see) {
    for (const model::Step& step : steps) {
        if (step.verb && step.verb->verb == model::VerbName::do_procedure)
            for (const model::Target& target : step.verb->targets) see(target.name);
        for (const auto* below : {&step.if_so, &step.if_not, &step.steps})
            if (*below) each_called((*below)->value, see);
        if (step.again && step.again->value.otherwise) each_called(step.again->value.otherwise->value, see);
    }
}

// Of a vehicle that is there for what it has, the rest speaks of catalogues that the card has nothing to do with.
void leave_what_it_has(model::Vehicle& vehicle) {
    vehicle.only.reset();
    vehicle.torques.reset();
    vehicle.limits.reset();
    vehicle.items.reset();
    vehicle.cautions.reset();
}

// Each call gives false where there is no part.
class PartReader {
public:
    PartReader(const std::string& root, NamesListed names, Part& part)
        : archive_(root, {}), root_(root), names_(std::move(names)), part_(part), model_(part.shop->model) {}

    bool read(const PartOf& of) {
        return take_in_bytes("shop.yaml") && model_.shops.size() == 1 && take_roots(of) && read_catalogues() &&
               take_catalogues_speaking() && take_records() && take_catalogues_named() && take_vehicles_beside() &&
               take_approvals();
    }

private:
    bool take_roots(const PartOf& of) {
        if (of.job.empty()) return take_vehicle(of.vehicle) && take_procedure(of.procedure);
        if (!take(model::Kind::job, of.job, model_.jobs)) return false;
        const model::Job job = model_.jobs.front();
        if (!job.vehicle || !job.procedures || !take_vehicle(job.vehicle->value.name)) return false;
        return std::all_of(job.procedures->value.begin(), job.procedures->value.end(),
                           [this](const auto& each) { return take_procedure(each.name); });
    }

    bool take_vehicle(const std::string& name) { return take(model::Kind::vehicle, name, model_.vehicles); }

    bool take_procedure(const std::string& name) {
        if (taken_.contains({model::Kind::procedure, name})) return true;
        if (!take(model::Kind::procedure, name, model_.procedures)) return false;
        std::vector<std::string> uses, calls;
        const model::Procedure& procedure = model_.procedures.back();
        if (procedure.uses)
            for (const auto& each : procedure.uses->value) uses.push_back(each.name);
        if (procedure.steps)
            each_called(procedure.steps->value, [&](const std::string& called) { calls.push_back(called); });
        return std::all_of(uses.begin(), uses.end(), [this](const auto& each) { return take_catalogue(each); }) &&
               std::all_of(calls.begin(), calls.end(), [this](const auto& each) { return take_procedure(each); });
    }

    bool take_catalogue(const std::string& name) {
        if (taken_.contains({model::Kind::catalogue, name})) return true;
        if (!take(model::Kind::catalogue, name, model_.catalogues)) return false;
        std::vector<std::string> uses;
        if (const auto& given = model_.catalogues.back().uses)
            for (const auto& each : given->value) uses.push_back(each.name);
        return std::all_of(uses.begin(), uses.end(), [this](const auto& each) { return take_catalogue(each); });
    }

    // The bytes of all of them, of which few are to be taken in.
    bool read_catalogues() {
        for (const std::string& path : names_.paths_of(model::Kind::catalogue)) {
            const std::string name = stem_of(path);
            catalogues_.push_back({name, path});
            if (part_.files.contains(path)) continue;
            auto bytes = archive_.read(path);
            if (!bytes) return false;
            bytes_.emplace(path, std::move(bytes.value()));
        }
        texts_ = CatalogueTexts(catalogue_texts());
        return true;
    }
    CatalogueTexts::Named catalogue_texts() const {
        CatalogueTexts::Named named;
        for (const NameAndPath& each : catalogues_) named.emplace_back(each.name, text_of(each.path));
        return named;
    }
    std::string_view text_of(const std::string& path) const {
        const auto taken = part_.files.find(path);
        return syntax::without_byte_order_mark(taken != part_.files.end() ? taken->second : bytes_.at(path));
    }

    CatalogueTexts::Some taken_catalogues() const {
        CatalogueTexts::Some taken;
        for (const auto& [name, path] : catalogues_) taken.push_back(taken_.contains({model::Kind::catalogue, name}));
        return taken;
    }

    // What is bound to things in those that procedures use, and to the things of those.
    bool take_catalogues_speaking() {
        return add_speaking(
            texts_, [this] { return taken_catalogues(); },
            [this](std::size_t i, std::vector<std::string>& things) {
                for (const model::Catalogue& each : model_.catalogues)
                    if (catalogues_[i].name == each.id.value) add_things(each, things);
            },
            [this](std::size_t i) { return take_catalogue(catalogues_[i].name); });
    }

    // A vehicle, a job and its vehicle's records see all catalogues.
    bool take_catalogues_named() {
        std::vector<std::string> names = entries_named(model_.vehicles.front());
        if (!model_.jobs.empty())
            for (std::string& each : entries_named(model_.jobs.front())) names.push_back(std::move(each));
        for (std::string& each : named_in_records()) names.push_back(std::move(each));
        const Naming naming(names);
        for (const std::string& each : naming.catalogues())
            if (!take_catalogue(each)) return false;
        return std::all_of(catalogues_.begin(), catalogues_.end(), [&](const NameAndPath& each) {
            return taken_.contains({model::Kind::catalogue, each.name}) || !naming.may_be_in(text_of(each.path)) ||
                   take_catalogue(each.name);
        });
    }

    // Of a catalogue that is there no more nothing is called by another name than the record's.
    std::vector<std::string> named_in_records() const {
        std::vector<std::string> names;
        for (const model::Record& record : model_.records)
            for (std::string& each : entries_named(record)) {
                const std::size_t slash = each.find('/');
                const auto has_it = [&](const NameAndPath& catalogue) {
                    return catalogue.name == std::string_view(each).substr(0, slash);
                };
                if (slash == std::string::npos || std::any_of(catalogues_.begin(), catalogues_.end(), has_it))
                    names.push_back(std::move(each));
            }
        return names;
    }

    bool take_vehicles_beside() {
        Asks asks;
        for (const model::Catalogue& each : model_.catalogues) asks.add(each);
        for (const model::Procedure& each : model_.procedures) asks.add(each);
        asks.add(model_.vehicles.front());
        if (asks.nearly_met_by(model_.vehicles.front())) return false;
        asks.meet(model_.vehicles.front());
        std::vector<std::string> names;
        for (const std::string& path : names_.paths_of(model::Kind::vehicle)) {
            if (asks.all_met()) break;
            const std::string name = stem_of(path);
            if (taken_.contains({model::Kind::vehicle, name})) continue;
            const auto bytes = archive_.read(path);
            if (!bytes) return false;
            if (!asks.may_be_met_by(bytes.value())) continue;
            if (!take_vehicle(name)) return false;
            if (asks.meet(model_.vehicles.back())) {
                for (std::string& each : entries_named(model_.vehicles.back())) names.push_back(std::move(each));
                leave_what_it_has(model_.vehicles.back());
            } else {
                model_.vehicles.pop_back();
                part_.files.erase(path);
            }
        }
        if (!asks.all_met()) return false; // the nearest to what is asked for may be on any of them
        add_catalogues_beside(names);
        return true;
    }

    // They are carried along, and not taken in: the card has nothing to do with them.
    void add_catalogues_beside(const std::vector<std::string>& names) {
        const CatalogueTexts::Some called = called_by(names, catalogue_texts(), texts_);
        std::vector<std::string> paths;
        for (std::size_t i = 0; i < called.size(); ++i)
            if (called[i] && !taken_.contains({model::Kind::catalogue, catalogues_[i].name}))
                paths.push_back(catalogues_[i].path);
        for (const std::string& path : paths) part_.files.emplace(path, bytes_.at(path));
        part_.shop->catalogues_beside = std::move(paths);
    }

    // Those of the folders that are named after its numbers, and after what the records there tell of it: if its frame has one. Of a vehicle that has none,
    // or a job that tells no frame, no record at all may speak.
    bool take_records() {
        if (model_.jobs.empty() || !model_.jobs.front().identity) return true;
        const auto there = NamesListed::folders_in(root_, "records");
        if (!there) return false;
        const history::Identity told = model_.jobs.front().identity->value;
        history::Identity numbers = told;
        std::set<std::string> looked_into;
        for (std::size_t i = 0; i < numbers.size(); ++i) { // it grows
            const std::string folder = history::folder_of({numbers[i]});
            if (folder.empty() || is_spelled_otherwise(folder, *there)) return false;
            if (!std::binary_search(there->begin(), there->end(), folder) || !looked_into.insert(folder).second)
                continue;
            if (!take_folder(folder, numbers)) return false;
        }
        const auto tells_the_frame = [&](const model::Record& each) {
            return each.identity && std::any_of(told.begin(), told.end(), [&](const auto& number) {
                       return number.key.name == "frame" && tells(each.identity->value, number);
                   });
        };
        const auto tells_a_frame = [](const model::Record& each) {
            return each.identity && history::tells_frame(each.identity->value);
        };
        const auto& records = model_.records;
        if (!std::all_of(records.begin(), records.end(), tells_a_frame))
            return false; // another vehicle may have its number
        return std::any_of(records.begin(), records.end(), tells_the_frame) || none_speaks_of(told, *there);
    }

    // `OH300417` and `OH3-00417` are one number, and lead to two folders: what lies in the other one is of this vehicle, too.
    static bool is_spelled_otherwise(const std::string& folder, const std::vector<std::string>& folders) {
        const std::string number = history::bare_number(folder);
        return std::any_of(folders.begin(), folders.end(), [&](const std::string& each) {
            return each != folder && history::bare_number(each) == number;
        });
    }

    static bool tells(const history::Identity& identity, const history::Identity::value_type& number) {
        return std::any_of(identity.begin(), identity.end(), [&](const auto& each) {
            return each.key.name == number.key.name &&
                   history::bare_number(each.value.value) == history::bare_number(number.value.value);
        });
    }

    bool take_folder(const std::string& folder, history::Identity& numbers) {
        const auto paths = NamesListed::of_folder(root_, "records/" + folder);
        if (!paths) return false;
        for (const std::string& path : *paths) {
            const std::size_t before = model_.records.size();
            if (!take_in_bytes(path) || model_.records.size() != before + 1) return false;
            const model::Record& record = model_.records.back();
            if (!record.identity || !history::same_vehicle(record.identity->value, numbers)) continue;
            for (const auto& each : record.identity->value)
                if (!tells(numbers, each)) numbers.push_back(each);
        }
        return true;
    }

    // Whatever a record says it says in its text; one that is damaged may have said anything.
    bool none_speaks_of(const history::Identity& told, const std::vector<std::string>& folders) const {
        if (!model_.records.empty()) return false;
        // The frame's records lie in its folder, or `check` says so.
        std::vector<std::string> numbers;
        for (const auto& each : told)
            if (each.key.name != "frame") numbers.push_back(history::bare_number(each.value.value));
        if (numbers.empty()) return true;
        for (const std::string& folder : folders) {
            const auto paths = NamesListed::of_folder(root_, "records/" + folder);
            if (!paths) return false;
            for (const std::string& path : *paths) {
                const auto bytes = archive_.read(path);
                if (!bytes || !seal_holds(bytes.value())) return false;
                const std::string text = history::bare_number(bytes.value());
                if (std::any_of(numbers.begin(), numbers.end(),
                                [&](const std::string& number) { return text.find(number) != std::string::npos; }))
                    return false;
            }
        }
        return true;
    }

    bool take_approvals() {
        for (const std::string& path : names_.paths_of(model::Kind::approval)) {
            const std::string name = stem_of(path);
            if (path != "approvals/" + name + ".yaml" ||
                !taken_.contains({model::Kind::procedure, std::string(procedure_approved_by(name))}))
                continue;
            const std::size_t before = model_.approvals.size();
            if (!take_in_bytes(path) || model_.approvals.size() != before + 1) return false;
        }
        if (!names_.has_signers()) return true;
        auto bytes = archive_.read(std::string(allowed_signers_file));
        if (!bytes) return false;
        part_.shop->allowed_signers = std::move(bytes.value());
        return true;
    }

    template <class Thing>
    bool take(model::Kind kind, const std::string& name, const std::vector<Thing>& things) {
        const std::string path = names_.path_of(kind, name);
        const std::size_t before = things.size();
        taken_.emplace(kind, name);
        return !path.empty() && take_in_bytes(path) && things.size() == before + 1 && things.back().id.value == name &&
               is_the_only_one(kind, name);
    }

    // Of files of one name in the folders of two kinds, one may lie in the wrong one.
    bool is_the_only_one(model::Kind kind, const std::string& name) const {
        const auto all = names_.of_another_kind(kind, name);
        return std::none_of(all.begin(), all.end(), [&](const std::string& path) {
            const auto bytes = archive_.read(path);
            return !bytes || bytes.value().find(std::string(model::word(kind)) + ":") != std::string::npos;
        });
    }

    bool take_in_bytes(const std::string& path) {
        const auto held = bytes_.find(path);
        auto bytes = held != bytes_.end() ? base::Result<std::string>(held->second) : archive_.read(path);
        if (!bytes) return false;
        const auto [file, fresh] = part_.files.emplace(path, std::move(bytes.value()));
        if (fresh) take_in(path, file->second, Stage::wording, false, *part_.shop);
        return fresh && part_.shop->messages.all().empty();
    }

    static std::string stem_of(const std::string& path) {
        const std::size_t begin = path.rfind('/') + 1;
        return path.substr(begin, path.rfind('.') - begin);
    }

    Archive archive_; // the shop's other files are read as its records are
    std::string root_;
    NamesListed names_;
    Part& part_;
    model::Model& model_;
    std::set<std::pair<model::Kind, std::string>> taken_;
    struct NameAndPath {
        std::string name;
        std::string path;
    };
    std::vector<NameAndPath> catalogues_;      // all of the shop
    std::map<std::string, std::string> bytes_; // of those that are not taken, by their paths: it is not to change
    CatalogueTexts texts_;
};

// As if the files had been read in the order of their paths.
template <class Thing>
void put_in_order(const source::Sources& sources, std::vector<Thing>& things) {
    std::sort(things.begin(), things.end(), [&](const Thing& a, const Thing& b) {
        return sources.file(a.id.span.file).path < sources.file(b.id.span.file).path;
    });
}

} // namespace

std::unique_ptr<Part> read_part(const std::string& root, const PartOf& of) {
    const auto lock = ShopLock::take(root, ShopLock::For::reading);
    if (!lock) return nullptr;
    auto names = NamesListed::of(root);
    if (!names) return nullptr;
    auto part = std::make_unique<Part>();
    part->files.shelf = std::make_shared<Shelf>(root);
    part->shop = std::make_unique<Shopful>();
    Shopful& shop = *part->shop;
    shop.shelf = part->files.shelf;
    if (!PartReader(root, std::move(*names), *part).read(of)) return nullptr;
    put_in_order(shop.sources, shop.model.catalogues);
    put_in_order(shop.sources, shop.model.vehicles);
    put_in_order(shop.sources, shop.model.procedures);
    put_in_order(shop.sources, shop.model.records);
    put_in_order(shop.sources, shop.model.approvals);
    put_together(shop);
    std::vector<Allow> allows = allows_of(shop.model);
    return without_allowed(shop.messages, allows).all().empty() ? std::move(part) : nullptr;
}

} // namespace benchleaf::driver
