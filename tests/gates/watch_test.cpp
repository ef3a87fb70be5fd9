// `check --watch` as it runs beside an editor: the real program in a shop whose files are written, renamed over, made and taken away. Each
// wait is for what the program says, and ends after a while; nothing is slept through.
#include "driver/watch.h"
#include "gates/program.h"

#include <array>
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <poll.h>
#include <utility>

namespace fs = std::filesystem;
using namespace benchleaf;
using namespace benchleaf::gates;

namespace {

constexpr double patience = 20; // seconds; a sanitized build on a busy machine

// The program with its two streams open. What is not ended by a test is killed.
class Watching {
public:
    Watching(std::vector<std::string> words, const std::string& folder) {
        int out[2], err[2];
        if (pipe(out) != 0 || pipe(err) != 0) std::abort();
        words.insert(words.begin(), {program(), "check", "--watch"});
        std::vector<char*> argv;
        for (std::string& word : words) argv.push_back(word.data());
        argv.push_back(nullptr);
        child_ = fork();
        if (child_ == 0) {
            if (chdir(folder.c_str()) != 0) _exit(126);
            dup2(out[1], 1);
            dup2(err[1], 2);
            for (const int end : {out[0], out[1], err[0], err[1]}) close(end);
            alarm(120);
            execv(argv[0], argv.data());
            _exit(127);
        }
        close(out[1]);
        close(err[1]);
        ends_ = {out[0], err[0]};
    }
    Watching(const Watching&) = delete;
    Watching& operator=(const Watching&) = delete;
    ~Watching() {
        if (child_ > 0) end(SIGKILL);
        for (const int each : ends_) close(each);
    }

    // Reads on until standard output has said this (after all that was waited for before); what stood before it on both streams.
    struct Said {
        bool in_time = false;
        std::string out, err;
    };
    Said until(const std::string& what) {
        const auto start = std::chrono::steady_clock::now();
        for (;;) {
            if (const auto at = out_.find(what); at != std::string::npos) {
                // The messages of a check are written before its summary.
                while (take(0)) {
                }
                const auto line_end = out_.find('\n', at);
                const auto till = line_end == std::string::npos ? out_.size() : line_end + 1;
                Said said{true, out_.substr(0, till), std::exchange(err_, {})};
                out_.erase(0, till);
                return said;
            }
            if (std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count() > patience)
                return {false, out_, err_};
            (void)take(100);
        }
    }

    bool until_error(const std::string& what) { // it is not taken away
        const auto start = std::chrono::steady_clock::now();
        while (err_.find(what) == std::string::npos) {
            if (std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count() > patience)
                return false;
            (void)take(100);
        }
        return true;
    }

    int end(int signal) { // its exit status, as Ran::status
        kill(child_, signal);
        int status = 0;
        while (waitpid(child_, &status, 0) < 0 && errno == EINTR) {
        }
        child_ = -1;
        return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    }

private:
    bool take(int milliseconds) {
        pollfd ready[2] = {{ends_[0], POLLIN, 0}, {ends_[1], POLLIN, 0}};
        if (poll(ready, 2, milliseconds) <= 0) return false;
        bool any = false;
        for (int i = 0; i < 2; ++i) {
            char piece[4096];
            if ((ready[i].revents & POLLIN) == 0) continue;
            const ssize_t n = ::read(ends_[static_cast<std::size_t>(i)], piece, sizeof piece);
            if (n > 0) (i == 0 ? out_ : err_).append(piece, static_cast<std::size_t>(n));
            any = any || n > 0;
        }
        return any;
    }

