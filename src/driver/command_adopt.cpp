// `adopt`: takes procedures over from another shop, as far as is agreed, and only what is clean together with all that is here.
#include "driver/commands.h"
#include "driver/handed_over.h"
#include "driver/land_files.h"
#include "driver/meanings.h"
#include "driver/say.h"
#include "driver/shop_state.h"

#include "base/text.h"
#include "fixes/fixes.h"
#include "messages/render.h"
#include "pictures/pictures.h"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iostream>
#include <set>
#include <tuple>

namespace benchleaf::driver {

namespace {

using adopted::Answer;
using adopted::Offer;
using adopted::Stands;
using meaning::Kind;
using meaning::Thing;
using meaning::ThingId;

// "torque:disc-brake/lower-guide-bolt"; the kind stands before a name only where another thing has that, too.
std::string full_name(Kind kind, std::string_view name) {
    return fmt::format("{}:{}", meaning::word(kind), name);
}

std::vector<ThingId> all_called(const meaning::Meaning& meaning, std::string_view name) {
    std::vector<ThingId> found;
    for (std::size_t i = 0; i < meaning.things.size(); ++i) {
        const Thing& thing = meaning.things[i];
        if (full_name(thing.kind, thing.name) == name || (thing.name == name && thing.kind != Kind::torque))
            found.emplace_back(i);
    }
    return found;
}

std::string shortest_name(const meaning::Meaning& meaning, Kind kind, const std::string& name) {
    const auto all = all_called(meaning, name);
    return kind != Kind::torque && all.size() == 1 ? name : full_name(kind, name);
}

std::string titled(Kind kind, const std::string& name, const std::string& called) {
    return fmt::format("{} {}{}", meaning::word(kind), name,
                       called.empty() || called == name ? std::string() : ", “" + called + "”");
}

class Adopting {
public:
    Adopting(const AdoptArguments& arguments, const Global& global, Terminal& terminal)
        : arguments_(arguments), global_(global), terminal_(terminal) {}

    int run() {
        if (!open() || !rename_as_asked() || !find_roots() || !take_answers()) return status_;
        offer();
        if (offered_.unanswered() > 0 && terminal_.somebody_types() && !arguments_.dry_run && !ask()) return status_;
        show_offers();
        if (offered_.unanswered() > 0) return say_what_would_answer();
        if (!make_future() || !looks_clean()) return status_;
        if (arguments_.dry_run) return show_changes();
        return land();
    }

private:
    // -- Reading ------------------------------------------------------------------------------------------------------
    bool open() {
        shop_ = open_shop(global_, "", terminal_, status_);
        if (!shop_) return false;
        const auto bytes = read_bytes(arguments_.file, bundle::most_bytes);
        if (!bytes) return refuse(bytes.failure().what);
        auto theirs = read_handed_over(arguments_.file, bytes.value());
        if (!theirs) return refuse(theirs.failure().what);
        theirs_ = std::move(theirs.value());
        if (!is_sound(*theirs_)) return false;
        for (std::size_t i = 0; i < theirs_->meaning.things.size(); ++i)
            if (theirs_->meaning.things[i].kind == Kind::procedure)
                handed_over_[theirs_->meaning.things[i].name] = procedure_digest(theirs_->meaning, ThingId(i));
        mine_.files = shop_->files;
        mine_.files.shelf = std::make_shared<Shelf>(shop_->root);
        mine_.shop = check_shop(mine_.files, {.unused = false});
        if (!mine_can_be_read()) return false;
        mine_.meaning = meaning_of(*mine_.shop);
        return true;
    }

    // Else what is there would be taken for what lacks.
    bool mine_can_be_read() {
        if (mine_.shop->model.unread.empty() && !mine_.shop->model.unread_shared) return true;
        say_messages(terminal_, global_, mine_.shop->messages, mine_.shop->sources);
        return refuse("this shop cannot be read whole, so nothing is taken into it: mend that first");
    }

