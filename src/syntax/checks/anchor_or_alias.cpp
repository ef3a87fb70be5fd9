#include "syntax/reports.h"

namespace benchleaf::syntax {

const Check checks::anchor_or_alias = {{"anchor-or-alias", messages::Level::error, "an anchor or an alias"}};

namespace found {

void anchor_or_alias(const Input& in, source::Span at) {
    const bool anchor = in.text[at.begin] == '&';
    in.out
        ->add(checks::anchor_or_alias.rule, at,
              anchor ? "`&` names a piece of YAML, which a shop's files do not do"
                     : "`*` repeats a named piece of YAML, which a shop's files do not do")
        .help = "put what is shared into a catalogue; a text that starts so goes in quotes";
}

} // namespace found
} // namespace benchleaf::syntax
