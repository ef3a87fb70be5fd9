// Any text, places, labels and fixes → the messages in every form, and the fixes applied. Held: the messages' laws (laws.h) at every width, with colour and without; no
// line for a person is wider than asked, where the words of the message are not; fixes::apply makes each fix whole or counts it as left out; and the difference that is
// shown, applied by hand, gives the text that was made.
#include "fuzz/laws.h"
#include "fuzz/targets.h"

#include "base/text.h"
#include "fixes/fixes.h"
#include "messages/render.h"

#include <algorithm>
#include <string>
#include <vector>

namespace benchleaf::fuzz {

namespace {

constexpr messages::Rule rules[] = {{"left-loose", messages::Level::error, "a fastener leaves the shop loose"},
                                    {"unused-entry", messages::Level::warning, "nothing names it"},
                                    {"a-note", messages::Level::note, "it is said"}};

// Takes numbers and words from the end of the input, so that the text in front stays what it is.
class Taker {
public:
    explicit Taker(std::string_view input) : rest_(input) {}

    std::size_t number(std::size_t below) {
        std::size_t made = 0;
        for (std::size_t reach = 1; reach < below && !rest_.empty(); reach *= 256) {
            made = made * 256 + static_cast<unsigned char>(rest_.back());
            rest_.remove_suffix(1);
        }
        return below == 0 ? 0 : made % below;
    }
    std::string word() {
        const std::size_t wanted = number(24); // takes of the rest, too
        const std::size_t size = std::min(wanted, rest_.size());
        std::string made(rest_.substr(rest_.size() - size));
        rest_.remove_suffix(size);
        return made;
    }
    std::string_view rest() const { return rest_; }

private:
    std::string_view rest_;
};

struct Said {
    source::Sources sources;
    messages::Messages messages;
    std::vector<messages::Fix> fixes;
};

// An edge of a character, where stages take their places from.
std::uint32_t edge(std::string_view text, std::size_t at) {
    while (at > 0 && at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U) --at;
    return static_cast<std::uint32_t>(at);
}

source::Span span_in(Taker& take, const source::Sources& sources, source::FileId file) {
    const std::string_view text = sources.file(file).text;
    const std::uint32_t a = edge(text, take.number(text.size() + 1));
    const std::uint32_t b = take.number(3) == 0 ? a : edge(text, take.number(text.size() + 1));
    return {file, std::min(a, b), std::max(a, b)};
}

void say_something(Taker& take, Said& said, source::FileId file) {
    messages::Message message;
    message.rule = &rules[take.number(std::size(rules))];
    message.text = take.word() + "x";
    message.help = take.word();
    message.cause = take.number(4) == 0 ? take.word() : "";
    for (std::size_t i = take.number(4); i > 0; --i)
        message.labels.push_back({span_in(take, said.sources, file), take.word()});
    for (std::size_t i = take.number(3); i > 0; --i) {
        messages::Fix fix{take.word(), {}, take.number(4) == 0};
        for (std::size_t j = take.number(3) + 1; j > 0; --j) {
            messages::Edit edit{span_in(take, said.sources, file), take.word()};
            edit.puts = static_cast<messages::Puts>(take.number(4));
            fix.edits.push_back(std::move(edit));
        }
        message.fixes.push_back(std::move(fix));
    }
    said.messages.add(std::move(message));
}

void apply_all(const Said& said, source::FileId id) {
    const source::File& file = said.sources.file(id);
    std::vector<messages::Fix> fixes;
    for (const messages::Message& each : said.messages.all())
        fixes.insert(fixes.end(), each.fixes.begin(), each.fixes.end());
    const fixes::Applied made = fixes::apply(fixes, id, file.text);
    law(made.applied + made.skipped == fixes.size(), "each fix is made or left out");
    law(made.applied > 0 || made.text == file.text, "without a fix nothing changes");
    const std::string diff = fixes::unified_diff(file.path, file.text, made.text);
    law(diff.empty() == (made.text == file.text), "a difference is shown where there is one");
    law(patched(file.text, diff) == made.text, "the difference that is shown is the one that is made", diff);
}

} // namespace

void render(std::string_view input) {
    Taker take(input);
    Said said;
    const std::size_t count = take.number(4) + 1;
    const std::size_t columns = take.number(200);
    const bool colour = take.number(2) == 1;
    const std::size_t kept = take.rest().size() / 2;
    const source::FileId file =
        said.sources.add("x/" + take.word() + ".yaml", std::string(take.rest().substr(0, kept)));
    for (std::size_t i = 0; i < count; ++i) say_something(take, said, file);
    said.messages.sort_and_unite(said.sources);
    hold_messages(said.messages, said.sources);
    const std::string shown = messages::render_human(said.messages, said.sources, {colour, columns});
    law(!base::first_bad_utf8(shown), "messages for a person are UTF-8", shown);
    if (!colour) is_text_for_a_terminal(shown, "messages for a person are text for a terminal");
    is_text_for_a_terminal(messages::for_screen(input), "what is for the screen is text for a terminal");
    law(messages::for_screen(messages::for_screen(input)) == messages::for_screen(input),
        "what is for the screen stays as it is there");
    apply_all(said, file);
}

} // namespace benchleaf::fuzz
