#pragma once

#include "core/report/scene.h"
#include "core/trace/pairs.h"

/// A figure over time: what it shows when that much of the session has passed.
namespace beatwitness::report {

/// What a figure needs to move.
struct MotionSource {
    double begin_s = 0.0, end_s = 1.0;  ///< session time; of a pooled map the pairs one after another
    bool hasTimeAxis = true;            ///< its panels stand over session time
    /// What its map counts, in the order of time; empty without a map.
    trace::Pairs mapped;
};

enum class MotionStyle {
    Grow,   ///< the traces grow up to the instant
    Cursor  ///< the traces stand, a cursor travels over them
};

/// The scene at `at_s`: traces, flags and pins as far as they have come (Grow) or whole under a cursor
/// (Cursor), and the map filled up to the instant. Axes and scales are those of the whole scene, so that
/// nothing jumps from frame to frame. Copies the scene: a millisecond for 3 h of four traces.
[[nodiscard]] Scene sceneAt(const Scene& whole, const MotionSource& source, MotionStyle style, double at_s);

}  // namespace beatwitness::report