    pid_t child_ = -1;
    std::array<int, 2> ends_{};
    std::string out_, err_;
};

const std::string shop_yaml = "shop: yard\nname: Yard\n";
const std::string lid = "procedure: lid\ntitle: The lid\nrevision: 1\nsteps: [ Wipe the lid. ]\n";

std::string lid_shop(const std::string& name) {
    const std::string folder = scratch(name);
    write(folder + "/shop.yaml", shop_yaml);
    write(folder + "/general/lid.yaml", lid);
    return folder;
}

// As many editors save: beside it, and then in its place.
void save_as_new(const std::string& path, const std::string& text) {
    write(path + "~new", text);
    fs::rename(path + "~new", path);
}

} // namespace

TEST_CASE("every way in which a file changes leads to a check that names it") {
    const std::string shop = lid_shop("watch a shop with blanks");
    Watching watching({}, shop);
    auto said = watching.until("watching .; Ctrl-C ends it");
    CHECK(said.in_time);
    CHECK(said.out.starts_with("2 files, 1 procedure, 1 step, no jobs: no errors, no warnings\n"));
    CHECK(said.err.empty());
    // The line above a check: the time, and what changed.
    const auto heads = [](const std::string& out, const std::string& what) {
        const auto line = out.substr(0, out.find('\n'));
        return line.size() > 9 && line[2] == ':' && line[5] == ':' && line.substr(9) == what;
    };

    write(shop + "/general/lid.yaml", "procedure: lid\ntitel: The lid\nrevision: 1\nsteps: [ Wipe the lid. ]\n");
    said = watching.until("1 error");
    CHECK_MESSAGE(heads(said.out, "general/lid.yaml changed"), said.out);
    CHECK(said.err.find("[unknown-key]") != std::string::npos);

    save_as_new(shop + "/general/lid.yaml", lid);
    said = watching.until("no errors");
    CHECK_MESSAGE(heads(said.out, "general/lid.yaml changed"), said.out);
    CHECK(said.err.empty());

    // A folder with a file in it, made in one go, so that nothing can listen to it in between.
    write(scratch("watch-made") + "/brakes/pads/look.yaml",
          "procedure: look\ntitle: Look\nrevision: 1\nsteps: [ Look. ]\n");
    fs::rename(std::string(BENCHLEAF_BINARY_DIR) + "/scratch/watch-made/brakes", shop + "/brakes");
    said = watching.until("no errors");
    CHECK_MESSAGE(heads(said.out, "brakes/pads/look.yaml is new"), said.out);
    CHECK(said.out.find("3 files, 2 procedures") != std::string::npos);
    // And a file in there is heard as the others are.
    save_as_new(shop + "/brakes/pads/look.yaml", "procedure: look\ntitle: Look\nrevision: one\nsteps: [ Look. ]\n");
    said = watching.until("1 error");
    CHECK_MESSAGE(heads(said.out, "brakes/pads/look.yaml changed"), said.out);
    fs::remove_all(shop + "/brakes");
    said = watching.until("no errors");
    CHECK_MESSAGE(heads(said.out, "brakes/pads/look.yaml is gone"), said.out);

    // The shop's own file: broken, away, and mended.
    write(shop + "/shop.yaml", "shop: [yard\n");
    said = watching.until("1 error");
    CHECK_MESSAGE(heads(said.out, "shop.yaml changed"), said.out);
    fs::remove(shop + "/shop.yaml");
    said = watching.until("shop.yaml is gone");
    CHECK(said.in_time);
    const std::string no_shop = "is no shop: it has no shop.yaml"; // there is no summary below it
    CHECK((said.err.find(no_shop) != std::string::npos || watching.until_error(no_shop)));
    save_as_new(shop + "/shop.yaml", shop_yaml);
    said = watching.until("no errors");
    CHECK_MESSAGE(heads(said.out, "shop.yaml is new"), said.out);

    // What is none of the shop's files is not checked for: the next thing that is told of is the one after it.
    write(shop + "/general/.lid.yaml.swp", "x");
    write(shop + "/general/notes.txt", "x");
    write(shop + "/.schemas/job.json", "{}");
    write(shop + "/general/lid.yaml", lid + "why: It is dirty.\n");
    said = watching.until("no errors");
    CHECK_MESSAGE(heads(said.out, "general/lid.yaml changed"), said.out);

    CHECK(watching.end(SIGTERM) == 0);
}

