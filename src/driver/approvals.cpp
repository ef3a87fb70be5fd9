#include "driver/approvals.h"

#include "driver/meanings.h"
#include "driver/reports.h"
#include "driver/run_program.h"

#include "labels/labels.h"
#include "model/date.h"
#include "pages/lay_out.h"
#include "record/judge.h"

#include <algorithm>
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/mman.h>
#include <unistd.h>

namespace benchleaf::driver {

namespace {

constexpr std::string_view purpose = "benchleaf-approval"; // the namespace of ssh-keygen -Y

template <class T>
T given(const model::Given<T>& from) {
    return from ? from->value : T{};
}

std::string procedure_of(const model::Approval& approval) {
    return approval.procedure ? approval.procedure->value.name : std::string();
}

// A text as a file that has a path while this lasts, and no name on any disk.
class Passing {
public:
    explicit Passing(std::string_view text) : file_(::memfd_create("benchleaf", MFD_CLOEXEC)) {
        while (file_ >= 0 && !text.empty()) {
            const ssize_t n = ::write(file_, text.data(), text.size());
            if (n <= 0) break;
            text.remove_prefix(static_cast<std::size_t>(n));
        }
    }
    Passing(const Passing&) = delete;
    Passing& operator=(const Passing&) = delete;
    ~Passing() {
        if (file_ >= 0) ::close(file_);
    }
    std::string path() const { return fmt::format("/proc/{}/fd/{}", ::getpid(), file_); }

private:
    int file_;
};

// Nothing when its signature is good.
std::optional<std::string> unsigned_why(const Shopful& shop, const model::Approval& approval) {
    if (!shop.allowed_signers) return std::nullopt;
    if (!approval.signature) return "it is not signed, and the shop has a file of allowed signers";
    const Passing signers(*shop.allowed_signers);
    const Passing signature(approval.signature->value);
    const auto ran = run_program({"ssh-keygen", "-Y", "verify", "-f", signers.path(), "-I", given(approval.by), "-n",
                                  std::string(purpose), "-s", signature.path()},
                                 signed_text(approval));
    if (!ran) return ran.failure().what;
    if (ran.value().status != 0)
        return fmt::format("its signature is not one of {}'s by approvals/allowed-signers", given(approval.by));
    return std::nullopt;
}

// In the shop's own folder, under its name, and without an error: of one that is wrong in one thing nobody knows whether the rest is right.
bool stands_where_it_has_to(const Shopful& shop, const model::Approval& approval) {
    const source::FileId file = approval.id.span.file;
    if (shop.sources.file(file).path != fmt::format("approvals/{}.yaml", approval.id.value)) return false;
    if (procedure_approved_by(approval.id.value) != procedure_of(approval)) return false;
    const auto& all = shop.messages.all();
    return std::none_of(all.begin(), all.end(), [&](const messages::Message& message) {
        return message.rule->level == messages::Level::error && !message.labels.empty() &&
               message.labels.front().span.known() && message.labels.front().span.file == file;
    });
}

// A line does not break within a digest.
std::string words_together(std::string text) {
    for (std::size_t at = text.find(' '); at != std::string::npos; at = text.find(' ', at))
        text.replace(at, 1, "\u00A0");
    return text;
}

bool earlier_than(const model::Approval* a, const model::Approval* b) {
    if (a == nullptr || b == nullptr) return a == nullptr && b != nullptr;
    return given(a->date) < given(b->date);
}

} // namespace

std::string_view procedure_approved_by(std::string_view name) {
    constexpr std::size_t figures = 16;
    const std::string_view before = name.substr(0, std::min(name.rfind('-'), name.size()));
    if (before.size() == name.size() || before.size() <= figures + 1) return {};
    const std::string_view digest = before.substr(before.size() - figures);
    if (digest.find_first_not_of("0123456789abcdef") != std::string_view::npos) return {};
    const std::string_view procedure = before.substr(0, before.size() - figures);
    return procedure.ends_with('-') ? procedure.substr(0, procedure.size() - 1) : std::string_view();
}

std::optional<std::string> may_not_approve(const Shopful& shop, const std::string& by) {
    const std::string who = record::bare_initials(by);
    if (who.empty()) return fmt::format("`{}` are no initials: one to four letters", by);
    if (shop.linked.shop == nullptr || !shop.linked.shop->signs) return std::nullopt;
    const auto& may = shop.linked.shop->signs->value;
    if (std::any_of(may.begin(), may.end(), [&](const auto& each) { return record::bare_initials(each.value) == who; }))
        return std::nullopt;
    return fmt::format("{} may not sign in this shop: `signs` of shop.yaml", by);
}

std::optional<std::string> does_not_count(const Shopful& shop, const model::Approval& approval) {
    if (auto why = may_not_approve(shop, given(approval.by))) return why;
    return unsigned_why(shop, approval);
}

std::string signed_text(const model::Approval& approval) {
    return fmt::format("benchleaf approval\nprocedure: {}\nrevision: {}\ndigest: {}\nby: {}\ndate: {}\n",
                       procedure_of(approval), given(approval.revision), given(approval.digest), given(approval.by),
                       approval.date ? model::print(approval.date->value) : std::string());
}

base::Result<std::string> sign(const model::Approval& approval, const std::string& key_file) {
    auto ran = run_program({"ssh-keygen", "-Y", "sign", "-q", "-f", key_file, "-n", std::string(purpose)},
                           signed_text(approval));
    if (!ran) return ran.failure();
    if (ran.value().status != 0)
        return base::Failure{
            fmt::format("ssh-keygen signed nothing: {}", ran.value().err.substr(0, ran.value().err.find('\n')))};
    return std::move(ran.value().out);
}

std::vector<Approved> approved(const Shopful& shop, const std::vector<linked::ProcedureId>& procedures) {
    const meaning::Meaning meaning = meaning_of(shop, procedures);
    const auto is_whole = [&shop](const model::Approval& approval) { return stands_where_it_has_to(shop, approval); };
    std::vector<Approved> all;
    for (const linked::ProcedureId id : procedures) {
        const std::string& name = shop.linked.procedures[id.index()].source->id.value;
        Approved made;
        made.procedure = id;
        made.to_be_signed = shop.allowed_signers.has_value();
        made.digest = procedure_digest(meaning, meaning.find(meaning::Kind::procedure, name));
        for (const model::Approval& approval : shop.model.approvals) {
            if (procedure_of(approval) != name || !is_whole(approval)) continue;
            if (given(approval.digest) != made.digest) {
                if (earlier_than(made.earlier, &approval)) made.earlier = &approval;
                continue;
            }
            if (const auto why = does_not_count(shop, approval)) {
                made.refused = &approval;
                made.why = *why;
            } else if (earlier_than(made.by, &approval)) {
                made.by = &approval;
            }
        }
        all.push_back(std::move(made));
    }
    return all;
}

void mark_not_approved(const Shopful& shop, const PrintOptions& options, Work& work) {
    const fitted::Fit& fit = work.fitted.fits.front();
    std::vector<linked::ProcedureId> procedures;
    for (const fitted::ProcedureIndex index : fit.sequence) procedures.push_back(fit.procedures[index.index()].id);
    const std::vector<Approved> all = approved(shop, procedures);
    const labels::Labels& words = labels_of(shop, options);
    const std::string across(words.text(labels::Key::not_approved));
    std::vector<std::string> titles;
    for (std::size_t i = 0; i < work.cards.size() && i < all.size(); ++i) {
        if (all[i].by != nullptr) continue;
        card::Head& head = work.cards[i].card.head;
        head.not_approved = across;
        head.not_approved_why =
            labels::fill(words, labels::Key::not_approved_why, {words_together(in_groups(all[i].digest))});
        titles.push_back(head.title);
        pages::put_across(work.cards[i].pages, across);
    }
    if (titles.empty() || !work.cover) return;
    work.cover->cover.head.not_approved = across;
    work.cover->cover.head.not_approved_why =
        labels::fill(words, labels::Key::not_approved_why, {labels::join(words, titles)});
    pages::put_across(work.cover->pages, across);
}

void tell_not_approved(const Shopful& shop, messages::Messages& out) {
    std::vector<linked::ProcedureId> procedures;
    for (const linked::Procedure& each : shop.linked.procedures) procedures.push_back(each.id);
    for (const Approved& each : approved(shop, procedures)) {
        if (each.by != nullptr) continue;
        report_not_approved(out, shop.linked.procedures[each.procedure.index()].source->id, each);
    }
}

} // namespace benchleaf::driver
