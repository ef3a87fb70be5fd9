// Which faces a document is set in, and which kinds of characters it asks of each: so that no more of a face goes into it than
// has to. Whoever asks has looked at every box on the way, and knows that the pages are as pages.h promises.
#pragma once

#include "base/result.h"
#include "fonts/fonts.h"
#include "pages/pages.h"

#include <array>
#include <optional>

namespace benchleaf::pdf {

using FacesUsed = std::array<std::optional<fonts::Kinds>, fonts::face_count>; // none: no text is set in it

// Walks all boxes once, and refuses pages that are not as pages.h promises.
base::Result<FacesUsed> faces_used(const pages::Pages& pages);

} // namespace benchleaf::pdf
