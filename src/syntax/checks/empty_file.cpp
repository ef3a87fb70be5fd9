#include "syntax/reports.h"

namespace benchleaf::syntax {

const Check checks::empty_file = {{"empty-file", messages::Level::error, "a file holds nothing"}};

namespace found {

void empty_file(const Input& in) {
    in.out->add(checks::empty_file.rule, in.span(0, 0), "the file holds nothing").help =
        "`benchleaf new` writes a commented starting file";
}

} // namespace found
} // namespace benchleaf::syntax
