// `verify`: whether a card on paper is still the one that would be printed today, by the words of its code square or by its PDF.
#include "driver/code_words.h"
#include "driver/commands.h"
#include "driver/job_cards.h"
#include "driver/load_filled.h"
#include "driver/pipeline.h"
#include "driver/say.h"

#include "base/text.h"
#include "labels/labels.h"
#include "record/since.h"

#include <algorithm>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <map>
#include <nlohmann/json.hpp>

namespace benchleaf::driver {

namespace {

using Json = nlohmann::ordered_json;

enum class Stand : std::uint8_t { current, superseded, unknown };
std::string_view word(Stand state) {
    switch (state) {
    case Stand::current:
        return "current";
    case Stand::superseded:
        return "superseded";
    case Stand::unknown:
        return "unknown";
    }
    return {};
}

struct JudgedCode {
    Code code;
    Stand state = Stand::unknown;
    std::vector<std::string> why;
};

class Verifier {
public:
    explicit Verifier(const Files& files) : shop_(link_shop(files)) {}

    JudgedCode judge(const Code& code) {
        JudgedCode made{code, Stand::unknown, {}};
        if (shop_->messages.any_error() && shop_->linked.procedures.empty()) {
            made.why.emplace_back("the shop's files cannot be read");
            return made;
        }
        if (code.job == "-") return blank(std::move(made));
        const auto job = job_called(*shop_, code.job);
        if (!job) {
            made.why.push_back(fmt::format("the shop has no job {}", code.job));
            return made;
        }
        std::string now; // of that card, in the shop's own language
        bool wrong = false;
        for (const std::string& language : languages()) {
            const Work& work = of(*job, language);
            wrong = wrong || work.messages.any_error();
            for (const std::string& each : codes(work)) {
                if (each == code.text) {
                    made.state = Stand::current;
                    return made;
                }
                if (const auto other = read_code(each); now.empty() && other && other->procedure == code.procedure)
                    now = each;
            }
        }
        made.state = Stand::superseded;
        if (wrong)
            made.why.emplace_back("the shop's files make no cards of this job any more; `benchleaf check` says why");
        else if (now.empty())
            made.why.push_back(fmt::format("job {} has no card of {} any more", code.job, code.procedure));
        else
            tell_otherwise(code, *read_code(now), made);
        return made;
    }

private:
    // The shop's own first; a code square does not say which.
    static std::vector<std::string> languages() {
        std::vector<std::string> all{""};
        for (const labels::Labels& each : labels::languages()) all.emplace_back(each.language);
        return all;
    }

    static std::vector<std::string> codes(const Work& work) {
        std::vector<std::string> all;
        if (work.cover) all.push_back(work.cover->cover.head.code);
        for (const PagedCard& each : work.cards) all.push_back(each.card.head.code);
        return all;
    }

    static void tell_otherwise(const Code& then, const Code& now, JudgedCode& made) {
        if (then.revision != now.revision)
            made.why.push_back(fmt::format("it is revision {}, and there is revision {}", then.revision, now.revision));
        made.why.push_back(fmt::format("its foot says {}, and it would be {}", then.digest, now.digest));
    }

    const Work& of(linked::JobId job, const std::string& language) {
        auto& work = works_[{job.index(), language}];
        if (work == nullptr) {
            PrintOptions options;
            options.codes = pages::Codes::places;
            options.language = language;
            work = make_job(*shop_, job, options);
        }
        return *work;
    }

    // Of which vehicle it is, its square does not say.
    JudgedCode blank(JudgedCode made) const {
        const auto& all = shop_->linked.procedures;
        const auto procedure = std::find_if(all.begin(), all.end(), [&](const linked::Procedure& each) {
            return each.source->id.value == made.code.procedure;
        });
        if (procedure == all.end()) {
            made.why.push_back(fmt::format("the shop has no procedure {}", made.code.procedure));
            return made;
        }
        made.state = Stand::superseded;
        for (const linked::Vehicle& vehicle : shop_->linked.vehicles)
            for (const std::string& language : languages()) {
                PrintOptions options;
                options.until = Stage::card;
                options.language = language;
                const auto work = make_blank(*shop_, procedure->id, vehicle.id, options);
                for (const std::string& each : codes(*work))
                    if (each == made.code.text) {
                        made.state = Stand::current;
                        return made;
                    }
            }
        made.why.emplace_back("no vehicle of the shop gives this card now");
        return made;
    }

