// The boxes that somebody writes in as the fields of a form (ISO 32000-1, 12.7), so that a card can be filled on a tablet: a
// tick is a check box, all others are text fields. A field lies in its box, where no printed word stands, and draws no frame
// or ground of its own: an empty form looks as the card on paper does.
//
// What is typed is set by the reader's program, with the font of the regular face, which then has every letter of it.
#pragma once

#include "base/result.h"
#include "pages/field_words.h"
#include "pages/pages.h"
#include "pdf/objects.h"

#include <cstddef>
#include <string>
#include <vector>

namespace benchleaf::pdf {

struct Field {
    std::size_t page = 0;       // from 0
    bool on_every_page = false; // of the head: what is written once stands on all pages
    pages::Role role = pages::Role::tick;
    pages::Rect at;
    std::string name;
};

// In the order of reading. A Failure when a box that somebody writes in has no name of its own, or has a name with a period,
// which parts the names of fields.
base::Result<std::vector<Field>> fields_of(const pages::Pages& pages);

struct Form {
    std::string dictionary;           // the catalog's /AcroForm
    std::vector<std::string> widgets; // of each page, its /Annots; empty for none
};

// `words` say what a field is for; one that they do not know is called by its name. `font` is the number of the
// regular face's font, which is to have the whole face.
Form make_form(const std::vector<Field>& fields, const pages::Pages& pages, const pages::FieldWords& words,
               std::size_t font, Objects& objects);

} // namespace benchleaf::pdf
