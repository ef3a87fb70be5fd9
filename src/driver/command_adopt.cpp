// `adopt`: takes procedures over from another shop, as far as is agreed, and only what is clean together with all that is here.
#include "driver/agreement.h"
#include "driver/allow.h"
#include "driver/commands.h"
#include "driver/future.h"
#include "driver/meanings.h"
#include "driver/say.h"
#include "driver/shop_state.h"

#include "fixes/fixes.h"
#include "messages/render.h"
#include "pictures/pictures.h"

#include <filesystem>
#include <fmt/format.h>
#include <map>
#include <set>

namespace benchleaf::driver {

namespace {

using adopted::Answer;
using adopted::Offer;
using adopted::Stands;
using meaning::Kind;
using meaning::Thing;

// On failure it has been said, and `status` is set.
std::unique_ptr<Meant> read_theirs(const std::string& path, Terminal& terminal, int& status) {
    const auto bytes = read_bytes(path, bundle::most_bytes);
    if (!bytes) {
        std::error_code error;
        const bool too_long = std::filesystem::file_size(path, error) > bundle::most_bytes && !error;
        status = too_long ? refused(terminal, bytes.failure().what) : machine_error(terminal, bytes.failure());
        return nullptr;
    }
    auto theirs = read_handed_over(path, bytes.value());
    if (theirs) return std::move(theirs.value());
    status = refused(terminal, theirs.failure().what);
    return nullptr;
}

// What cannot be read would be taken for what lacks.
bool read_mine(const Shop& shop, Meant& mine, const Global& global, Terminal& terminal, int& status) {
    mine.files = shop.files;
    mine.files.shelf = std::make_shared<Shelf>(shop.root);
    mine.shop = check_shop(mine.files, {.unused = false});
    if (!mine.shop->model.unread.empty() || mine.shop->model.unread_shared) {
        say_messages(terminal, global, mine.shop->messages, mine.shop->sources);
        status = refused(terminal, "this shop cannot be read whole, so nothing is taken into it: mend that first");
        return false;
    }
    mine.meaning = meaning_of(*mine.shop);
    return true;
}

std::string offers_in_words(const Agreement& agreement) {
    std::string fresh, different;
    std::size_t same = 0;
    std::map<std::string, std::size_t> whole; // catalogues that are new: how many entries of each
    for (const adopted::CatalogueId each : agreement.offered().whole)
        whole[agreement.theirs().shop->linked.catalogues[each.index()].id] = 0;
    for (const Offer& each : agreement.offered().offers) {
        const bool entry = !meaning::is_file(each.kind) && each.kind != Kind::picture;
        const auto in = entry ? whole.find(each.name.substr(0, each.name.find('/'))) : whole.end();
        if (each.stands == Stands::same)
            ++same;
        else if (each.stands == Stands::different)
            different += as_lines(each, "  ");
        else if (in != whole.end())
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
    return messages::for_screen(all);
}

int say_what_would_answer(const Agreement& agreement, Terminal& terminal) {
    const std::size_t open = agreement.offered().unanswered();
    std::string all = fmt::format("{}, and nothing was written. For each, one of these answers:\n",
                                  open == 1 ? std::string("one thing differs") : fmt::format("{} things differ", open));
    for (const Offer& each : agreement.offered().offers) {
        if (each.stands != Stands::different || each.answer != Answer::none) continue;
        const std::string name = agreement.option_name(each);
        all += fmt::format("  --mine {}{}  --both {}=NEW-NAME\n", name,
                           each.other_kind ? std::string() : "  --theirs " + name,
                           each.kind == Kind::torque ? each.name : name); // goes with its fastener
    }
    return refused(terminal, all + "or of all that are left: --all-mine, --all-theirs");
}

bool may_land(const Future& future, const Agreement& agreement, const Meant& mine, const Global& global,
              Terminal& terminal) {
    if (!future.fresh.all().empty()) say_messages(terminal, global, future.fresh, future.meant.shop->sources);
    if (future.fresh.any_error()) {
        refused(terminal,
                fmt::format("what would land does not check clean: {}; nothing was written", verdict(future.fresh)));
        return false;
    }
    const auto wrong =
        adopted::not_as_meant(future.meant.meaning, agreement.theirs().side(), mine.side(), agreement.offered());
    std::string all = "nothing was written, for not all would mean what it has to:";
    for (const std::string& each : wrong) all += fmt::format("\n  {}", each);
    // A name that named nothing would name something: that is for its author to look at.
    if (mine.shop->messages.any_error())
        all += fmt::format("\nThis shop has {} of its own: mend that first.", verdict(mine.shop->messages));
    if (!wrong.empty()) refused(terminal, all);
    return wrong.empty();
}

// The warnings that its author says are none, and why: whoever takes it should know.
std::string allows_in_words(const Shopful& shop, source::FileId procedure) {
    std::string to;
    for (const Allow& each : allows_of(shop.model))
        if (each.name.file == procedure)
            for (const auto& entry : each.step->allow->value)
                if (entry.key.span == each.name)
                    to += fmt::format("    allows {}: {}\n", each.check, compared::in_one_line(entry.value.value));
    return to;
}

// Each procedure that came, by the digest that it has here; and those of mine that say something else now.
std::string procedures_in_words(const Future& future, const Agreement& agreement, const Meant& mine) {
    const auto digest_of = [](const meaning::Meaning& meaning, const std::string& name) {
        return procedure_digest(meaning, meaning.find(Kind::procedure, name));
    };
    std::string to = "procedures\n";
    std::set<std::string> came;
    for (const Offer& each : agreement.offered().offers) {
        if (each.kind != Kind::procedure) continue;
        came.insert(each.name);
        const std::string here = digest_of(future.meant.meaning, each.name);
        const std::string& there = agreement.digest_there(each.name);
        to += fmt::format("  {}  {}, {}\n", each.name, in_groups(here),
                          here == there ? std::string("as it was handed over")
                                        : fmt::format("{}handed over as {}",
                                                      each.answer == Answer::mine ? "mine; " : "", in_groups(there)));
        const Thing& thing = future.meant.meaning.at(future.meant.meaning.find(Kind::procedure, each.name));
        if (each.is_taken()) to += allows_in_words(*future.meant.shop, thing.declared.file);
    }
    for (const Thing& thing : mine.meaning.things) {
        if (thing.kind != Kind::procedure || came.contains(thing.name)) continue;
        const std::string was = digest_of(mine.meaning, thing.name);
        const std::string is = digest_of(future.meant.meaning, thing.name);
        if (was != is)
            to += fmt::format("  {}  {}, mine, which says something else now; it was {}\n", thing.name, in_groups(is),
                              in_groups(was));
    }
    return messages::for_screen(to);
}

std::string changes_in_words(const std::vector<Coming>& files, bool on_screen) {
    std::string all;
    for (const Coming& each : files)
        if (pictures::named_as_picture(each.path))
            all += fmt::format("{}: a picture of {} bytes\n", each.path, each.bytes.size());
        else
            all += fixes::unified_diff(each.path, each.before.value_or(""), each.bytes);
    return on_screen ? messages::for_screen(all) : all;
}

int land(const std::string& root, const Future& future, Terminal& terminal) {
    auto landed = land_files(root, future.coming);
    if (!landed) return machine_error(terminal, landed.failure());
    if (future.coming.empty()) {
        terminal.say("nothing was written: there is nothing to take\n");
        return clean;
    }
    terminal.result("written\n");
    for (const Coming& each : future.coming) terminal.result(messages::for_screen(fmt::format("  {}\n", each.path)));
    return clean;
}

} // namespace

int adopt(const AdoptArguments& arguments, const Global& global, Terminal& terminal) {
    int status = clean;
    const auto shop = open_shop(global, "", terminal, status);
    if (!shop) return status;
    auto theirs = read_theirs(arguments.file, terminal, status);
    Meant mine;
    if (!theirs || !read_mine(*shop, mine, global, terminal, status)) return status;

    Agreement agreement(arguments, mine, std::move(theirs), global, terminal);
    if (!agreement.reach(status)) return status;
    terminal.result(offers_in_words(agreement));
    if (agreement.offered().unanswered() > 0) return say_what_would_answer(agreement, terminal);

    const auto future = make_future(shop->root, mine, agreement.theirs(), agreement.offered(), status);
    if (!future) {
        refused(terminal, future.failure().what);
        return status;
    }
    if (!may_land(*future.value(), agreement, mine, global, terminal)) return input_has_errors;
    if (arguments.dry_run) {
        terminal.result("\n" + changes_in_words(future.value()->coming, terminal.results_on_screen()) + "\n");
        terminal.say("nothing was written: this was a dry run\n");
    } else {
        status = land(shop->root, *future.value(), terminal);
        if (status != clean) return status;
    }
    terminal.result(procedures_in_words(*future.value(), agreement, mine));
    return clean;
}

} // namespace benchleaf::driver
