// Where a stretch of a scalar's text stands in its file: the text may be quoted, escaped or folded there.
#pragma once

#include "source/source.h"
#include "syntax/syntax.h"

#include <cstddef>

namespace benchleaf::model {

// Bytes [begin, end) of `scalar.text`; the whole scalar where no exact place can be told (a folded text).
source::Span within(const syntax::Node& scalar, const source::Sources& sources, std::size_t begin, std::size_t end);

} // namespace benchleaf::model
