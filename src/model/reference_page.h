// docs/language.md: every kind of file, every key and every verb, as a page of Markdown. A fold over the declared keys
// and verbs; a test compares the page in docs/ with it.
#pragma once

#include <string>

namespace benchleaf::model {

std::string reference_page();

} // namespace benchleaf::model
