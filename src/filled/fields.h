// The fields of a form and what is written in them. Internal to filled/.
#pragma once

#include "base/result.h"
#include "filled/filled.h"

class QPDFObjectHandle;

namespace benchleaf::filled {

// A text string (ISO 32000-1, 7.9.2.2: PDFDocEncoding, UTF-16 or UTF-8 with its mark) as one line. A Failure says what is wrong with it, and
// not where: "holds text that cannot be read".
base::Result<std::string> text_in(const QPDFObjectHandle& string, std::size_t most);

// Into `boxes` and `fields`, from the catalog's /AcroForm.
base::Result<base::Done> read_fields(const QPDFObjectHandle& form, Filled& into);

} // namespace benchleaf::filled
