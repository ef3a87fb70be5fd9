// Pages as a PDF. `paint` draws every box where pages::Pages says and decides nothing: no text is measured, broken or moved.
// This folder is the only place that sees libharu.
//
// What comes out (ISO 32000-1, header 1.6): streams are compressed; of each face that is used the least part is embedded
// that has the kinds of characters used (font.h); every character can be copied and searched (a ToUnicode map for each font);
// black and grey only. There is no date and no identifier in it, so the same pages make the same bytes. On demand the boxes that somebody writes in are the
// fields of a form (form.h; then the regular face is there whole), a file is attached, and there are bookmarks.
//
// A Failure means that the pages are not what pages.h promises (text that is no UTF-8, or that the faces lack; a box out of
// range; nesting without end; no page at all; a field without a name of its own) or that libharu failed. The text names page and box. Nothing is ever left out
// of a page silently.
#pragma once

#include "base/result.h"
#include "pages/bind.h"
#include "pages/field_words.h"
#include "pages/pages.h"

#include <optional>
#include <string>
#include <string_view>

namespace benchleaf::pdf {

struct DocumentInfo {
    std::string title;    // shown in a reader's title bar
    std::string author;   // the shop
    std::string subject;  // vehicle and job
    std::string language; // of the text, as in BCP 47: "en", "pl"; empty for unknown
    std::string keywords; // whatever it is to be known by, parted by "; "; may be empty
};

// A file that the document carries in itself (ISO 32000-1, 7.11.4): what it was made of.
struct Attachment {
    std::string name;       // "2026-0412-2-front-disc-service.sources.yaml"
    std::string media_type; // "application/yaml", ASCII
    std::string_view bytes;
};

struct Extras {
    const pages::FieldWords* form = nullptr; // what the fields are for; none: no form
    std::optional<Attachment> source;
    const pages::Booklet* booklet = nullptr; // for its bookmarks and the numbers of its pages
};

base::Result<std::string> paint(const pages::Pages& pages, const DocumentInfo& info, const Extras& extras = {});

} // namespace benchleaf::pdf
