// `approve`: who has checked a procedure as it stands, and when.
#include "driver/approvals.h"
#include "driver/commands.h"
#include "driver/land_files.h"
#include "driver/meanings.h"
#include "driver/pipeline.h"
#include "driver/say.h"

#include "base/text.h"
#include "digest/digest.h"
#include "model/date.h"
#include "model/dump.h"
#include "record/judge.h"

#include <algorithm>
#include <chrono>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace benchleaf::driver {

namespace {

using Json = nlohmann::ordered_json;

std::string said_by(const model::Approval* approval) {
    if (approval == nullptr) return {};
    return fmt::format("{} {}", approval->by ? approval->by->value : "somebody",
                       approval->date ? model::print(approval->date->value) : std::string());
}

struct Row {
    std::string state, name, digest, about;
};

Row row_of(const Shopful& shop, const Approved& each) {
    Row row;
    row.name = shop.linked.procedures[each.procedure.index()].source->id.value;
    row.digest = each.digest;
    row.state = each.by != nullptr ? "approved" : "not approved";
    if (each.by != nullptr)
        row.about = said_by(each.by);
    else if (each.refused != nullptr)
        row.about = said_by(each.refused) + " does not count: " + each.why;
    else if (each.earlier != nullptr)
        row.about = "another state was: " + said_by(each.earlier);
    return row;
}

std::string how_they_stand(const Shopful& shop, const std::vector<Approved>& all, bool as_json) {
    std::vector<Row> rows;
    std::size_t state = 0, name = 0;
    for (const Approved& each : all) {
        rows.push_back(row_of(shop, each));
        state = std::max(state, rows.back().state.size());
        name = std::max(name, rows.back().name.size());
    }
    std::string to;
    Json list = Json::array();
    for (const Row& row : rows) {
        list.push_back({{"procedure", row.name}, {"digest", row.digest}, {"state", row.state}, {"about", row.about}});
        to += fmt::format("{:<{}}  {:<{}}  {}  {}", row.state, state, row.name, name, in_groups(row.digest), row.about);
        while (to.ends_with(' ')) to.pop_back();
        to += '\n';
    }
    return as_json ? list.dump(2, ' ', false, Json::error_handler_t::replace) + "\n" : to;
}

// "front-disc-service-c79cdbd6207d76a9-ab"; initials that are no Latin letters by their digest.
std::string id_of(const std::string& procedure, const std::string& digest, const std::string& by) {
    constexpr std::size_t shown = 16;
    std::string who = base::small_letters(record::bare_initials(by));
    if (!base::is_kebab_case(who)) who = digest::sha256_hex(who).substr(0, 8);
    return fmt::format("{}-{}-{}", procedure, digest.substr(0, shown), who);
}

class Approver {
public:
    Approver(const ApproveArguments& arguments, const Shop& read, const Shopful& shop, Terminal& terminal)
        : arguments_(arguments), read_(read), shop_(shop), terminal_(terminal) {}

    // Nothing is written unless all of them can be.
    int run(const std::vector<Approved>& all, const Global& global) {
        std::vector<Coming> outputs;
        std::string done;
        for (const Approved& each : all) {
            const model::Procedure& procedure = *shop_.linked.procedures[each.procedure.index()].source;
            const Concerns concerns = concerns_of(shop_, {procedure.id.span.file});
            const messages::Messages wrong = messages_about(shop_.messages, concerns);
            if (wrong.any_error()) {
                say_messages(terminal_, global, wrong, shop_.sources);
                terminal_.say(fmt::format("benchleaf: {} is not approved: {}\n", procedure.id.value, verdict(wrong)));
                return input_has_errors;
            }
            if (each.by != nullptr && same_person(*each.by) && arguments_.note.empty() && arguments_.key.empty()) {
                done += fmt::format("{} is approved already: {}\n", procedure.id.value, said_by(each.by));
                continue;
            }
            auto made = approval_of(procedure, each.digest);
            if (!made) return machine_error(terminal_, made.failure());
            if (const auto why = does_not_count(shop_, made.value())) {
                terminal_.say(fmt::format("benchleaf: {} is not approved: {}; `--sign` takes the file of {}'s key\n",
                                          procedure.id.value, *why, arguments_.by));
                return input_has_errors;
            }
            const std::string below = fmt::format("approvals/{}.yaml", made.value().id.value);
            const auto before = read_.files.find(below);
            Coming output{fmt::format("{}/{}", read_.root, below), model::print(made.value()), std::nullopt};
            if (before != read_.files.end()) output.before = before->second;
            done += fmt::format("{}  {}  {}\n", output.path, procedure.id.value, in_groups(each.digest));
            outputs.push_back(std::move(output));
        }
        if (auto made = land_at(read_.root, outputs); !made) return machine_error(terminal_, made.failure());
        terminal_.result(done);
        return clean;
    }

private:
    bool same_person(const model::Approval& approval) const {
        return approval.by && record::bare_initials(approval.by->value) == record::bare_initials(arguments_.by);
    }

