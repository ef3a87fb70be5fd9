// What vehicles have, and what procedures, steps and entries of catalogues ask of them, are words of the shop's own. Where one differs from
// the other by a slip of the pen, that is told once, where it is misspelt, and both are one word from then on: else everything that asks for
// the right spelling would seem to be on no vehicle.
#pragma once

#include "messages/message.h"
#include "model/model.h"

namespace benchleaf::model {

// To be called when all files are read.
void match_features(Model& model, messages::Messages& messages);

} // namespace benchleaf::model
