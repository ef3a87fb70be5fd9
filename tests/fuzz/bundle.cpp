// What somebody hands over → what is taken into a shop. The input is a bundle; or files, of which one is made first, as no mutation finds the SHA-256 that a bundle wants of
// each. Held: what is read is written again byte for byte, what is refused is said in one line (bundle/bundle.h); of what would land every text can be read, with my answers
// and with theirs; and once it has landed, what was taken is the same in both shops.
#include "fuzz/laws.h"
#include "fuzz/targets.h"

#include "adopted/adopted.h"
#include "base/text.h"
#include "bundle/bundle.h"
#include "bundle/form.h"
#include "driver/future.h"
#include "driver/handed_over.h"
#include "driver/meanings.h"
#include "driver/shop_files.h"
#include "pictures/pictures.h"
#include "syntax/syntax.h"

#include <memory>
#include <string>
#include <vector>

namespace benchleaf::fuzz {

namespace {

constexpr auto root = BENCHLEAF_SOURCE_DIR "/tests/rendered/small";

const driver::Meant& mine() {
    static const auto made = [] {
        auto meant = std::make_unique<driver::Meant>();
        auto shop = driver::read_shop(root);
        law(shop.ok(), "my shop is there");
        meant->files = std::move(shop.value().files);
        meant->shop = driver::check_shop(meant->files, {.unused = false});
        meant->meaning = driver::meaning_of(*meant->shop);
        return meant;
    }();
    return *made;
}

std::string made_of(const Files& files) {
    std::vector<bundle::File> all;
    for (const auto& [path, bytes] : files) {
        const bool picture = pictures::named_as_picture(path);
        if (base::first_bad_utf8(path)) continue;
        if (picture || !base::first_bad_utf8(bytes)) all.push_back({path, bytes, picture});
    }
    return bundle::write(all, bundle::Heading::handed_over);
}

void hold_bundle(const std::string& bytes) {
    const auto read = bundle::read(bytes);
    if (!read) {
        const std::string& what = read.failure().what;
        law(what.starts_with("line ") && what.find('\n') == std::string::npos, "a refusal is one line", what);
        is_text_for_a_terminal(what, "a refusal is text");
        return;
    }
    std::vector<bundle::File> files;
    for (const bundle::Unpacked& each : read.value()) files.push_back({each.path, each.bytes, each.picture});
    const auto heading =
        bytes.starts_with(bundle::handed_over) ? bundle::Heading::handed_over : bundle::Heading::of_a_card;
    law(bundle::write(files, heading) == bytes, "a bundle that is read is written again byte for byte", bytes);
}

adopted::Answers all_of(const adopted::Offered& offered, adopted::Answer answer) {
    adopted::Answers answers;
    for (const adopted::Offer& each : offered.offers)
        if (each.stands == adopted::Stands::different)
            answers[{each.kind, each.name}] = each.other_kind ? adopted::Answer::mine : answer;
    return answers;
}

void hold_texts(const driver::Future& future) {
    for (const driver::Coming& each : future.coming) {
        if (pictures::named_as_picture(each.path)) continue;
        source::Sources sources;
        messages::Messages said;
        const auto file = sources.add(each.path, std::string(syntax::without_byte_order_mark(each.bytes)));
        (void)syntax::parse(sources, file, said);
        law(!said.any_error(), "what would land can be read", each.bytes);
    }
}

void take(const driver::Meant& theirs, adopted::Answer answer) {
    std::vector<adopted::ThingId> procedures;
    for (std::size_t i = 0; i < theirs.meaning.things.size(); ++i)
        if (theirs.meaning.things[i].kind == meaning::Kind::procedure) procedures.emplace_back(i);
    const adopted::GoingAlong along = adopted::going_along(theirs.side(), procedures, {}, adopted::Vehicles::that_fit);
    // What an answer brings may differ, too.
    adopted::Answers answers;
    adopted::Offered offered = adopted::offers(theirs.side(), mine().side(), along.roots, answers);
    for (int round = 0; offered.unanswered() > 0; ++round) {
        law(round < 100, "answers come to an end");
        answers.merge(all_of(offered, answer));
        offered = adopted::offers(theirs.side(), mine().side(), along.roots, answers);
    }
    int status = 0;
    const auto future = driver::make_future(root, mine(), theirs, offered, status);
    if (!future) return; // a place that is taken
    hold_texts(*future.value());
    const driver::Future& made = *future.value();
    if (made.fresh.any_error()) return;
    if (!adopted::not_as_meant(made.meant.meaning, theirs.side(), mine().side(), offered).empty()) return;
    const adopted::Offered landed = adopted::offers(theirs.side(), made.meant.side(), along.roots, answers);
    for (const adopted::Offer& each : offered.offers)
        for (const adopted::Offer& then : landed.offers)
            if (each.is_taken() && each.kind == then.kind && each.name == then.name)
                law(then.stands == adopted::Stands::same, "what has landed is the same", each.name);
}

} // namespace

void bundle(std::string_view input) {
    const bool is_made = input.starts_with("# ");
    const std::string bytes = is_made ? std::string(input) : made_of(files_in(input));
    hold_bundle(bytes);
    const auto theirs = driver::read_handed_over("x.bundle.yaml", bytes);
    if (!theirs) {
        law(!theirs.failure().what.empty(), "a refusal says why");
        return;
    }
    messages::Messages said = theirs.value()->shop->messages;
    said.sort_and_unite(theirs.value()->shop->sources);
    hold_messages(said, theirs.value()->shop->sources);
    if (said.any_error()) return;
    take(*theirs.value(), adopted::Answer::mine);
    take(*theirs.value(), adopted::Answer::theirs);
}

} // namespace benchleaf::fuzz
