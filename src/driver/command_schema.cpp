// `schema`: the JSON Schema of a kind of file, for editors.
#include "driver/commands.h"
#include "driver/say.h"

#include "model/kind.h"
#include "model/schema.h"

#include <fmt/format.h>

namespace benchleaf::driver {

int schema(const std::string& kind, Terminal& terminal) {
    const auto known = model::kind_of(kind);
    if (!known) return usage_error(terminal, no_such("kind", kind, model::kind_words));
    std::string text = model::schema(*known);
    if (!text.ends_with('\n')) text += '\n';
    terminal.result(text);
    return clean;
}

} // namespace benchleaf::driver