    bool refuse(std::string_view why) {
        terminal_.say(messages::for_screen(fmt::format("benchleaf: {}\n", why)));
        status_ = input_has_errors;
        return false;
    }

    bool is_sound(const Meant& meant) {
        if (!meant.shop->messages.any_error()) return true;
        messages::Messages all = meant.shop->messages;
        all.sort_and_unite(meant.shop->sources);
        say_messages(terminal_, global_, all, meant.shop->sources);
        return refuse(
            fmt::format("{} cannot be taken as it is: {}; nothing was written", arguments_.file, verdict(all)));
    }

    // -- New names ----------------------------------------------------------------------------------------------------
    bool rename_as_asked() {
        std::vector<adopted::NewName> names;
        for (const std::string& each : arguments_.both) {
            const std::size_t equals = each.find('=');
            if (equals == std::string::npos)
                return misused(fmt::format("`--both {}` lacks the new name: NAME=NEW-NAME", each));
            auto name = new_name(each.substr(0, equals), each.substr(equals + 1));
            if (!name) return false;
            names.push_back(std::move(*name));
        }
        return names.empty() || rename(names);
    }

    bool misused(std::string_view why) {
        status_ = usage_error(terminal_, messages::for_screen(why));
        return false;
    }

    std::optional<adopted::NewName> new_name(const std::string& name, std::string to) {
        adopted::NewName made;
        constexpr std::string_view catalogue = "catalogue:";
        Kind kind = Kind::shop;
        if (name.starts_with(catalogue)) {
            const auto& all = theirs_->shop->linked.catalogues;
            for (std::size_t i = 0; i < all.size(); ++i)
                if (all[i].id == name.substr(catalogue.size())) made.catalogue = adopted::CatalogueId(i);
            if (!made.catalogue.known()) {
                misused(fmt::format("there is no {} in {}", name, arguments_.file));
                return std::nullopt;
            }
        } else {
            made.thing = thing_named(name);
            if (!made.thing.known()) return std::nullopt;
            kind = theirs_->meaning.at(made.thing).kind;
        }
        if (kind == Kind::torque) {
            misused(fmt::format("a torque goes by its fastener's name: `--both {}=…` takes the fastener with it",
                                theirs_->meaning.at(made.thing).name));
            return std::nullopt;
        }
        if (kind == Kind::picture) {
            const std::string old = theirs_->meaning.at(made.thing).name;
            const std::vector<std::string> coming{to};
            const auto wrong = bundle::wrong_beside({}, coming);
            if (wrong || !pictures::named_as_picture(to)) {
                misused(wrong ? *wrong
                              : fmt::format("`{}` is no name of a picture: it ends in .png, .jpg or .jpeg", to));
                return std::nullopt;
            }
        } else {
            if (!meaning::is_file(kind) || kind == Kind::shop) {
                const std::string before = name.substr(name.find(':') + 1);
                const std::string in = before.substr(0, before.find('/') + 1);
                if (!in.empty() && to.starts_with(in)) to = to.substr(in.size());
            }
            if (!base::is_kebab_case(to)) {
                misused(fmt::format("`{}` is no name: small letters, digits, and single hyphens between them", to));
                return std::nullopt;
            }
        }
        made.to = std::move(to);
        return made;
    }

    bool rename(const std::vector<adopted::NewName>& names) {
        for (const adopted::NewName& each : names)
            if (each.thing.known() && theirs_->meaning.at(each.thing).kind == Kind::procedure)
                called_before_[each.to] = theirs_->meaning.at(each.thing).name;
        auto made = renamed(*theirs_, names);
        if (!made) return refuse(made.failure().what);
        call_by_new_names(*theirs_, names, *made.value());
        theirs_ = std::move(made.value());
        return is_sound(*theirs_);
    }

