// One state of a shop, or a part of one, wherever it is: what `compare` takes for OLD and NEW.
//
//     procedures/                      a shop's folder, or a folder or file in one: that part of it
//     HEAD~1:procedures                the same as git has it in a revision; `HEAD~1:` is the shop in it
//     front-discs.bundle.yaml          a bundle
//     out/2026-0412.pdf                a printed card, which carries the files that it was made of
//     old/front-disc-service.yaml      a file that lies in no shop: taken for the one of that name in the other state
#pragma once

#include "base/result.h"
#include "bundle/bundle.h"
#include "driver/commands.h"
#include "driver/shop_files.h"

#include <optional>
#include <string>
#include <vector>

namespace benchleaf::driver {

struct ShopState {
    std::string named; // as on the command line
    Files files;
    bool whole = true; // all of a shop; else what lacks there is not missing
    std::string only;  // the file or folder that is meant, below the shop's root; empty: everything
    std::string loose; // of a file in no shop: its text, which takes its place in the other state
};

// On failure it has been said, and `status` is set.
std::optional<ShopState> read_state(const std::string& named, Terminal& terminal, int& status);

// The files of a bundle, or those that a printed card carries. What is no such thing is a Failure that names it.
base::Result<Files> read_bundle(const std::string& path, const std::string& bytes);
bool is_bundle(std::string_view bytes);
base::Result<std::vector<bundle::Unpacked>> unpack(const std::string& path, const std::string& bytes); // with pictures

// Any file, whole.
base::Result<std::string> read_bytes(const std::string& path, std::size_t most);

} // namespace benchleaf::driver
