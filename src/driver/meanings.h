// What a shop says, and by what its procedures are known (meaning/), with the pictures from its shelf.
#pragma once

#include "driver/pipeline.h"
#include "meaning/meaning.h"

#include <string>
#include <vector>

namespace benchleaf::driver {

meaning::Meaning meaning_of(const Shopful& shop);
meaning::Meaning meaning_of(const Shopful& shop, const std::vector<linked::ProcedureId>& procedures);

// SHA-256 of its canonical text, in hexadecimal.
std::string procedure_digest(const meaning::Meaning& meaning, meaning::ThingId procedure);

// "1b2c 3d4e 5f60 7182", as the foot of a card has it.
std::string in_groups(std::string_view digest);

} // namespace benchleaf::driver
