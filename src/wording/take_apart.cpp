#include "wording/take_apart.h"

#include "base/text.h"
#include "wording/check.h"

#include <algorithm>
#include <functional>
#include <iterator>
#include <limits>
#include <string_view>

namespace benchleaf::wording {

namespace {

using linked::Steps;
using model::Given;

bool is_letter(char32_t c) {
    if (c < 0x80) return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    if (c == 0xD7 || c == 0xF7 || c == 0xAB || c == 0xBB || c == 0xA0 || c == 0xB7) return false; // × ÷ « » and blanks
    return c >= 0xB0 && !(c >= 0x2000 && c <= 0x206F); // dashes, quotes, blanks
}

// What may stand between two letters of one word: "thread-locker", "maker's", "2.5".
bool joins(char32_t c) {
    return c == '-' || c == '\'' || c == 0x2019 || c == '.' || c == '/';
}

Before before_of(char32_t c) {
    switch (c) {
    case '.':
    case ';':
    case ':':
    case '!':
    case '?':
        return Before::stop;
    case ',':
    case '(':
    case ')':
    case 0x2013: // dashes
    case 0x2014:
        return Before::comma;
    default:
        return Before::nothing;
    }
}

std::uint16_t words_in(std::string_view text) {
    std::size_t count = 0;
    for (const std::string_view part : base::split(text, ' ')) count += part.empty() ? 0U : 1U;
    return static_cast<std::uint16_t>(std::clamp<std::size_t>(count, 1, std::numeric_limits<std::uint16_t>::max()));
}

class Taker {
public:
    // `full`: called between two procedures.
    Taker(const linked::Linked& linked, Wording& to, std::function<void()> full)
        : linked_(linked), to_(to), full_(std::move(full)) {}

    void all() {
        for (const model::Catalogue& catalogue : linked_.model->catalogues) {
            if (!catalogue.cautions) continue;
            for (const auto& each : catalogue.cautions->value) caution(each.value, nullptr);
        }
        for (const linked::Procedure& procedure : linked_.procedures) {
            in_ = procedure.id;
            text(Kind::why, procedure.source->why, nullptr);
            for (const linked::Section& section : procedure.sections) {
                if (section.source != nullptr) text(Kind::why, section.source->why, nullptr);
                steps(section.steps);
            }
            full_();
        }
    }

private:
    void steps(const Steps& all) { // as deep as the reader lets steps lie in each other
        for (const linked::Step& step : all) {
            const model::Step& from = *step.source;
            if (step.kind != linked::StepKind::hole) text(Kind::plain, from.plain, &step);
            // Beside a question, `say` is that question's wording.
            const bool question = step.kind != linked::StepKind::verb && step.kind != linked::StepKind::plain;
            text(question ? Kind::ask : Kind::say, from.say, &step);
            text(Kind::ask, from.ask, &step);
            text(Kind::look_for, from.look_for, &step);
            text(Kind::why, from.why, &step);
            text(Kind::stop, from.stop, &step);
            if (from.again) text(Kind::until, from.again->value.until, &step);
            if (from.own_cautions)
                for (const model::Caution& each : from.own_cautions->value) caution(each, &step);
            for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise}) steps(*below);
        }
    }

    void caution(const model::Caution& caution, const linked::Step* step) {
        text(Kind::hazard, caution.hazard, step);
        text(Kind::avoid, caution.avoid, step);
    }

    void text(Kind kind, const Given<std::string>& given, const linked::Step* step) {
        if (!given) return;
        words_.clear();
        const std::string_view value = given->value;
        Before before = Before::stop;
        const auto point_at = [value](std::size_t at) {
            const auto byte = static_cast<unsigned char>(value[at]);
            return byte < 0x80 ? base::CodePoint{byte, 1} : base::code_point_at(value, at);
        };
        for (std::size_t at = 0; at < value.size();) {
            if (value[at] == '{') {
                if (const std::size_t close = value.find('}', at); close != std::string_view::npos) {
                    Word& word = words_.emplace_back(item(value.substr(at + 1, close - at - 1), step));
                    word.before = before;
                    word.begin = static_cast<std::uint32_t>(at);
                    at = close + 1;
                    word.end = static_cast<std::uint32_t>(at);
                    before = Before::nothing;
                    continue;
                }
            }
            const base::CodePoint first = point_at(at);
            if (!is_letter(first.value)) {
                before = std::max(before, before_of(first.value));
                at += first.bytes;
                continue;
            }
            const std::size_t begin = at;
            while (at < value.size()) {
                const base::CodePoint c = point_at(at);
                const std::size_t next = at + c.bytes;
                const bool within = joins(c.value) && next < value.size() && is_letter(point_at(next).value);
                if (!is_letter(c.value) && !within) break;
                at = next;
            }
            Word& word = words_.emplace_back();
            word.text = base::small_letters(value.substr(begin, at - begin));
            word.before = before;
            word.begin = static_cast<std::uint32_t>(begin);
            word.end = static_cast<std::uint32_t>(at);
            before = Before::nothing;
        }
        if (words_.empty()) return;
        to_.texts.push_back(
            {kind, &*given, {std::move_iterator(words_.begin()), std::move_iterator(words_.end())}, in_, step});
    }

    Word item(std::string_view written, const linked::Step* step) const {
        Word word;
        word.item = true;
        word.text = written;
        if (step == nullptr) return word;
        for (const linked::Mention& mention : step->mentions)
            if (mention.written == written && mention.item.known())
                word.text = base::small_letters(linked_.items[mention.item.index()].name);
        word.count = words_in(word.text);
        return word;
    }

    const linked::Linked& linked_;
    Wording& to_;
    std::function<void()> full_;
    linked::ProcedureId in_;
    std::vector<Word> words_; // of one text, while it is taken apart
};

bool is_english(const model::Shop* shop) {
    if (shop == nullptr || !shop->language) return true;
    const std::string tag = base::small_letters(shop->language->value);
    return tag == "en" || tag.starts_with("en-");
}

} // namespace

bool orders(const Text& text) {
    return text.kind == Kind::plain || text.kind == Kind::say;
}

source::Span part_of(const Wording& wording, const Text& text, std::size_t begin, std::size_t end) {
    source::Span span = text.source->span;
    if (!span.known()) return span;
    // Quotes, escapes and folded lines only push a part to the right.
    const std::string_view part = std::string_view(text.source->value).substr(begin, end - begin);
    const std::size_t found = wording.sources->text(span).find(part, begin);
    if (found == std::string_view::npos) return span;
    span.begin += static_cast<std::uint32_t>(found);
    span.end = span.begin + static_cast<std::uint32_t>(part.size());
    return span;
}

Wording take_apart(const linked::Linked& linked, const source::Sources& sources, messages::Messages& messages,
                   bool keeps) {
    Wording wording;
    wording.sources = &sources;
    wording.linked = &linked;
    if (!is_english(linked.shop)) return wording;
    const auto add = [&wording](const auto& things) {
        for (const auto& thing : things)
            if (thing.name.find(' ') != std::string::npos) wording.names.insert(base::small_letters(thing.name));
    };
    add(linked.items);
    add(linked.tools);
    add(linked.consumables);
    const auto judge = [&] {
        for (const Check* check : all_checks()) check->find(wording, *check, messages);
    };
    constexpr std::size_t many_texts = 4096; // each round costs a look at all names
    Taker(linked, wording, [&] {
        if (keeps || wording.texts.size() < many_texts) return;
        judge();
        wording.texts.clear();
    }).all();
    judge();
    if (!keeps) wording.texts = {};
    return wording;
}

} // namespace benchleaf::wording
