#pragma once

#include <gtest/gtest.h>

#include <cstddef>
#include <random>
#include <span>
#include <string>
#include <string_view>

#include "core/recording/recording.h"
#include "tests/support/sound_recording.h"

/// What the tests of all readers do with a text and with what came of it.
namespace beatwitness::tests {

[[nodiscard]] inline std::span<const std::byte> bytesOf(std::string_view text) {
    return std::as_bytes(std::span{text.data(), text.size()});
}

inline void expectSound(const Result<recording::Recording>& recording) {
    EXPECT_EQ(unsoundness(recording), "");
}

/// How many heart rates were read.
[[nodiscard]] inline std::size_t rates(const Result<recording::Recording>& recording) {
    if (!recording) return 0;
    const auto* channel = recording->channel(recording::ChannelKind::HeartRate);
    return channel == nullptr ? 0 : channel->values.size();
}

/// The warnings, a line each, or the sentence of the fault.
[[nodiscard]] inline std::string warnings(const Result<recording::Recording>& recording) {
    if (!recording) return sentence(recording.fault());
    std::string all;
    for (const auto& warning : recording->warnings)
        all += warning + "\n";
    return all;
}

/// `text` with `count` of its bytes made anything.
[[nodiscard]] inline std::string withBytesFlipped(std::string text, int count, std::mt19937& random) {
    for (int flip = 0; flip < count; ++flip)
        text[random() % text.size()] = static_cast<char>(random());
    return text;
}

}  // namespace beatwitness::tests
