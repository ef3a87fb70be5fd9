// Who has checked a procedure as it stands: the file that is written, what it holds for, who may, signatures made and verified by ssh-keygen, and the pages of a
// card that nobody approved.
#include "gates/program.h"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace fs = std::filesystem;
using namespace benchleaf::gates;
using Json = nlohmann::json;

namespace {

const std::string demo = std::string(BENCHLEAF_SOURCE_DIR) + "/procedures";

bool has(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

std::string shop_in(const std::string& folder) {
    fs::copy(demo, folder + "/shop", fs::copy_options::recursive);
    fs::remove_all(folder + "/shop/approvals");
    return folder + "/shop";
}

void change(const std::string& path, const std::string& from, const std::string& to) {
    std::string text = read(path);
    REQUIRE_MESSAGE(has(text, from), from);
    text.replace(text.find(from), from.size(), to);
    write(path, text);
}

Json state_of(const std::string& shop, const std::string& procedure) {
    for (const Json& each : Json::parse(run({"--shop", shop, "approve", "--json"}).out))
        if (each["procedure"] == procedure) return each;
    return {};
}

std::size_t count_of(const std::string& text, const std::string& words) {
    std::size_t count = 0;
    for (std::size_t at = text.find(words); at != std::string::npos; at = text.find(words, at + words.size())) ++count;
    return count;
}

std::string key_in(const std::string& at, const std::string& name) {
    REQUIRE(run("/usr/bin/ssh-keygen", {"-q", "-t", "ed25519", "-N", "", "-C", name, "-f", at + "/" + name}).status ==
            0);
    return at + "/" + name;
}

} // namespace

TEST_CASE("the demo shop is approved as it stands") {
    const Ran ran = run({"--shop", demo, "check", "--approved"});
    CHECK_MESSAGE(ran.status == 0,
                  (ran.err + "after a change in procedures/: benchleaf approve --shop procedures --all --by AB"));
}

TEST_CASE("an approval is a file of its own, holds until a figure changes, and stands again when it is changed back") {
    const std::string at = scratch("approve");
    const std::string shop = shop_in(at);
    CHECK(state_of(shop, "front-disc-service")["state"] == "not approved");
    Ran ran = run({"--shop", shop, "approve", "front-disc-service", "front-wheels-on", "--by", "AB", "--note",
                   "Read: \"all\" of it."});
    CHECK(ran.status == 0);
    const std::string digest = state_of(shop, "front-disc-service")["digest"];
    const std::string path = fmt::format("{}/approvals/front-disc-service-{}-ab.yaml", shop, digest.substr(0, 16));
    CHECK(has(ran.out, path));
    CHECK(has(read(path), "digest: " + digest + "\n"));
    CHECK(state_of(shop, "front-disc-service")["state"] == "approved");
    CHECK(state_of(shop, "brake-road-test")["state"] == "not approved");
    CHECK(run({"--shop", shop, "check"}).status == 0);
    // Once more by the same, and by another: a second file, whoever comes first in git.
    CHECK(has(run({"--shop", shop, "approve", "front-disc-service", "--by", "a.b."}).out, "is approved already: AB"));
    CHECK(run({"--shop", shop, "approve", "front-disc-service", "--by", "CD"}).status == 0);
    CHECK(std::distance(fs::directory_iterator(shop + "/approvals"), fs::directory_iterator()) == 3);

    change(shop + "/catalogue/disc-brake.yaml", "value: 22 N·m", "value: 24 N·m");
    const Json fallen = state_of(shop, "front-disc-service");
    CHECK(fallen["state"] == "not approved");
    CHECK(has(fallen["about"], "another state was: "));
    CHECK(state_of(shop, "front-wheels-on")["state"] == "approved");
    change(shop + "/catalogue/disc-brake.yaml", "value: 24 N·m", "value: 22 N·m");
    CHECK(state_of(shop, "front-disc-service")["state"] == "approved");

    // All that is left, and then none is.
    CHECK(run({"--shop", shop, "approve", "--all", "--by", "EF"}).status == 0);
    CHECK(run({"--shop", shop, "check", "--approved"}).status == 0);
    CHECK(run({"--shop", shop, "approve", "--all", "--by", "EF"}).out.empty());
}

TEST_CASE("what is not approved says so across each of its pages, and prints no other card") {
    const std::string at = scratch("approve-print");
    const std::string shop = shop_in(at);
    REQUIRE(run({"--shop", shop, "approve", "front-disc-service", "--by", "AB"}).status == 0);
    REQUIRE(run({"--shop", shop, "print", "2026-0412", "--split", "--out", at}).status == 0);
    REQUIRE(run({"--shop", demo, "print", "2026-0412", "--split", "--out", at + "/demo"}).status == 0);
    const auto text_of = [&](const std::string& pdf) {
        const Ran ran = run("/usr/bin/pdftotext", {"-layout", pdf, "-"});
        REQUIRE(ran.status == 0);
        return ran.out;
    };
    for (const std::string card : {"2026-0412-0-cover", "2026-0412-1-front-wheels-off",
                                   "2026-0412-2-front-disc-service", "2026-0412-3-front-wheels-on"}) {
        CAPTURE(card);
        const std::string text = text_of(at + "/" + card + ".pdf");
        const auto pages = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\f'));
        const bool approved = card == "2026-0412-2-front-disc-service";
        CHECK(pages > 0);
        CHECK(count_of(text, "NOT APPROVED") == (approved ? 0 : 3 * pages));
        CHECK_FALSE(has(text_of(at + "/demo/" + card + ".pdf"), "NOT APPROVED"));
    }
    // It is the same card: the digest is that of the work.
    const Json mine = Json::parse(run({"--shop", shop, "print", "2026-0412", "--as", "json"}).out);
    const Json approved = Json::parse(run({"--shop", demo, "print", "2026-0412", "--as", "json"}).out);
    for (std::size_t i = 0; i < 4; ++i)
        CHECK(mine[0]["cards"][i]["head"]["digest"] == approved[0]["cards"][i]["head"]["digest"]);
    CHECK(mine[0]["cards"][0]["head"].contains("not-approved"));
    CHECK_FALSE(mine[0]["cards"][1]["head"].contains("not-approved"));
    CHECK_FALSE(approved[0]["cards"][0]["head"].contains("not-approved"));
    // Every language has its words.
    for (const std::string language : {"de", "el", "es", "fr", "pl"}) {
        const Ran ran = run({"--shop", shop, "print", "2026-0412", "--as", "text", "--language", language});
        CHECK(ran.status == 0);
        CHECK_FALSE(has(ran.out, "NOT APPROVED"));
    }
}

TEST_CASE("who may not, and what does not close, approves nothing") {
    const std::string at = scratch("approve-refused");
    const std::string shop = shop_in(at);
    for (const auto& wrong :
         {std::pair<std::vector<std::string>, std::string>{{"front-disc-service"}, "`--by` has to say who"},
          {{"--by", "AB"}, "name the procedures"},
          {{"front-disc-service", "--by", "XY"}, "XY may not sign in this shop"},
          {{"front-disc-service", "--by", "yes"}, "are no initials"},
          {{"front-disk-service", "--by", "AB"}, "did you mean `front-disc-service`"}}) {
        std::vector<std::string> all = {"--shop", shop, "approve"};
        all.insert(all.end(), wrong.first.begin(), wrong.first.end());
        const Ran ran = run(all);
        CHECK(ran.status == 2);
        CHECK_MESSAGE(has(ran.err, wrong.second), ran.err);
    }
    change(shop + "/brakes/front-disc-service.yaml", "  - torque: lower-guide-bolt", "  - snug: lower-guide-bolt");
    const Ran ran = run({"--shop", shop, "approve", "front-disc-service", "front-wheels-on", "--by", "AB"});
    CHECK(ran.status == 1);
    CHECK(has(ran.err, "front-disc-service is not approved: "));
    CHECK_FALSE(fs::exists(shop + "/approvals"));
    // By hand, for somebody who may not.
    REQUIRE(run({"--shop", shop, "approve", "front-wheels-on", "--by", "AB"}).status == 0);
    const std::string path = fs::directory_iterator(shop + "/approvals")->path();
    change(path, "by: AB", "by: XY");
    CHECK(state_of(shop, "front-wheels-on")["state"] == "not approved");
    CHECK(has(run({"--shop", shop, "check", "--approved"}).err, "this one does not count: XY may not sign"));
}

TEST_CASE("a file that is wrong in anything approves nothing") {
    const std::string at = scratch("approve-wrong");
    const std::string shop = shop_in(at);
    REQUIRE(run({"--shop", shop, "approve", "tyre-check", "--by", "AB"}).status == 0);
    const std::string path = fs::directory_iterator(shop + "/approvals")->path();
    const std::string good = read(path);
    const std::string name = fs::path(path).filename();
    CHECK(state_of(shop, "tyre-check")["state"] == "approved");
    for (const auto& wrong : {std::pair<std::string, std::string>{"date: ", "#date: "},
                              {"date: 20", "date: 2026-02-31 # "},
                              {"by: AB", "by: AB\nunknown: 00"},
                              {"by: AB", "by: AB\nby: CD"},
                              {"approval: ", "approval: x"}}) {
        const std::string& to = wrong.second;
        change(path, wrong.first, to);
        CAPTURE(to);
        CHECK(state_of(shop, "tyre-check")["state"] == "not approved");
        write(path, good);
    }
    // Elsewhere, it is somebody else's: a folder that other shops share has its own.
    for (const std::string folder : {"/records/y/", "/wheels/approvals/", "/approvals/more/"}) {
        CAPTURE(folder);
        write(shop + folder + name, good);
        fs::remove(path);
        CHECK(state_of(shop, "tyre-check")["state"] == "not approved");
        fs::remove_all(shop + folder);
        write(path, good);
    }
    CHECK(state_of(shop, "tyre-check")["state"] == "approved");
    // A folder in the place of the signers is none.
    fs::create_directories(shop + "/approvals/allowed-signers");
    CHECK(run({"--shop", shop, "check", "--approved"}).status == 3);
    CHECK(run({"--shop", shop, "print", "2026-0412", "--out", at}).status == 3);
}

TEST_CASE("with a file of allowed signers only what is signed by one of them counts") {
    const std::string at = scratch("approve signed"); // with a blank
    const std::string shop = shop_in(at);
    const std::string ab = key_in(at, "ab-key");
    const std::string cd = key_in(at, "cd-key");
    REQUIRE(run({"--shop", shop, "approve", "front-disc-service", "--by", "AB", "--sign", ab}).status == 0);
    REQUIRE(run({"--shop", shop, "approve", "front-wheels-on", "--by", "AB"}).status == 0);
    REQUIRE(run({"--shop", shop, "approve", "brake-road-test", "--by", "AB", "--sign", cd}).status == 0); // not his key
    CHECK(state_of(shop, "front-wheels-on")["state"] == "approved"); // so far nobody asks for a signature
    write(shop + "/approvals/allowed-signers", "AB " + read(ab + ".pub") + "CD " + read(cd + ".pub"));
    CHECK(state_of(shop, "front-disc-service")["state"] == "approved");
    CHECK(has(state_of(shop, "front-wheels-on")["about"], "it is not signed"));
    CHECK(has(state_of(shop, "brake-road-test")["about"], "its signature is not one of AB's"));
    CHECK(run({"--shop", shop, "check"}).status == 0); // that file is none of the shop's YAML
    // A word changed in it, and the signature is not of it any more; its note is nobody's business.
    for (const auto& entry : fs::directory_iterator(shop + "/approvals"))
        if (has(entry.path().filename(), "front-disc-service")) change(entry.path(), "revision: 3", "revision: 4");
    CHECK(state_of(shop, "front-disc-service")["state"] == "not approved");
    for (const auto& entry : fs::directory_iterator(shop + "/approvals"))
        if (has(entry.path().filename(), "front-disc-service"))
            change(entry.path(), "revision: 4", "note: Read.\nrevision: 3");
    CHECK(state_of(shop, "front-disc-service")["state"] == "approved");
    // What would not count is not written, and what is there stays.
    for (const bool signs : {false, true}) {
        std::vector<std::string> arguments = {"--shop", shop, "approve", "tyre-check", "--by", "AB"};
        if (signs) arguments.insert(arguments.end(), {"--sign", cd});
        const Ran ran = run(arguments);
        CHECK(ran.status == 1);
        CHECK(has(ran.err, "tyre-check is not approved: "));
        CHECK(state_of(shop, "tyre-check")["about"] == "");
    }
    // Who has approved it without can sign it now; his note stays.
    CHECK(run({"--shop", shop, "approve", "front-wheels-on", "--by", "AB", "--note", "Once more.", "--sign", ab})
              .status == 0);
    CHECK(run({"--shop", shop, "approve", "front-wheels-on", "--by", "AB", "--sign", ab}).status == 0);
    CHECK(state_of(shop, "front-wheels-on")["state"] == "approved");
    for (const auto& entry : fs::directory_iterator(shop + "/approvals"))
        if (has(entry.path().filename(), "front-wheels-on")) CHECK(has(read(entry.path()), "note: Once more."));
    // A key that is not there.
    CHECK(run({"--shop", shop, "approve", "front-wheels-off", "--by", "AB", "--sign", at + "/none"}).status == 3);
}
