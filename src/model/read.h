// The model stage: reads one file's Syntax as workshop things. `read(syntax, sources, model, messages)` looks at the
// first key, which names the kind and the thing, and adds the file to the Model. What is wrong is reported and left
// out, so that one mistake gives one message. Recursion is bounded by syntax::most_depth.
#pragma once

#include "messages/message.h"
#include "model/model.h"
#include "source/source.h"
#include "syntax/syntax.h"

namespace benchleaf::model {

void read(const syntax::Syntax& syntax, const source::Sources& sources, Model& into, messages::Messages& messages);

// What was read by itself, behind what was read before.
void append(Model from, Model& to);

} // namespace benchleaf::model
