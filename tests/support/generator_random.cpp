#include "tests/support/generator_random.h"

#include <cmath>
#include <numbers>

namespace beatwitness::tests {

namespace {

/// One step of a counter-based mixer, so that neighbouring seeds give unrelated streams.
std::uint64_t mixed(std::uint64_t value) {
    value += 0x9e3779b97f4a7c15ULL;
    value = (value ^ (value >> 30)) * 0xbf58476d1ce4e5b9ULL;
    value = (value ^ (value >> 27)) * 0x94d049bb133111ebULL;
    return value ^ (value >> 31);
}

std::uint64_t mixedWith(std::uint64_t seed, std::string_view purpose) {
    auto state = mixed(seed);
    for (const char letter : purpose)
        state = mixed(state ^ static_cast<unsigned char>(letter));
    return state;
}

}  // namespace

RandomStream::RandomStream(std::uint64_t seed, std::string_view purpose)
    : engine_(mixedWith(seed, purpose)) {}

double RandomStream::uniform() {
    return static_cast<double>(engine_() >> 11) * 0x1.0p-53;
}

int RandomStream::integer(int lowest, int highest) {
    return lowest + static_cast<int>(uniform() * (highest - lowest + 1));
}

double RandomStream::normal() {
    if (hasSpare_) {
        hasSpare_ = false;
        return spare_;
    }
    const double radius = std::sqrt(-2.0 * std::log(1.0 - uniform()));
    const double angle = 2.0 * std::numbers::pi * uniform();
    spare_ = radius * std::sin(angle);
    hasSpare_ = true;
    return radius * std::cos(angle);
}

ColouredNoise::ColouredNoise(double tau_s, double step_s, RandomStream& stream)
    : stream_(&stream),
      keep_(std::exp(-step_s / tau_s)),
      fresh_(std::sqrt(1.0 - keep_ * keep_)),
      value_(stream.normal()) {}

double ColouredNoise::next() {
    value_ = keep_ * value_ + fresh_ * stream_->normal();
    return value_;
}

}  // namespace beatwitness::tests