    // What he has said of this state already stays, but for what he says now.
    base::Result<model::Approval> approval_of(const model::Procedure& procedure, const std::string& digest) const {
        model::Approval approval;
        approval.id.value = id_of(procedure.id.value, digest, arguments_.by);
        for (const model::Approval& each : shop_.model.approvals)
            if (each.id.value == approval.id.value) approval = each;
        approval.procedure.emplace({procedure.id.value, {}}, {});
        approval.revision.emplace(procedure.revision ? procedure.revision->value : 1, {});
        approval.digest.emplace(digest, {});
        approval.by.emplace(arguments_.by, {});
        approval.date.emplace(std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now()), {});
        if (!arguments_.note.empty()) approval.note.emplace(arguments_.note, {});
        if (!arguments_.key.empty()) {
            auto signature = sign(approval, arguments_.key);
            if (!signature) return signature.failure();
            approval.signature.emplace(std::move(signature.value()), {});
        }
        return approval;
    }

    const ApproveArguments& arguments_;
    const Shop& read_;
    const Shopful& shop_;
    Terminal& terminal_;
};

} // namespace

int approve(const ApproveArguments& arguments, const Global& global, Terminal& terminal) {
    int status = clean;
    const auto read = open_shop(global, "", terminal, status);
    if (!read) return status;
    const bool asks = arguments.by.empty();
    if (asks && (arguments.all || !arguments.procedures.empty()))
        return usage_error(terminal, "`--by` has to say who checked it");
    if (!asks && !arguments.all && arguments.procedures.empty())
        return usage_error(terminal, "name the procedures that were checked, or say `--all`");
    const auto shop = asks ? link_shop(read->files) : check_shop(read->files, {});
    std::vector<linked::ProcedureId> wanted;
    for (const linked::Procedure& each : shop->linked.procedures)
        if (arguments.procedures.empty() || std::find(arguments.procedures.begin(), arguments.procedures.end(),
                                                      each.source->id.value) != arguments.procedures.end())
            wanted.push_back(each.id);
    for (const std::string& name : arguments.procedures) {
        std::vector<std::string_view> known;
        for (const linked::Procedure& each : shop->linked.procedures) known.push_back(each.source->id.value);
        if (std::find(known.begin(), known.end(), name) == known.end())
            return usage_error(terminal, no_such("procedure", name, known));
    }
    if (!asks)
        if (const auto why = may_not_approve(*shop, arguments.by)) return usage_error(terminal, *why);
    std::vector<Approved> all = approved(*shop, wanted);
    if (asks) {
        if (shop->messages.any_error()) say_messages(terminal, global, shop->messages, shop->sources);
        terminal.result(how_they_stand(*shop, all, arguments.json));
        return shop->messages.any_error() ? input_has_errors : clean;
    }
    if (arguments.all) std::erase_if(all, [](const Approved& each) { return each.by != nullptr; });
    return Approver(arguments, *read, *shop, terminal).run(all, global);
}

} // namespace benchleaf::driver