    // Mine and theirs are printed alike; told apart they are by their new names.
    void call_by_new_names(const Meant& before, const std::vector<adopted::NewName>& names, Meant& after) {
        for (const adopted::NewName& each : names) {
            const std::string was = each.thing.known() ? before.meaning.at(each.thing).name : std::string();
            new_names_.insert(each.thing.known() ? was.substr(0, was.find('/') + 1) + each.to : each.to + "/");
        }
        for (Thing& thing : after.meaning.things)
            if (!meaning::is_file(thing.kind) && (new_names_.contains(thing.name) ||
                                                  new_names_.contains(thing.name.substr(0, thing.name.find('/') + 1))))
                thing.called = thing.name;
    }

    ThingId thing_named(const std::string& name) {
        const auto found = all_called(theirs_->meaning, name);
        if (found.size() == 1) return found.front();
        if (found.empty()) {
            std::vector<std::string> known;
            for (const Thing& each : theirs_->meaning.things)
                known.push_back(each.kind == Kind::torque ? full_name(each.kind, each.name) : each.name);
            const std::vector<std::string_view> names(known.begin(), known.end());
            const std::string_view near = base::nearest(name, names);
            misused(fmt::format("there is no `{}` in {}{}", name, arguments_.file,
                                near.empty() ? std::string() : fmt::format("; did you mean `{}`?", near)));
        } else {
            std::vector<std::string> all;
            for (const ThingId each : found) all.push_back("`" + full_name(theirs_->meaning.at(each).kind, name) + "`");
            misused(fmt::format("`{}` may be {}; say which", name, base::join_and(all)));
        }
        return {};
    }

    // -- What is wanted -------------------------------------------------------------------------------------------------
    bool find_roots() {
        std::vector<ThingId> procedures;
        std::set<std::string> left(arguments_.procedures.begin(), arguments_.procedures.end());
        std::vector<std::string_view> known;
        for (std::size_t i = 0; i < theirs_->meaning.things.size(); ++i) {
            const Thing& thing = theirs_->meaning.things[i];
            if (thing.kind != Kind::procedure) continue;
            const auto before = called_before_.find(thing.name);
            known.push_back(before == called_before_.end() ? thing.name : before->second);
            if (arguments_.procedures.empty() || left.erase(std::string(known.back())) > 0 ||
                left.erase(thing.name) > 0)
                procedures.emplace_back(i);
        }
        if (!left.empty()) return misused(messages::for_screen(no_such("procedure", *left.begin(), known)));
        if (procedures.empty()) return refuse(fmt::format("{} has no procedure in it", arguments_.file));
        const auto which = arguments_.no_vehicles ? adopted::Vehicles::none : adopted::Vehicles::that_fit;
        roots_ = adopted::going_along(theirs_->side(), procedures, {}, which).roots;
        return true;
    }

    void offer() {
        offered_ = adopted::offers(theirs_->side(), mine_.side(), roots_, answers_);
        for (Offer& each : offered_.offers) {
            if (each.stands != Stands::different || each.answer != Answer::none) continue;
            if (arguments_.all_mine) answers_[{each.kind, each.name}] = Answer::mine;
            if (arguments_.all_theirs && !each.other_kind) answers_[{each.kind, each.name}] = Answer::theirs;
        }
        offered_ = adopted::offers(theirs_->side(), mine_.side(), roots_, answers_);
    }

    bool take_answers() {
        for (const auto& [names, answer] :
             {std::pair(&arguments_.mine, Answer::mine), std::pair(&arguments_.theirs, Answer::theirs)})
            for (const std::string& name : *names) {
                const ThingId id = thing_named(name);
                if (!id.known()) return false;
                const Thing& thing = theirs_->meaning.at(id);
                const auto [at, fresh] = answers_.try_emplace({thing.kind, thing.name}, answer);
                if (!fresh && at->second != answer)
                    return misused(fmt::format("`{}` cannot be both mine and theirs", name));
            }
        return true;
    }

