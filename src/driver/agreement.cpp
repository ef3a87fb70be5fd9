#include "driver/agreement.h"

#include "driver/meanings.h"
#include "driver/say.h"

#include "base/text.h"
#include "bundle/bundle.h"
#include "messages/render.h"
#include "pictures/pictures.h"

#include <algorithm>
#include <fmt/format.h>
#include <utility>

namespace benchleaf::driver {

using adopted::Answer;
using adopted::Offer;
using adopted::Stands;
using meaning::Kind;
using meaning::Thing;
using meaning::ThingId;

namespace {

constexpr std::string_view of_catalogue = "catalogue:";

// "torque:disc-brake/lower-guide-bolt"
std::string full_name(Kind kind, std::string_view name) {
    return fmt::format("{}:{}", meaning::word(kind), name);
}

// A torque has its fastener's name, so it is called by that alone never.
std::vector<ThingId> all_called(const meaning::Meaning& meaning, std::string_view name) {
    std::vector<ThingId> found;
    for (std::size_t i = 0; i < meaning.things.size(); ++i) {
        const Thing& thing = meaning.things[i];
        if ((thing.name == name && thing.kind != Kind::torque) || full_name(thing.kind, thing.name) == name)
            found.emplace_back(i);
    }
    return found;
}

// "disc-brake/" of an entry's name; nothing of another's.
std::string with_slash(const std::string& name) {
    return name.substr(0, name.find('/') + 1);
}

bool is_open(const Offer& offer) {
    return offer.stands == Stands::different && offer.answer == Answer::none;
}

} // namespace

int refused(Terminal& terminal, std::string_view why) {
    terminal.say(messages::for_screen(fmt::format("benchleaf: {}\n", why)));
    return input_has_errors;
}

std::string as_lines(const Offer& offer, std::string_view in) {
    const bool has_words = !offer.called.empty() && offer.called != offer.name;
    std::string to = fmt::format("{}{} {}{}{}\n", in, meaning::word(offer.kind), offer.name,
                                 has_words ? ", “" + offer.called + "”" : "",
                                 offer.answer == Answer::mine     ? ": mine stays"
                                 : offer.answer == Answer::theirs ? ": theirs is taken"
                                                                  : "");
    for (const compared::Difference& difference : offer.differences) to += fmt::format("{}  {}\n", in, difference.says);
    return to;
}

Agreement::Agreement(const AdoptArguments& arguments, const Meant& mine, std::unique_ptr<Meant> theirs,
                     const Global& global, Terminal& terminal)
    : arguments_(arguments), mine_(mine), theirs_(std::move(theirs)), global_(global), terminal_(terminal) {
    const meaning::Meaning& meaning = theirs_->meaning;
    for (std::size_t i = 0; i < meaning.things.size(); ++i)
        if (meaning.things[i].kind == Kind::procedure)
            digests_[meaning.things[i].name] = procedure_digest(meaning, ThingId(i));
}

bool Agreement::reach(int& status) {
    bool reached = is_sound() && rename_as_asked() && find_roots() && take_answers();
    if (reached) {
        offer();
        reached = has_what_is_kept();
    }
    if (reached && offered_.unanswered() > 0 && terminal_.somebody_types() && !arguments_.dry_run) reached = ask();
    reached = reached && takes_what_was_named();
    status = status_;
    return reached;
}

const std::string& Agreement::digest_there(const std::string& procedure) const {
    const auto before = called_before_.find(procedure);
    return digests_.at(before == called_before_.end() ? procedure : before->second);
}

std::string Agreement::option_name(const Offer& offer) const {
    const bool alone = offer.kind != Kind::torque && all_called(theirs_->meaning, offer.name).size() == 1;
    return alone ? offer.name : full_name(offer.kind, offer.name);
}

bool Agreement::misused(std::string_view why) {
    status_ = usage_error(terminal_, messages::for_screen(why));
    return false;
}

bool Agreement::refuse(std::string_view why) {
    status_ = refused(terminal_, why);
    return false;
}

bool Agreement::is_sound() {
    if (!theirs_->shop->messages.any_error()) return true;
    messages::Messages all = theirs_->shop->messages;
    all.sort_and_unite(theirs_->shop->sources);
    say_messages(terminal_, global_, all, theirs_->shop->sources);
    return refuse(fmt::format("{} cannot be taken as it is: {}; nothing was written", arguments_.file, verdict(all)));
}

// -- New names --------------------------------------------------------------------------------------------------------

bool Agreement::rename_as_asked() {
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

std::optional<adopted::NewName> Agreement::new_name(const std::string& name, const std::string& to) {
    adopted::NewName made;
    if (name.starts_with(of_catalogue))
        made.catalogue = catalogue_named(name);
    else
        made.thing = thing_named(name);
    if (!made.thing.known() && !made.catalogue.known()) return std::nullopt;
    if (!is_good_name(made, name.substr(name.find(':') + 1), to)) return std::nullopt;
    return made;
}

// `of`: what it is called now.
bool Agreement::is_good_name(adopted::NewName& name, const std::string& of, std::string to) {
    const Kind kind = name.thing.known() ? theirs_->meaning.at(name.thing).kind : Kind::shop;
    if (kind == Kind::torque)
        return misused(
            fmt::format("a torque goes by its fastener's name: `--both {}=…` takes the fastener with it", of));
    if (kind == Kind::picture) {
        const std::vector<std::string> coming{to};
        if (const auto wrong = bundle::wrong_beside({}, coming)) return misused(*wrong);
        if (!pictures::named_as_picture(to))
            return misused(fmt::format("`{}` is no name of a picture: it ends in .png, .jpg or .jpeg", to));
    } else {
        if (to.starts_with(with_slash(of))) to = to.substr(with_slash(of).size());
        if (!base::is_kebab_case(to))
            return misused(fmt::format("`{}` is no name: small letters, digits, and single hyphens between them", to));
    }
    name.to = std::move(to);
    return true;
}

linked::CatalogueId Agreement::catalogue_named(const std::string& name) {
    const auto& all = theirs_->shop->linked.catalogues;
    for (std::size_t i = 0; i < all.size(); ++i)
        if (all[i].id == name.substr(of_catalogue.size())) return linked::CatalogueId(i);
    misused(fmt::format("there is no {} in {}", name, arguments_.file));
    return {};
}

ThingId Agreement::thing_named(const std::string& name) {
    const auto found = all_called(theirs_->meaning, name);
    if (found.size() == 1) return found.front();
    std::vector<std::string> known;
    if (found.empty()) {
        for (const Thing& each : theirs_->meaning.things)
            known.push_back(each.kind == Kind::torque ? full_name(each.kind, each.name) : each.name);
        const std::string_view near = base::nearest(name, std::vector<std::string_view>(known.begin(), known.end()));
        misused(fmt::format("there is no `{}` in {}{}", name, arguments_.file,
                            near.empty() ? std::string() : fmt::format("; did you mean `{}`?", near)));
    } else {
        for (const ThingId each : found) known.push_back("`" + full_name(theirs_->meaning.at(each).kind, name) + "`");
        misused(fmt::format("`{}` may be {}; say which", name, base::join_and(known)));
    }
    return {};
}

bool Agreement::rename(const std::vector<adopted::NewName>& names) {
    for (const adopted::NewName& each : names) {
        if (!each.thing.known() || theirs_->meaning.at(each.thing).kind != Kind::procedure) continue;
        const std::string was = theirs_->meaning.at(each.thing).name;
        const auto before = called_before_.find(was);
        called_before_[each.to] = before == called_before_.end() ? was : before->second;
    }
    auto made = renamed(*theirs_, names);
    if (!made) return refuse(made.failure().what);
    const std::unique_ptr<Meant> before = std::exchange(theirs_, std::move(made.value()));
    call_by_new_names(*before, names);
    return is_sound();
}

// Mine and theirs are printed alike; told apart they are by their new names.
void Agreement::call_by_new_names(const Meant& before, const std::vector<adopted::NewName>& names) {
    for (const adopted::NewName& each : names)
        new_names_.insert(each.thing.known() ? with_slash(before.meaning.at(each.thing).name) + each.to
                                             : each.to + "/");
    for (Thing& thing : theirs_->meaning.things)
        if (!meaning::is_file(thing.kind) &&
            (new_names_.contains(thing.name) || new_names_.contains(with_slash(thing.name))))
            thing.called = thing.name;
}

// -- What is wanted, and how it stands --------------------------------------------------------------------------------

bool Agreement::find_roots() {
    std::vector<ThingId> procedures;
    std::set<std::string> left(arguments_.procedures.begin(), arguments_.procedures.end());
    std::vector<std::string_view> known;
    for (std::size_t i = 0; i < theirs_->meaning.things.size(); ++i) {
        const Thing& thing = theirs_->meaning.things[i];
        if (thing.kind != Kind::procedure) continue;
        const auto before = called_before_.find(thing.name);
        known.push_back(before == called_before_.end() ? thing.name : before->second);
        if (arguments_.procedures.empty() || left.erase(std::string(known.back())) > 0 || left.erase(thing.name) > 0)
            procedures.emplace_back(i);
    }
    if (!left.empty()) return misused(no_such("procedure", *left.begin(), known));
    if (procedures.empty()) return refuse(fmt::format("{} has no procedure in it", arguments_.file));
    const auto which = arguments_.no_vehicles ? adopted::Vehicles::none : adopted::Vehicles::that_fit;
    roots_ = adopted::going_along(theirs_->side(), procedures, {}, which).roots;
    return true;
}

bool Agreement::take_answers() {
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

// Who says `--mine` of what he does not have would get theirs.
bool Agreement::has_what_is_kept() {
    for (const Offer& each : offered_.offers) {
        const auto answer = answers_.find({each.kind, each.name});
        if (each.stands == Stands::fresh && answer != answers_.end() && answer->second == Answer::mine)
            return misused(fmt::format("`{}` is new here: there is none of mine to keep", option_name(each)));
    }
    return true;
}

// Of what is answered by mine nothing of theirs is needed: an answer on what only that needs would be lost without a word.
bool Agreement::takes_what_was_named() {
    for (const std::string& name : arguments_.theirs) {
        const Thing& thing = theirs_->meaning.at(thing_named(name));
        if (std::none_of(offered_.offers.begin(), offered_.offers.end(),
                         [&](const Offer& each) { return each.kind == thing.kind && each.name == thing.name; }))
            return misused(
                fmt::format("nothing that is taken needs `{}`: what would stays mine, so it cannot be theirs; "
                            "change it by hand, or take theirs of what needs it",
                            name));
    }
    return true;
}

void Agreement::offer() {
    const auto look = [this] { return adopted::offers(theirs_->side(), mine_.side(), roots_, answers_); };
    offered_ = look();
    for (const Offer& each : offered_.offers) {
        if (!is_open(each)) continue;
        if (arguments_.all_mine) answers_[{each.kind, each.name}] = Answer::mine;
        if (arguments_.all_theirs && !each.other_kind) answers_[{each.kind, each.name}] = Answer::theirs;
    }
    offered_ = look();
}

// -- Asking -----------------------------------------------------------------------------------------------------------

bool Agreement::ask() {
    const auto count = [&](Stands stands) {
        return std::count_if(offered_.offers.begin(), offered_.offers.end(),
                             [&](const Offer& each) { return each.stands == stands; });
    };
    terminal_.say(fmt::format("{} new, {} the same, {} different; from mine to theirs:\n", count(Stands::fresh),
                              count(Stands::same), count(Stands::different)));
    for (;;) {
        const auto open = std::find_if(offered_.offers.begin(), offered_.offers.end(), is_open);
        if (open == offered_.offers.end()) return true;
        const Offer asked = *open;
        terminal_.say(messages::for_screen("\n" + as_lines(asked, "")));
        if (!answer_one(asked)) return false;
        offer();
    }
}

bool Agreement::answer_one(const Offer& asked) {
    Answer& answer = answers_[{asked.kind, asked.name}];
    for (std::string line;;) {
        terminal_.say("keep mine, take theirs, keep both, or stop (m, t, b, s) > ");
        if (!std::getline(typed_, line) || base::trimmed(line) == "s" || base::trimmed(line) == "stop") {
            terminal_.say("\nnothing was written\n");
            status_ = input_has_errors;
            return false;
        }
        const std::string said(base::trimmed(line));
        if (said == "m" || said == "mine") answer = Answer::mine;
        if ((said == "t" || said == "theirs") && !asked.other_kind) answer = Answer::theirs;
        if (answer != Answer::none) return true;
        if (said != "b" && said != "both") continue;
        terminal_.say("the new name of theirs > ");
        if (!std::getline(typed_, line)) continue;
        const auto name = new_name(option_name(asked), std::string(base::trimmed(line)));
        status_ = clean; // it is asked once more
        if (name) return rename({*name}) && find_roots();
    }
}

} // namespace benchleaf::driver
