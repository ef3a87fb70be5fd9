// A list that nearly always is empty, as most of what a step may have: it takes one pointer then, where a std::vector takes three. It is read as a
// std::vector is, and wherever one is wanted; a copy is a deep one.
#pragma once

#include <cstddef>
#include <memory>
#include <utility>
#include <vector>

namespace benchleaf::base {

template <class T>
class Few {
public:
    using value_type = T;
    using iterator = T*;
    using const_iterator = const T*;

    Few() noexcept = default;
    Few(std::vector<T> all) : all_(all.empty() ? nullptr : std::make_unique<std::vector<T>>(std::move(all))) {}
    Few(const Few& other) : all_(other.empty() ? nullptr : std::make_unique<std::vector<T>>(*other.all_)) {}
    Few(Few&&) noexcept = default;
    Few& operator=(const Few& other) {
        if (this != &other) *this = Few(other);
        return *this;
    }
    Few& operator=(Few&&) noexcept = default;
    ~Few() = default;

    operator const std::vector<T>&() const {
        static const std::vector<T> none;
        return all_ != nullptr ? *all_ : none;
    }
    bool empty() const { return all_ == nullptr || all_->empty(); }
    std::size_t size() const { return all_ == nullptr ? 0 : all_->size(); }
    const T* begin() const { return all_ == nullptr ? nullptr : all_->data(); }
    const T* end() const { return begin() + size(); }
    T* begin() { return all_ == nullptr ? nullptr : all_->data(); }
    T* end() { return begin() + size(); }
    const T& operator[](std::size_t i) const { return (*all_)[i]; }
    T& operator[](std::size_t i) { return (*all_)[i]; }
    const T& front() const { return all_->front(); }
    T& front() { return all_->front(); }
    const T& back() const { return all_->back(); }
    T& back() { return all_->back(); }

    void reserve(std::size_t count) {
        if (count > 0) held().reserve(count);
    }
    void push_back(T value) { held().push_back(std::move(value)); }
    template <class... Of>
    T& emplace_back(Of&&... of) {
        return held().emplace_back(std::forward<Of>(of)...);
    }

private:
    std::vector<T>& held() {
        if (all_ == nullptr) all_ = std::make_unique<std::vector<T>>();
        return *all_;
    }
    std::unique_ptr<std::vector<T>> all_;
};

} // namespace benchleaf::base
