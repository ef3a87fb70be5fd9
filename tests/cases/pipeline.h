// What the cases and the pages are run through: the files of a shop by their paths, to messages. The only place that
// knows how far the compiler goes; the driver's pipeline takes over here as a whole.
#pragma once

#include "messages/message.h"
#include "source/source.h"
#include "syntax/check.h"
#include "syntax/syntax.h"

#include <map>
#include <memory>
#include <string>
#include <vector>

namespace benchleaf::cases {

struct Ran {
    source::Sources sources;
    messages::Messages messages;
};

inline std::unique_ptr<Ran> run(const std::map<std::string, std::string>& files) {
    auto ran = std::make_unique<Ran>();
    for (const auto& [path, bytes] : files) {
        const source::FileId id = ran->sources.add(path, std::string(syntax::without_byte_order_mark(bytes)));
        (void)syntax::parse(ran->sources, id, ran->messages);
    }
    ran->messages.sort_and_unite(ran->sources);
    return ran;
}

// The rules that run() can speak by. A case of another check, and a stage that run() does not reach, must wait.
inline std::vector<const messages::Rule*> rules() {
    std::vector<const messages::Rule*> all;
    for (const syntax::Check* check : syntax::all_checks()) all.push_back(&check->rule);
    return all;
}

inline bool reaches(const std::string& stage) {
    return stage == "syntax";
}

} // namespace benchleaf::cases
