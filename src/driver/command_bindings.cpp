// `bindings`: for a build engine, which catalogues have to do with what is in another one.
#include "driver/bindings.h"
#include "driver/commands.h"
#include "driver/say.h"

namespace benchleaf::driver {

int bindings(const BindingsArguments& arguments, const Global& global, Terminal& terminal) {
    const auto root = shop_folder(global, "", terminal);
    if (!root) return wrong_usage;
    const auto written = write_bindings(*root, arguments.out);
    if (!written) return machine_error(terminal, written.failure());
    for (const std::string& path : written.value()) terminal.result(path + "\n");
    if (written.value().empty()) terminal.say("the lists are there, and as they should be\n");
    return clean;
}

} // namespace benchleaf::driver