    // -- Asking ---------------------------------------------------------------------------------------------------------
    bool ask() {
        const auto count = [&](Stands stands) {
            return std::count_if(offered_.offers.begin(), offered_.offers.end(),
                                 [&](const Offer& each) { return each.stands == stands; });
        };
        terminal_.say(fmt::format("{} new, {} the same, {} different; from mine to theirs:\n", count(Stands::fresh),
                                  count(Stands::same), count(Stands::different)));
        for (;;) {
            const auto open = std::find_if(offered_.offers.begin(), offered_.offers.end(), [](const Offer& each) {
                return each.stands == Stands::different && each.answer == Answer::none;
            });
            if (open == offered_.offers.end()) return true;
            const Offer asked = *open;
            terminal_.say(messages::for_screen(fmt::format("\n{}", as_lines(asked, ""))));
            if (!answer_one(asked)) return false;
            offer();
        }
    }

    bool answer_one(const Offer& asked) {
        for (;;) {
            terminal_.say("keep mine, take theirs, keep both, or stop (m, t, b, s) > ");
            std::string line;
            if (!std::getline(std::cin, line) || base::trimmed(line) == "s") {
                terminal_.say("\nnothing was written\n");
                status_ = input_has_errors;
                return false;
            }
            const std::string_view said = base::trimmed(line);
            if (said == "m" || said == "mine") return answers_[{asked.kind, asked.name}] = Answer::mine, true;
            if ((said == "t" || said == "theirs") && !asked.other_kind)
                return answers_[{asked.kind, asked.name}] = Answer::theirs, true;
            if (said != "b" && said != "both") continue;
            terminal_.say("the new name of theirs > ");
            if (!std::getline(std::cin, line)) continue;
            const auto name =
                new_name(shortest_name(theirs_->meaning, asked.kind, asked.name), std::string(base::trimmed(line)));
            status_ = clean;
            if (!name) continue;
            return rename({*name}) && find_roots();
        }
    }

    // -- Telling --------------------------------------------------------------------------------------------------------
    static std::string_view answer_in_words(const Offer& each) {
        if (each.answer == Answer::mine) return ": mine stays";
        if (each.answer == Answer::theirs) return ": theirs is taken";
        return "";
    }

    std::string as_lines(const Offer& each, std::string_view in) const {
        std::string to = fmt::format("{}{}{}\n", in, titled(each.kind, each.name, each.called), answer_in_words(each));
        for (const compared::Difference& difference : each.differences)
            to += fmt::format("{}  {}\n", in, difference.says);
        return to;
    }

    void show_offers() {
        std::string fresh, different;
        std::size_t same = 0;
        std::map<std::string, std::size_t> whole;
        for (const adopted::CatalogueId each : offered_.whole)
            whole[theirs_->shop->linked.catalogues[each.index()].id] = 0;
        for (const Offer& each : offered_.offers) {
            if (each.stands == Stands::same) ++same;
            if (each.stands == Stands::different) different += as_lines(each, "  ");
            if (each.stands != Stands::fresh) continue;
            const auto in = whole.find(each.name.substr(0, each.name.find('/')));
            if (in != whole.end() && !meaning::is_file(each.kind) && each.kind != Kind::picture)
                ++in->second;
            else
                fresh += as_lines(each, "  ");
        }
        for (const auto& [name, entries] : whole)
            fresh += fmt::format("  catalogue {}, with {}\n", name, counted(entries, "entry", "entries"));
        std::string all;
        if (!fresh.empty()) all += "new\n" + fresh;
        if (!different.empty()) all += "different, from mine to theirs\n" + different;
        if (same > 0) all += fmt::format("the same: {}\n", counted(same, "thing", "things"));
        terminal_.result(messages::for_screen(all));
    }

    int say_what_would_answer() {
        std::string all = fmt::format(
            "benchleaf: {}, and nothing was written. For each, one of these answers:\n",
            offered_.unanswered() == 1 ? "one thing differs" : fmt::format("{} things differ", offered_.unanswered()));
        for (const Offer& each : offered_.offers) {
            if (each.stands != Stands::different || each.answer != Answer::none) continue;
            const std::string name = shortest_name(theirs_->meaning, each.kind, each.name);
            const std::string both = each.kind == Kind::torque ? each.name : name;
            all += fmt::format("  --mine {}{}  --both {}=NEW-NAME\n", name,
                               each.other_kind ? std::string() : "  --theirs " + name, both);
        }
        all += "or of all that are left: --all-mine, --all-theirs\n";
        terminal_.say(messages::for_screen(all));
        return input_has_errors;
    }

