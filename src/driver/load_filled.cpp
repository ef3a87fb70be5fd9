#include "driver/load_filled.h"

#include <dlfcn.h>
#include <filesystem>
#include <fmt/format.h>

namespace benchleaf::driver {

base::Result<filled::Reader*> load_filled() {
    std::error_code error;
    const std::filesystem::path program = std::filesystem::read_symlink("/proc/self/exe", error);
    // Where it is built, beside the program; else where `cmake --install` puts it.
    const std::filesystem::path beside = program.parent_path() / "benchleaf-filled.so";
    const std::filesystem::path installed = program.parent_path().parent_path() / "lib/benchleaf/benchleaf-filled.so";
    const bool is_installed = !std::filesystem::exists(beside, error) && std::filesystem::exists(installed, error);
    const std::string path = (is_installed ? installed : beside).string();
    const auto failed = [&] {
        const char* why = dlerror();
        return base::Failure{fmt::format("cannot load what reads filled-in cards; it belongs beside the program: {}",
                                         why != nullptr ? why : path.c_str())};
    };
    void* const library = dlopen(path.c_str(), RTLD_NOW | RTLD_LOCAL); // loaded once, and kept
    if (library == nullptr) return failed();
    void* const reader = dlsym(library, "benchleaf_filled_reader");
    if (reader == nullptr) return failed();
    return *static_cast<filled::Reader* const*>(reader);
}

} // namespace benchleaf::driver
