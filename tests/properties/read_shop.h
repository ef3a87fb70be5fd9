// A shop in memory through the stages up to linking, with what it was read from kept alive.
#pragma once

#include "linked/link.h"
#include "model/read.h"
#include "syntax/syntax.h"

#include <deque>
#include <map>
#include <string>

struct ReadShop {
    benchleaf::source::Sources sources;
    benchleaf::messages::Messages messages;
    std::deque<benchleaf::syntax::Syntax> syntaxes;
    benchleaf::model::Model model;
    benchleaf::linked::Linked linked;

    explicit ReadShop(const std::map<std::string, std::string>& files) {
        using namespace benchleaf;
        for (const auto& [path, text] : files) {
            const source::FileId id = sources.add(path, std::string(syntax::without_byte_order_mark(text)));
            syntaxes.push_back(syntax::parse(sources, id, messages));
            model::read(syntaxes.back(), sources, model, messages);
        }
        linked = linked::link(model, sources, messages);
    }
};