    // -- The shop as it would be ----------------------------------------------------------------------------------------
    bool make_future() {
        Files future = mine_.files;
        for (const adopted::Landing& each : adopted::landings(theirs_->side(), mine_.side(), offered_)) {
            if (!each.mine.known() && mine_.files.contains(each.path))
                return refuse(fmt::format("{} is there already, and is something else: it stays as it is, and nothing "
                                          "was written",
                                          each.path));
            const Meant& from = each.theirs.known() ? *theirs_ : mine_;
            const source::FileId file = each.theirs.known() ? each.theirs : each.mine;
            const std::string& bytes = from.files.at(from.shop->sources.file(file).path);
            put(each.path, edited_bytes(*from.shop, file, bytes, each.edits), future);
        }
        PictureFiles pictures;
        for (const std::string& path : adopted::pictures_taken(offered_)) {
            Coming file{path, theirs_->pictures.at(path), std::nullopt};
            if (mine_.meaning.find(Kind::picture, path).known())
                if (auto bytes = read_bytes(shop_->root + "/" + path, pictures::most_bytes))
                    file.before = bytes.value();
            pictures[path] = file.bytes;
            coming_.push_back(std::move(file));
        }
        future.shelf = std::make_shared<Shelf>(shop_->root, std::move(pictures));
        future_.files = std::move(future);
        return true;
    }

    void put(const std::string& path, std::string bytes, Files& future) {
        Coming file{path, bytes, std::nullopt};
        if (const auto there = shop_->files.find(path); there != shop_->files.end()) file.before = there->second;
        if (file.before != bytes) coming_.push_back(std::move(file));
        future[path] = std::move(bytes);
    }

    bool looks_clean() {
        if (const auto wrong = wrong_paths()) return refuse(*wrong);
        future_.shop = check_shop(future_.files, {.unused = false}); // a catalogue may have more than is used here
        if (!no_new_errors()) return false;
        future_.meaning = meaning_of(*future_.shop);
        const auto wrong = adopted::not_as_meant(future_.meaning, theirs_->side(), mine_.side(), offered_);
        if (wrong.empty()) return true;
        std::string all;
        for (const std::string& each : wrong) all += fmt::format("  {}\n", each);
        return refuse(fmt::format("nothing was written, for not all would mean what it has to:\n{}", all));
    }

    std::optional<std::string> wrong_paths() const {
        auto there = all_paths_in(shop_->root);
        if (!there) return there.failure().what;
        std::vector<std::string> paths;
        for (const Coming& each : coming_) {
            paths.push_back(each.path);
            if (const auto place = place_in(shop_->root, each.path); !place) return place.failure().what;
            const bool is_there =
                std::find(there.value().begin(), there.value().end(), each.path) != there.value().end();
            if (is_there && !each.before)
                return fmt::format("{} is there already, and is no file of the shop: it stays as it is", each.path);
        }
        return bundle::wrong_beside(there.value(), paths);
    }

    using Told = std::tuple<std::string, std::string_view, std::string>;
    static Told told(const messages::Message& message, const Shopful& shop) {
        const bool placed = !message.labels.empty() && message.labels.front().span.known();
        return {placed ? shop.sources.file(message.labels.front().span.file).path : std::string(), message.rule->name,
                message.text};
    }

