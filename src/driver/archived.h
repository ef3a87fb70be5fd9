// A shop's records that are read from its archive: of each the head is kept, which tells whose it is and of when. What else it says, and its
// text, is kept of those that a job's card or a message shows.
#pragma once

#include "driver/archive.h"
#include "history/owners.h"
#include "messages/message.h"
#include "model/model.h"
#include "source/source.h"

namespace benchleaf::driver {

// Of a record that was just read, is whole and has nothing wrong with it.
void keep_head(model::Record& record, source::Sources& sources);

// Gives back all of the records of the vehicles that jobs are for.
base::Result<base::Done> give_back_for_jobs(const Archive& archive, const history::Owners& owners, model::Model& model,
                                            source::Sources& sources);

// Gives back the texts of the files that messages point into.
void give_back_for_messages(const Archive& archive, const messages::Messages& messages, source::Sources& sources);

} // namespace benchleaf::driver
