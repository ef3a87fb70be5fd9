// What `benchleaf-filled.so` shows of this folder; no part of the library that tests are linked with.
#include "filled/filled.h"

extern "C" {
extern benchleaf::filled::Reader* const benchleaf_filled_reader;
benchleaf::filled::Reader* const benchleaf_filled_reader = &benchleaf::filled::read;
}
