#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "core/foundation/clocks.h"
#include "core/foundation/text.h"

/// How single values become JSON; for the sources of report only (the header is heavy).
namespace beatwitness::report {

using Json = nlohmann::ordered_json;

/// null for what cannot be had: never 0, never NaN.
[[nodiscard]] inline Json number(double value) {
    return std::isfinite(value) ? Json(value) : Json(nullptr);
}

template <class Unit>
[[nodiscard]] Json number(const std::optional<Unit>& value) {
    if (!value) return nullptr;
    if constexpr (std::is_arithmetic_v<Unit>)
        return number(static_cast<double>(*value));
    else
        return number(value->value);
}

/// Text that may hold anything a file held; broken UTF-8 is replaced when dumped.
[[nodiscard]] inline std::string dumped(const Json& json) {
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace beatwitness::report