    std::unique_ptr<Shopful> shop_;
    std::map<std::pair<std::size_t, std::string>, std::unique_ptr<Work>> works_;
};

std::string as_text(const std::vector<JudgedCode>& all) {
    std::string to;
    for (const JudgedCode& each : all) {
        const std::string of = each.code.procedure.empty() ? "cover sheet of " + each.code.job
                               : each.code.job == "-"      ? each.code.procedure + ", blank"
                                                           : each.code.job + " " + each.code.procedure;
        to += fmt::format("{}: {}, {}\n", of, each.code.digest, word(each.state));
        for (const std::string& why : each.why) to += fmt::format("  {}\n", why);
    }
    return to;
}

std::string as_json(const std::vector<JudgedCode>& all) {
    Json list = Json::array();
    for (const JudgedCode& each : all) {
        Json one = {{"code", each.code.text}, {"job", each.code.job}};
        if (!each.code.procedure.empty()) one["procedure"] = each.code.procedure;
        one["state"] = word(each.state);
        one["why"] = each.why;
        list.push_back(std::move(one));
    }
    return list.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace

int verify(const VerifyArguments& arguments, const Global& global, Terminal& terminal) {
    std::vector<Code> codes;
    std::optional<Pdf> pdf;
    if (auto code = read_code(arguments.what)) {
        codes.push_back(std::move(*code));
    } else {
        std::ifstream file(arguments.what, std::ios::binary);
        const std::string bytes{std::istreambuf_iterator<char>(file), {}};
        if (!is_pdf(bytes))
            return usage_error(terminal, fmt::format("`{}` is neither a PDF nor the words of a code square, such as "
                                                     "\"BENCHLEAF 2026-0412 front-disc-service 3 1b2c3d4e5f607182\"",
                                                     arguments.what));
        const auto reader = load_filled();
        if (!reader) return machine_error(terminal, reader.failure());
        auto read = read_pdf(*reader.value(), filled::Form::may_be_missing, arguments.what, bytes);
        if (!read) {
            terminal.say(fmt::format("benchleaf: {}\n", read.failure().what));
            return input_has_errors;
        }
        pdf = std::move(read.value());
        for (const std::string_view part : base::split(pdf->filled.keywords, ';'))
            if (auto found = read_code(base::trimmed(part))) codes.push_back(std::move(*found));
        if (codes.empty()) {
            terminal.say(fmt::format("benchleaf: {} does not say which cards it holds\n", arguments.what));
            return input_has_errors;
        }
    }
    int status = clean;
    auto shop = open_shop(global, "", terminal, status);
    if (!shop) return status;
    Verifier verifier(shop->files);
    std::vector<JudgedCode> all;
    for (const Code& code : codes) all.push_back(verifier.judge(code));
    // A PDF carries what it was made of, so that it can be said what has changed since.
    const bool any =
        std::any_of(all.begin(), all.end(), [](const JudgedCode& each) { return each.state == Stand::superseded; });
    if (pdf && any && codes.front().job != "-") {
        const std::string language = labels::find(pdf->filled.language) == nullptr ? "" : pdf->filled.language;
        auto then = make_printed({*pdf}, codes.front().job, global, terminal, status);
        const auto now = make_cards(std::move(shop->files), codes.front().job, language);
        if (then && now->work != nullptr && !now->sheet.cards.empty()) {
            const auto changed = record::changed_since(then->made->sheet, now->sheet);
            for (JudgedCode& each : all)
                for (std::size_t i = 0; i < changed.size(); ++i)
                    if (then->made->sheet.cards[i]->head.code == each.code.text)
                        each.why.insert(each.why.end(), changed[i].begin(), changed[i].end());
        }
    }
    terminal.result(arguments.json ? as_json(all) : as_text(all));
    const bool good =
        std::all_of(all.begin(), all.end(), [](const JudgedCode& each) { return each.state == Stand::current; });
    return good ? clean : input_has_errors;
}

} // namespace benchleaf::driver
