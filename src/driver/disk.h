// Calls of the system as whoever writes needs them: a signal that comes in between makes them begin again, and no error is lost, for a file counts
// as written when it is on the disk. Each gives 0, or the error as in errno, unless it says otherwise.
#pragma once

#include <cerrno>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::driver {

// What a call gives that is made again for as long as it is only interrupted.
template <class Call>
auto uninterrupted(Call call) {
    for (;;) {
        const auto got = call();
        if (got != -1 || errno != EINTR) return got;
    }
}

// A descriptor, or -1; closed when another program is started.
int open_file(const std::string& path, int flags);
// A new file whose name is `begin` and six letters, which are put into `name`; a descriptor, or -1.
int open_new_beside(const std::string& begin, std::string& name);
// All of a file, or so much of it; what there is of it is put into `bytes`.
int read_all(const std::string& path, std::size_t most, std::string& bytes);
int put_all(int file, std::string_view bytes);
// Where a file system cannot sync, that is no error.
int sync_file(int file);
int sync_folder(const std::string& folder);
// An error that a file system tells only now is told.
int close_file(int file);
// Whether `file` is now locked as `how` says (LOCK_SH, LOCK_EX); others are waited for so long.
int lock_file(int file, int how, int most_milliseconds);

int take_free_name(const std::string& from, const std::string& to); // both names stand for the file then
int take_name(const std::string& from, const std::string& to);
int remove_file(const std::string& path);
// Makes what lacks of a folder and those above it, the outer ones first; those are added to `made`. What it could not make is `at`.
int make_folders(const std::string& folder, std::vector<std::string>& made, std::string& at);

// Where a file system has no modes, that is no error.
int set_mode(int file, unsigned mode);
// The mode that a new file has, by the umask.
unsigned mode_of_new_file();

} // namespace benchleaf::driver
