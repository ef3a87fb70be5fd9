#include "driver/records.h"

#include "digest/digest.h"
#include "driver/disk.h"
#include "driver/write_files.h"

#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>

namespace benchleaf::driver {

namespace {

constexpr std::string_view seal_key = "seal: ";
constexpr std::string_view job_key = "answers: ";
// Comments, so that a draft is a file of answers as well.
constexpr std::string_view corrects_key = "# corrects: ";
constexpr std::string_view continues_key = "# continues: ";

base::Failure cannot(std::string_view what, std::string_view path, int error) {
    return {fmt::format("cannot {} {}: {}", what, path, std::strerror(error))};
}

int sync_folder_of(const std::string& path) {
    return sync_folder(std::filesystem::path(path).parent_path().string());
}

int cut_off(int file, off_t length) {
    return uninterrupted([&] { return ::ftruncate(file, length); }) == 0 ? 0 : errno;
}

// `  box: "text"`. A text is written as JSON writes it, which YAML reads, too.
std::string line_of(const std::string& box, const std::string& text) {
    return fmt::format("  {}: {}\n", box,
                       nlohmann::json(text).dump(-1, ' ', false, nlohmann::json::error_handler_t::replace));
}

// Nothing of what is no such line: it was being written when the light went out.
std::optional<std::pair<std::string, std::string>> read_line(std::string_view line) {
    const std::size_t colon = line.find(": \"");
    if (!line.starts_with("  ") || colon == std::string_view::npos) return std::nullopt;
    const std::string_view box = line.substr(2, colon - 2);
    if (box.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-/") != std::string_view::npos) return std::nullopt;
    const auto text = nlohmann::json::parse(line.substr(colon + 2), nullptr, false);
    if (!text.is_string()) return std::nullopt;
    return std::pair(std::string(line.substr(2, colon - 2)), text.get<std::string>());
}

// What a draft says of itself, before its boxes.
void read_head(std::string_view line, DraftOf& to) {
    for (const auto& [key, text] :
         {std::pair(job_key, &to.job), std::pair(corrects_key, &to.corrects), std::pair(continues_key, &to.continues)})
        if (line.starts_with(key)) *text = line.substr(key.size());
}

std::string head_of(const DraftOf& of, const std::string& comment) {
    std::string head = comment + "\n";
    if (!of.corrects.empty()) head += fmt::format("{}{}\n", corrects_key, of.corrects);
    if (!of.continues.empty()) head += fmt::format("{}{}\n", continues_key, of.continues);
    return head + fmt::format("{}{}\nboxes:\n", job_key, of.job);
}

std::string record_named(const DraftOf& of) {
    if (!of.corrects.empty()) return "a correction of " + of.corrects;
    if (!of.continues.empty()) return "what goes on with " + of.continues;
    return "the first record of job " + of.job;
}

std::string not_of_this(const std::string& path, const DraftOf& found, const DraftOf& wanted) {
    const bool correction = !found.corrects.empty();
    return fmt::format("{} has half of {}, and not of {}; `benchleaf record {}{}` goes on with it, or remove the file",
                       path, record_named(found), record_named(wanted), found.job,
                       correction ? " --correct --reason …" : "");
}

} // namespace

std::string sealed(std::string text) {
    text += fmt::format("{}{}\n", seal_key, digest::sha256_hex(text));
    return text;
}

std::string seal_of(std::string_view text) {
    const std::size_t at = text.rfind("\nseal: ");
    if (at == std::string_view::npos) return {};
    std::string_view seal = text.substr(at + 1 + seal_key.size());
    return std::string(seal.substr(0, seal.find('\n')));
}

bool seal_holds(std::string_view text) {
    const std::size_t at = text.rfind("\nseal: ");
    if (at == std::string_view::npos) return false;
    const std::string_view before = text.substr(0, at + 1);
    return text.substr(at + 1) == fmt::format("{}{}\n", seal_key, digest::sha256_hex(before));
}

Standing standing_record(const model::Model& model, std::string_view job) {
    Standing found;
    for (const model::Record& each : model.records) {
        if (!each.job || each.job->value.name != job) continue;
        ++found.count;
        const auto replaced = [&](const model::Record& other) {
            return (other.corrects && other.corrects->value.name == each.id.value) ||
                   (other.continues && other.continues->value.name == each.id.value);
        };
        bool last = true;
        for (const model::Record& other : model.records) last = last && !replaced(other);
        if (last) found.last = &each;
    }
    return found;
}

base::Result<std::unique_ptr<Lock>> Lock::take(const std::string& folder) {
    std::vector<std::string> made;
    std::string at;
    if (const int wrong = make_folders(folder, made, at)) return cannot("make the folder", at, wrong);
    const std::string path = folder + "/.lock";
    const int file = open_file(path, O_RDWR | O_CREAT);
    if (file < 0) return cannot("write", path, errno);
    std::unique_ptr<Lock> lock(new Lock(file));
    const int wrong = lock_file(file, LOCK_EX, 0);
    if (wrong == EWOULDBLOCK) return std::unique_ptr<Lock>();
    if (wrong != 0) return cannot("lock", path, wrong);
    remove_leftovers(folder);
    return lock;
}

Lock::~Lock() {
    ::close(file_);
}

DraftText read_draft(std::string_view text) {
    DraftText read;
    for (;;) {
        const std::size_t end = text.find('\n', read.whole);
        if (end == std::string_view::npos) return read;
        const std::string_view line = text.substr(read.whole, end - read.whole);
        read_head(line, read.of);
        if (auto box = read_line(line)) read.answers[box->first] = box->second;
        read.whole = end + 1;
    }
}

std::string draft_lines(const record::Answers& answers) {
    std::string lines;
    for (const auto& [box, text] : answers) lines += line_of(box, text);
    return lines;
}

base::Result<Draft> Draft::open(std::string path, const DraftOf& of, const std::string& comment) {
    const int file = open_file(path, O_RDWR | O_CREAT | O_APPEND);
    if (file < 0) return cannot("write", path, errno);
    Draft draft(std::move(path), file);
    std::string all;
    char piece[4096];
    for (;;) {
        const ssize_t n = uninterrupted([&] { return ::read(file, piece, sizeof piece); });
        if (n < 0) return cannot("read", draft.path_, errno);
        if (n == 0) break;
        all.append(piece, static_cast<std::size_t>(n));
    }
    DraftText text = read_draft(all);
    const DraftOf& found = text.of;
    draft.fresh_ = text.fresh();
    draft.answers_ = std::move(text.answers);
    const std::size_t whole = draft.fresh_ ? 0 : text.whole;
    if (!draft.fresh_ && found.job != of.job)
        return base::Failure{fmt::format("{} has the answers of job {}, not of {}", draft.path_, found.job, of.job)};
    if (!draft.fresh_ && (found.corrects != of.corrects || found.continues != of.continues))
        return base::Failure{not_of_this(draft.path_, found, of)};
    // A line without its end would swallow the next one.
    if (whole < all.size())
        if (const int wrong = cut_off(file, static_cast<off_t>(whole))) return cannot("write", draft.path_, wrong);
    if (draft.fresh_) {
        if (const int wrong = put_all(file, head_of(of, comment))) return cannot("write", draft.path_, wrong);
        if (const int wrong = sync_file(file)) return cannot("write", draft.path_, wrong);
        if (const int wrong = sync_folder_of(draft.path_)) return cannot("write", draft.path_, wrong);
    }
    return draft;
}

Draft::Draft(Draft&& other) noexcept
    : path_(std::move(other.path_)), file_(std::exchange(other.file_, -1)), fresh_(other.fresh_),
      answers_(std::move(other.answers_)) {}

Draft::~Draft() {
    if (file_ >= 0) ::close(file_);
}

base::Result<base::Done> Draft::put(const record::Answers& changes) {
    const std::string lines = draft_lines(changes);
    const off_t before = ::lseek(file_, 0, SEEK_END);
    int wrong = put_all(file_, lines);
    if (wrong == 0) wrong = sync_file(file_);
    if (wrong != 0) {
        // Half a line stays for nobody.
        if (before >= 0) (void)cut_off(file_, before);
        return cannot("write", path_, wrong);
    }
    for (const auto& [box, text] : changes) answers_[box] = text;
    return base::Done{};
}

void Draft::remove() {
    (void)remove_file(path_);
    (void)sync_folder_of(path_);
}

} // namespace benchleaf::driver
