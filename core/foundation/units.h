#pragma once

#include <compare>

namespace beatwitness {

/// A heart rate (or, for contexts, any rate) in beats per minute.
///
/// `Bpm - Bpm` is a BpmDelta; adding two heart rates has no meaning and does not compile.
struct Bpm {
    double value = 0.0;
    friend constexpr auto operator<=>(Bpm, Bpm) = default;
};

/// A difference of two heart rates in beats per minute. Errors are test minus reference.
struct BpmDelta {
    double value = 0.0;
    friend constexpr auto operator<=>(BpmDelta, BpmDelta) = default;
};

/// A length of time in seconds.
struct Seconds {
    double value = 0.0;
    friend constexpr auto operator<=>(Seconds, Seconds) = default;
};

/// A share, 0 to 100.
struct Percent {
    double value = 0.0;
    friend constexpr auto operator<=>(Percent, Percent) = default;
};

/// A rate difference of two clocks in parts per million.
struct Ppm {
    double value = 0.0;
    friend constexpr auto operator<=>(Ppm, Ppm) = default;
};

constexpr BpmDelta operator-(Bpm a, Bpm b) {
    return {a.value - b.value};
}
constexpr Bpm operator+(Bpm a, BpmDelta d) {
    return {a.value + d.value};
}
constexpr Bpm operator-(Bpm a, BpmDelta d) {
    return {a.value - d.value};
}
constexpr BpmDelta operator+(BpmDelta a, BpmDelta b) {
    return {a.value + b.value};
}
constexpr BpmDelta operator-(BpmDelta a, BpmDelta b) {
    return {a.value - b.value};
}
constexpr BpmDelta operator-(BpmDelta a) {
    return {-a.value};
}
constexpr Seconds operator+(Seconds a, Seconds b) {
    return {a.value + b.value};
}
constexpr Seconds operator-(Seconds a, Seconds b) {
    return {a.value - b.value};
}
constexpr Seconds operator-(Seconds a) {
    return {-a.value};
}

}  // namespace beatwitness
