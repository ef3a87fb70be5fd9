// The pictures that the steps of a shop name. They are read when a card wants them, not with the shop: a job that has none pays nothing. A
// picture lies in the shop's folder, and its path counts from there; nothing outside is read, by whatever way.
#pragma once

#include "driver/shop_files.h"
#include "messages/message.h"
#include "model/model.h"
#include "pictures/pictures.h"

#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <utility>

namespace benchleaf::driver {

// Each picture of a procedure, where it is named.
void for_each_picture(const model::Procedure& procedure,
                      const std::function<void(const source::Spanned<std::string>&)>& see);

class Shelf {
public:
    explicit Shelf(std::string root) : root_(std::move(root)) {}
    explicit Shelf(const Files& files); // those among them alone
    // Those in the folder, as if the others lay there already.
    Shelf(std::string root, std::map<std::string, std::string> coming)
        : root_(std::move(root)), in_memory_(std::move(coming)) {}

    struct Held {
        std::shared_ptr<const pictures::Picture> picture; // or null, and why
        bool missing = false;                             // there is no such file that may be read
        pictures::Refused refused;
    };
    // Without `pixels`, of a good picture only its size is kept: nobody is going to paint it.
    Held at(const std::string& path, bool pixels = true) const; // may be asked by several threads at a time

private:
    Held read(const std::string& path) const;

    std::string root_;
    std::map<std::string, std::string> in_memory_;
    mutable std::mutex reading_;
    mutable std::map<std::string, Held> held_;
};

} // namespace benchleaf::driver