    // None that was not there before, and none in a file that would be written.
    bool no_new_errors() {
        std::set<std::string> coming;
        for (const Coming& each : coming_) coming.insert(each.path);
        std::multiset<Told> before;
        for (const messages::Message& each : mine_.shop->messages.all()) before.insert(told(each, *mine_.shop));
        messages::Messages fresh;
        for (const messages::Message& each : future_.shop->messages.all()) {
            const Told now = told(each, *future_.shop);
            const auto was = before.find(now);
            if (was == before.end() ||
                (each.rule->level == messages::Level::error && coming.contains(std::get<0>(now))))
                fresh.add(each);
            else
                before.erase(was);
        }
        if (!fresh.all().empty()) say_messages(terminal_, global_, fresh, future_.shop->sources);
        if (!fresh.any_error()) return true;
        return refuse(fmt::format("what would land does not check clean: {}; nothing was written", verdict(fresh)));
    }

    // -- Writing --------------------------------------------------------------------------------------------------------
    int show_changes() {
        std::string all;
        for (const Coming& each : coming_)
            if (pictures::named_as_picture(each.path))
                all += fmt::format("{}: a picture of {} bytes\n", each.path, each.bytes.size());
            else
                all += fixes::unified_diff(each.path, each.before.value_or(""), each.bytes);
        terminal_.result("\n" + (terminal_.results_on_screen() ? messages::for_screen(all) : all));
        terminal_.result("\n" + procedures_in_words());
        terminal_.say("nothing was written: this was a dry run\n");
        return clean;
    }

    int land() {
        if (coming_.empty()) {
            terminal_.result(procedures_in_words());
            terminal_.say("nothing was written: there is nothing to take\n");
            return clean;
        }
        if (auto landed = land_files(shop_->root, coming_); !landed) return machine_error(terminal_, landed.failure());
        std::string all = "written\n";
        for (const Coming& each : coming_) all += fmt::format("  {}\n", each.path);
        terminal_.result(all + procedures_in_words());
        return clean;
    }

    // Each procedure that came, by the digest that it has here; and those of mine that say something else now.
    std::string procedures_in_words() const {
        std::string to = "procedures\n";
        std::set<std::string> came;
        for (const Offer& each : offered_.offers) {
            if (each.kind != Kind::procedure) continue;
            came.insert(each.name);
            const auto before = called_before_.find(each.name);
            const std::string& digest = handed_over_.at(before == called_before_.end() ? each.name : before->second);
            const std::string here =
                procedure_digest(future_.meaning, future_.meaning.find(Kind::procedure, each.name));
            to += fmt::format("  {}  {}, {}\n", each.name, in_groups(here),
                              here == digest
                                  ? std::string("as it was handed over")
                                  : fmt::format("{}handed over as {}", each.answer == Answer::mine ? "mine; " : "",
                                                in_groups(digest)));
        }
        for (const Thing& thing : mine_.meaning.things) {
            if (thing.kind != Kind::procedure || came.contains(thing.name)) continue;
            const std::string was = procedure_digest(mine_.meaning, mine_.meaning.find(Kind::procedure, thing.name));
            const std::string is = procedure_digest(future_.meaning, future_.meaning.find(Kind::procedure, thing.name));
            if (was != is)
                to += fmt::format("  {}  {}, mine, which says something else now; it was {}\n", thing.name,
                                  in_groups(is), in_groups(was));
        }
        return messages::for_screen(to);
    }

    const AdoptArguments& arguments_;
    const Global& global_;
    Terminal& terminal_;
    int status_ = clean;
    std::optional<Shop> shop_;
    Meant mine_;
    std::unique_ptr<Meant> theirs_;
    Meant future_;
    std::map<std::string, std::string> handed_over_;   // digests of procedures, by the names that they came with
    std::map<std::string, std::string> called_before_; // new names to those
    std::set<std::string> new_names_;                  // of entries; of catalogues with a slash
    std::vector<ThingId> roots_;
    adopted::Answers answers_;
    adopted::Offered offered_;
    std::vector<Coming> coming_;
};

} // namespace

int adopt(const AdoptArguments& arguments, const Global& global, Terminal& terminal) {
    return Adopting(arguments, global, terminal).run();
}

} // namespace benchleaf::driver
