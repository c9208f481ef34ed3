#pragma once

#include <functional>
#include <stop_token>
#include <utility>

#include "core/foundation/fault.h"

namespace beatwitness {

/// How a long function is told to stop and tells how far it is.
///
/// Core starts no thread: the caller runs the function where it likes. A function that takes a RunControl
/// tests stopRequested() at natural steps and returns cancelled(), leaving nothing half-written.
class RunControl {
public:
    /// Never stops, tells nobody.
    RunControl() = default;
    RunControl(std::stop_token stop, std::function<void(double)> onProgress)
        : stop_(std::move(stop)), onProgress_(std::move(onProgress)) {}

    [[nodiscard]] bool stopRequested() const { return stop_.stop_requested(); }

    /// `fraction` of the work at hand, 0 to 1, not decreasing. Called on the working thread.
    void progress(double fraction) const {
        if (onProgress_) onProgress_(begin_ + (end_ - begin_) * fraction);
    }

    /// A control for one step, whose 0 to 1 is the part `begin` to `end` of this one's.
    [[nodiscard]] RunControl part(double begin, double end) const {
        RunControl step = *this;
        step.begin_ = begin_ + (end_ - begin_) * begin;
        step.end_ = begin_ + (end_ - begin_) * end;
        return step;
    }

private:
    std::stop_token stop_;
    std::function<void(double)> onProgress_;
    double begin_ = 0.0;
    double end_ = 1.0;
};

[[nodiscard]] inline Fault cancelled() {
    return {FaultCode::Cancelled, "stopped before it was done", {}, {}, {}};
}

}  // namespace beatwitness
