#pragma once

#include <cstdint>
#include <random>
#include <span>
#include <string_view>

namespace beatwitness::tests {

/// Random numbers that are the same on every machine: the engine is fixed by the standard, the transforms are
/// ours.
///
/// Streams of one seed and different purposes are independent, so that a knob added to one does not move
/// another.
class RandomStream {
public:
    RandomStream(std::uint64_t seed, std::string_view purpose);

    [[nodiscard]] double uniform();  ///< 0 <= x < 1, 53 bits
    [[nodiscard]] double uniform(double low, double high) { return low + (high - low) * uniform(); }
    /// Both ends included.
    [[nodiscard]] int integer(int lowest, int highest);
    [[nodiscard]] bool chance(double probability) { return uniform() < probability; }
    [[nodiscard]] double normal();  ///< mean 0, sd 1 (Box and Muller 1958)
    [[nodiscard]] std::uint64_t bits() { return engine_(); }

    /// Requires: not empty.
    template <class T>
    [[nodiscard]] const T& oneOf(std::span<const T> choices) {
        return choices[static_cast<std::size_t>(integer(0, static_cast<int>(choices.size()) - 1))];
    }

private:
    std::mt19937_64 engine_;
    double spare_ = 0.0;
    bool hasSpare_ = false;
};

/// Noise whose autocorrelation falls as exp(-t/tau): sd 1, stepped in constant time steps.
class ColouredNoise {
public:
    /// Requires: tau_s and step_s above 0.
    ColouredNoise(double tau_s, double step_s, RandomStream& stream);
    [[nodiscard]] double next();

private:
    RandomStream* stream_;
    double keep_;
    double fresh_;
    double value_;
};

}  // namespace beatwitness::tests