TEST_CASE("it ends with the status of the last check") {
    const std::string shop = lid_shop("watch-end");
    for (const int signal : {SIGINT, SIGTERM}) {
        write(shop + "/general/lid.yaml", lid);
        Watching watching({}, shop);
        CHECK(watching.until("watching").in_time);
        save_as_new(shop + "/general/lid.yaml", "procedure: lid\n");
        CHECK(watching.until("errors").in_time);
        CHECK(watching.end(signal) == 1);
    }
    const Ran none = run({"check", "--watch"}, {.folder = scratch("watch-none")});
    CHECK(none.status == 2);
    CHECK(none.err.find("no shop here") != std::string::npos);
    CHECK(run({"check", "--watch", "general/lidd.yaml"}, {.folder = shop}).status == 2);
    CHECK(run({"check", "--watch", "--fix"}, {.folder = shop}).status == 2);
}

TEST_CASE("messages for programs are whole each time") {
    const std::string shop = lid_shop("watch-forms");
    const std::string wrong = "procedure: lid\ntitel: The lid\nrevision: 1\nsteps: [ Wipe the lid. ]\n";
    for (const std::string& form : {std::string("json"), std::string("sarif"), std::string("gnu")}) {
        CAPTURE(form);
        write(shop + "/general/lid.yaml", lid);
        Watching watching({"--messages", form, "general/lid.yaml"}, shop);
        auto said = watching.until("watching");
        CHECK(said.in_time);
        if (form != "gnu") CHECK(nlohmann::json::accept(said.err));
        for (int round = 0; round < 2; ++round) {
            save_as_new(shop + "/general/lid.yaml", wrong);
            said = watching.until("1 error");
            CHECK(said.in_time);
            if (form == "gnu")
                CHECK(said.err.starts_with("general/lid.yaml:2.1-5: error: "));
            else
                CHECK_MESSAGE(nlohmann::json::accept(said.err), said.err);
            CHECK(said.err.find("unknown-key") != std::string::npos);
            save_as_new(shop + "/general/lid.yaml", lid);
            said = watching.until("no errors");
            CHECK(said.in_time);
            CHECK(said.err.find("unknown-key") == std::string::npos);
        }
    }
}

TEST_CASE("where the system tells nothing, changes are found by looking") {
    const std::string shop = lid_shop("watch-looking");
    const std::string elsewhere = scratch("watch-elsewhere");
    write(elsewhere + "/linked.yaml", lid);
    fs::create_symlink(elsewhere + "/linked.yaml", shop + "/general/linked.yaml");
    using driver::Change;
    for (const auto how : {driver::Watch::How::by_looking, driver::Watch::How::told}) {
        driver::Watch watch(shop, how);
        CHECK(watch.why_looking().empty());
        const auto paths = [&] {
            std::string all;
            const auto changes = watch.wait();
            REQUIRE(changes.has_value());
            for (const Change& each : *changes) all += each.path + " ";
            return all;
        };
        save_as_new(shop + "/general/lid.yaml", lid + "# once more\n");
        CHECK(paths() == "general/lid.yaml ");
        // Behind a link nobody is told of.
        save_as_new(elsewhere + "/linked.yaml", lid + "# of another\n");
        CHECK(paths() == "general/linked.yaml ");
        fs::rename(shop + "/general", shop + "/special");
        CHECK(paths() == "general/lid.yaml general/linked.yaml special/lid.yaml special/linked.yaml ");
        fs::rename(shop + "/special", shop + "/general");
        CHECK(paths() == "general/lid.yaml general/linked.yaml special/lid.yaml special/linked.yaml ");
        kill(getpid(), SIGTERM);
        CHECK(!watch.wait().has_value());
    }
}
