#include "syntax/reports.h"

#include <fmt/format.h>

namespace benchleaf::syntax {

const Check checks::several_documents = {
    {"several-documents", messages::Level::error, "more than one document in a file"}};

namespace found {

void several_documents(const Input& in, source::Span marker) {
    in.out
        ->add(checks::several_documents.rule, marker,
              fmt::format("`{}` here ends a document; a file is one document",
                          in.text.substr(marker.begin, marker.end - marker.begin)))
        .help = "put each document into a file of its own, named like the thing it declares";
}

} // namespace found
} // namespace benchleaf::syntax
