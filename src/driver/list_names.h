// The names of a shop's files, without a look at any of them: what a file is called is what it is of, and where it lies tells the kind. So a part of
// a shop is found in as many calls as it has folders. Whatever is not as it mostly is (a link, a name that nobody can show, an empty folder, a file that
// is almost called `.yaml`) gives no list: then the shop is read whole, which says what is wrong.
#pragma once

#include "model/kind.h"

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace benchleaf::driver {

// What belongs in a folder: the innermost one that belongs to a kind decides.
model::Kind kind_of_folder(std::string_view below);

// By its folder, whatever is in it; the path is below the shop's root.
bool is_catalogue(std::string_view path);

// What the file's name says it is called: without folders and ending.
std::string_view stem_of(std::string_view path);

class NamesListed {
public:
    // The shop's own records are not listed: they are looked for where their vehicle's are.
    static std::optional<NamesListed> of(const std::string& root);
    // The paths in one folder below the root, that has no folders; nothing where it is not as it mostly is.
    static std::optional<std::vector<std::string>> of_folder(const std::string& root, const std::string& below);

    // The names of the folders in one that has no files, sorted; none where there is no such folder, nothing where it is not as it mostly is.
    static std::optional<std::vector<std::string>> folders_in(const std::string& root, const std::string& below);

    // The path of the one file of this kind and name; empty where there is none, or more than one.
    std::string path_of(model::Kind kind, std::string_view stem) const;
    // Those of that name that lie where another kind belongs.
    std::vector<std::string> of_another_kind(model::Kind kind, std::string_view stem) const;
    // In the order of the paths.
    std::vector<std::string> paths_of(model::Kind kind) const;
    bool has_signers() const { return has_signers_; }

private:
    struct File {
        std::size_t folder;
        std::string_view name;
    };
    bool list(const std::string& root, const std::string& below, std::size_t depth);
    std::string path_of(const File& file) const;
    std::vector<std::string> paths_of(model::Kind kind, std::string_view stem) const;

    struct Folder {
        std::string below;
        model::Kind kind;
        std::shared_ptr<std::string> names; // one after another: those of its files look into it
    };
    std::vector<Folder> folders_;
    std::vector<File> files_;
    std::unordered_multimap<std::string_view, std::size_t> by_stem_;
    bool has_signers_ = false;
};

} // namespace benchleaf::driver
