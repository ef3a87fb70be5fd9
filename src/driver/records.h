// Where records lie, and how they come there whole.
//
// A vehicle's records lie in records/<its frame, or the first that tells it>/<job>.yaml below the shop; a second record of the same job is <job>-2.yaml.
// Beside them lies, while somebody types, what he has typed: <job>.draft, to which each answer is added and brought to the disk before the next one is asked
// for. Whether it is a correction, or goes on with work that was stopped, stands at its head: `# corrects: 2026-0412`. It is a list of boxes, `card-2/step-5/reading-1/1: "4.4 mm"`, of which the last line for a box counts; a line without its end is passed over, so
// that whatever happens at most the answer that was being written is lost. Whoever writes holds a lock on the folder, which ends with his program.
#pragma once

#include "base/result.h"
#include "model/model.h"
#include "record/asks.h"

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace benchleaf::driver {

// SHA-256 of all that stands before it, at the end of a record.
std::string sealed(std::string text);
// Whether a record is as it was written: its last line is the seal of all before it.
bool seal_holds(std::string_view text);
std::string seal_of(std::string_view text); // of a sealed one

// The record that stands for a job: none, or the last one. And how many there are.
struct Standing {
    const model::Record* last = nullptr;
    std::size_t count = 0;
};
Standing standing_record(const model::Model& model, std::string_view job);

class Lock {
public:
    // Another one holds it: nothing. The folder is made.
    static base::Result<std::unique_ptr<Lock>> take(const std::string& folder);
    Lock(const Lock&) = delete;
    Lock& operator=(const Lock&) = delete;
    ~Lock();

private:
    explicit Lock(int file) : file_(file) {}
    int file_;
};

// The record that a draft is to become: a job's first one, or one that corrects or continues that record.
struct DraftOf {
    std::string job;
    std::string corrects;
    std::string continues;
};

// What the text of a draft holds.
struct DraftText {
    DraftOf of;
    record::Answers answers;
    std::size_t whole = 0; // bytes, up to where it has whole lines; nothing is taken from what comes behind
    bool fresh() const {
        return of.job.empty() && answers.empty();
    } // as good as none: its head was being written when the light went out
};
DraftText read_draft(std::string_view text);
std::string draft_lines(const record::Answers& answers); // as they are added to it

class Draft {
public:
    // What stands in the file, if there is one; of another job's, or of a record of another sort, it is a Failure. `comment`: the line that a new one begins
    // with.
    static base::Result<Draft> open(std::string path, const DraftOf& of, const std::string& comment);
    Draft(Draft&& other) noexcept;
    Draft& operator=(Draft&&) = delete;
    ~Draft();

    const record::Answers& answers() const { return answers_; }
    bool fresh() const { return fresh_; }
    const std::string& path() const { return path_; }
    // On the disk when it returns.
    base::Result<base::Done> put(const record::Answers& changes);
    void remove();

private:
    Draft(std::string path, int file) : path_(std::move(path)), file_(file) {}
    std::string path_;
    int file_;
    bool fresh_ = true;
    record::Answers answers_;
};

} // namespace benchleaf::driver
