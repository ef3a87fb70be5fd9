// A failure of the machine: a file that cannot be read, a full disk, a library out of memory. `Result<T>` holds the
// value or the Failure; the driver turns a Failure into one line on standard error and exit status 3. What the user
// wrote wrong is never a Failure.
#pragma once

#include "base/require.h"

#include <string>
#include <utility>
#include <variant>

namespace benchleaf::base {

struct Failure {
    std::string what; // one line, for a person: "cannot write out/x.pdf: No space left on device"
};

template <class T>
class [[nodiscard]] Result {
public:
    Result(T value) : held_(std::in_place_index<0>, std::move(value)) {}
    Result(Failure failure) : held_(std::in_place_index<1>, std::move(failure)) {}

    bool ok() const { return held_.index() == 0; }
    explicit operator bool() const { return ok(); }

    T& value() {
        require(ok(), "the value of a failed result was taken");
        return *std::get_if<0>(&held_);
    }
    const T& value() const {
        require(ok(), "the value of a failed result was taken");
        return *std::get_if<0>(&held_);
    }
    const Failure& failure() const {
        require(!ok(), "the failure of a good result was taken");
        return *std::get_if<1>(&held_);
    }

private:
    std::variant<T, Failure> held_;
};

struct Done {}; // the value of a Result that has none

} // namespace benchleaf::base
