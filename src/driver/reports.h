// What the driver itself finds wrong in the course of a run, in words: each is defined beside its rule in checks/.
#pragma once

#include "messages/message.h"
#include "pictures/pictures.h"
#include "source/source.h"

#include <string>

namespace benchleaf::driver {

struct Approved; // approvals.h
void report_not_approved(messages::Messages& out, const source::Spanned<std::string>& procedure, const Approved& state);

void report_allows_nothing(messages::Messages& out, source::Span at, const std::string& check);

// Of a picture, where its file is named.
void report_picture_not_found(messages::Messages& out, const source::Spanned<std::string>& file,
                              const pictures::Refused& why);
void report_picture_unreadable(messages::Messages& out, const source::Spanned<std::string>& file,
                               const pictures::Refused& why);
void report_if_too_coarse(messages::Messages& out, const source::Spanned<std::string>& file,
                          const pictures::Picture& picture);

} // namespace benchleaf::driver
