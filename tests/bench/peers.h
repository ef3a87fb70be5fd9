// A card as source of two general typesetters, so that they can be timed on what we print: the same strings in the same order, steps as
// tables with their numbers and tick boxes, readings and signatures with boxes to write in, cautions and stops in frames. They set and
// paginate it by their own means. What they do not get: the QR square, pictures, drawn wear bars and tightening orders, the fields of
// a form, the attached sources.
#pragma once

#include "card/card.h"

#include <string>

namespace benchleaf::bench {

// For `groff -K utf8 -t -ms -Tpdf`.
std::string groff_source(const card::Card& card);

// For Typst, in Noto Sans. "{{round}}" stands once in the head and once in each section, so that whoever compiles it again can make
// it another text.
std::string typst_source(const card::Card& card);

} // namespace benchleaf::bench
