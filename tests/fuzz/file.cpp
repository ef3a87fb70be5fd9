// Bytes of one file → what is said of it. Held: every node has a place in the file; the messages' laws (laws.h); and of a file with nothing wrong, what the model prints
// reads back clean and prints the same (model/dump.h).
#include "fuzz/laws.h"
#include "fuzz/targets.h"

#include "cases/case.h"
#include "messages/render.h"
#include "model/dump.h"
#include "model/read.h"
#include "syntax/syntax.h"

#include <string>
#include <vector>

namespace benchleaf::fuzz {

namespace {

struct ReadFile {
    source::Sources sources;
    messages::Messages messages;
    model::Model model;
};

void read_into(ReadFile& to, const std::string& path, std::string_view bytes) {
    const source::FileId id = to.sources.add(path, std::string(syntax::without_byte_order_mark(bytes)));
    const syntax::Syntax syntax = syntax::parse(to.sources, id, to.messages);
    law(syntax.root.known(), "a file has a root");
    const std::string_view text = to.sources.file(id).text;
    for (const syntax::Node& node : syntax.nodes)
        law(node.span.begin <= node.span.end && node.span.end <= text.size(), "a node lies in its file");
    law(syntax::dump(syntax, to.sources) == syntax::dump(syntax, to.sources), "what is printed twice is the same");
    model::read(syntax, to.sources, to.model, to.messages);
    to.messages.sort_and_unite(to.sources);
}

std::vector<std::string> printed(const model::Model& model) {
    std::vector<std::string> all;
    for (const model::PrintedFile& each : model::print(model)) all.push_back(each.path + "\n" + each.text);
    return all;
}

} // namespace

void file(std::string_view input) {
    ReadFile once;
    read_into(once, cases::path_for(syntax::without_byte_order_mark(input)), input);
    hold_messages(once.messages, once.sources);
    fixes_do_not_break(once.messages, once.sources);
    if (once.messages.any_error()) return;
    ReadFile again;
    for (const model::PrintedFile& each : model::print(once.model)) read_into(again, each.path, each.text);
    const std::vector<std::string> all = printed(once.model);
    law(!again.messages.any_error(), "what the model prints reads back clean",
        all.empty() ? std::string() : all.front() + messages::render_human(again.messages, again.sources, {}));
    law(printed(again.model) == all, "what the model prints reads back the same",
        all.empty() ? std::string() : all.front());
}

} // namespace benchleaf::fuzz
