#pragma once

#include <cassert>
#include <utility>
#include <variant>

#include "core/foundation/fault.h"

namespace beatwitness {

/// What a step that returns no value returns: Result<Done>.
struct Done {};

/// A value or the Fault that kept it from being. C++20 has no std::expected.
template <class T>
class [[nodiscard]] Result {
public:
    Result(T value) : held_(std::in_place_index<0>, std::move(value)) {}
    Result(Fault fault) : held_(std::in_place_index<1>, std::move(fault)) {}

    explicit operator bool() const { return held_.index() == 0; }

    T& operator*() & { return value(); }
    const T& operator*() const& { return value(); }
    T&& operator*() && { return std::move(value()); }
    T* operator->() { return &value(); }
    const T* operator->() const { return &value(); }

    /// Requires: no value.
    [[nodiscard]] const Fault& fault() const {
        assert(held_.index() == 1);
        return *std::get_if<1>(&held_);
    }

private:
    T& value() {
        assert(held_.index() == 0);
        return *std::get_if<0>(&held_);
    }
    const T& value() const {
        assert(held_.index() == 0);
        return *std::get_if<0>(&held_);
    }

    std::variant<T, Fault> held_;
};

}  // namespace beatwitness
