#include "core/library/column_codec.h"

#include <gtest/gtest.h>

#include <bit>
#include <cmath>
#include <limits>
#include <random>

using namespace beatwitness;
using library::ColumnDecoder;
using library::ColumnEncoder;

namespace {

std::vector<RecordingTime> timesOf(const std::vector<std::int64_t>& micros) {
    std::vector<RecordingTime> times;
    for (const auto value : micros)
        times.emplace_back(Micros{value});
    return times;
}

/// Equal bit for bit: NaN equals itself, and 0 is not -0.
bool sameBits(const std::vector<double>& a, const std::vector<double>& b) {
    if (a.size() != b.size()) return false;
    for (std::size_t i = 0; i < a.size(); ++i)
        if (std::bit_cast<std::uint64_t>(a[i]) != std::bit_cast<std::uint64_t>(b[i])) return false;
    return true;
}

/// Columns of many shapes: steady, jittered, any number, a few extremes.
std::vector<std::int64_t> randomMicros(std::mt19937_64& random) {
    const auto rows = random() % 200;
    const auto shape = random() % 4;
    const auto unit = std::int64_t{1} << random() % 25;
    std::vector<std::int64_t> column;
    auto at = static_cast<std::int64_t>(random() >> random() % 64);
    for (std::size_t i = 0; i < rows; ++i) {
        if (shape == 0) at += unit;
        if (shape == 1) at += unit * static_cast<std::int64_t>(random() % 5) - unit;
        if (shape == 2) at = static_cast<std::int64_t>(random());
        if (shape == 3)
            at = random() % 2 ? std::numeric_limits<std::int64_t>::min()
                              : std::numeric_limits<std::int64_t>::max();
        column.push_back(at);
    }
    return column;
}

std::vector<double> randomValues(std::mt19937_64& random) {
    const auto rows = random() % 200;
    const auto shape = random() % 6;
    constexpr double scales[]{1, 10, 100, 1000};
    std::vector<double> column;
    for (std::size_t i = 0; i < rows; ++i) {
        const auto whole = static_cast<double>(static_cast<std::int64_t>(random() % 100000) - 50000);
        if (shape < 4) column.push_back(whole / scales[shape]);
        if (shape == 4) column.push_back(std::bit_cast<double>(random()));
        if (shape == 5) column.push_back(i % 3 == 0 ? -0.0 : i % 3 == 1 ? std::nan("") : 9007199254740993.0);
    }
    return column;
}

}  // namespace

TEST(ColumnCodec, AnyTimesComeBackExactly) {
    std::mt19937_64 random{20310302};
    ColumnEncoder encoder;
    ColumnDecoder decoder;

    for (int trial = 0; trial < 2000; ++trial) {
        const auto times = timesOf(randomMicros(random));

        const auto back = decoder.times(encoder.encode(times));

        ASSERT_TRUE(back) << trial;
        ASSERT_EQ(*back, times) << trial;
    }
}

TEST(ColumnCodec, AnyValuesComeBackBitForBit) {
    std::mt19937_64 random{20310303};
    ColumnEncoder encoder;
    ColumnDecoder decoder;

    for (int trial = 0; trial < 2000; ++trial) {
        const auto values = randomValues(random);

        const auto back = decoder.values(encoder.encode(values));

        ASSERT_TRUE(back) << trial;
        ASSERT_TRUE(sameBits(*back, values)) << trial;
    }
}

// The scheme of the performance goals: 42 MB for 20,000 recordings of 3,600 samples, 2.1 kB each.
TEST(ColumnCodec, AnHourOfHeartRateTakesNoMoreThanTheScheme) {
    std::mt19937_64 random{5};
    std::normal_distribution<double> step{0, 1}, noise{0, 2};
    std::vector<std::int64_t> micros;
    std::vector<double> reference, test;
    double rate = 130;
    for (int second = 0; second < 3600; ++second) {
        micros.push_back(1930380000000000 + second * std::int64_t{1000000});
        rate = std::clamp(rate + 0.3 * step(random), 40.0, 210.0);
        reference.push_back(std::floor(rate));
        test.push_back(std::floor(std::clamp(rate + noise(random), 40.0, 210.0)));
    }
    ColumnEncoder encoder;

    const auto bytes = 2 * encoder.encode(timesOf(micros)).size() + encoder.encode(reference).size() +
                       encoder.encode(test).size();

    EXPECT_LE(bytes, 2u * 2100u);
}

TEST(ColumnCodec, ATenthIsStoredAsSmallAsAWholeNumber) {
    std::vector<double> wholes, tenths;
    for (int i = 0; i < 3600; ++i) {
        wholes.push_back(1200 + i * 37 % 11);
        tenths.push_back(wholes.back() / 10);
    }
    ColumnEncoder encoder;

    const auto wholeSize = encoder.encode(wholes).size(), tenthSize = encoder.encode(tenths).size();

    EXPECT_LE(tenthSize, wholeSize + 8);
}

TEST(ColumnCodec, EveryFlippedByteIsNoticed) {
    ColumnEncoder encoder;
    ColumnDecoder decoder;
    const std::vector<double> values{120, 121, 121, 122, 120, 119, 118};
    const auto sound = encoder.encode(values);

    for (std::size_t at = 0; at < sound.size(); ++at)
        for (const unsigned flip : {0x01u, 0x80u, 0xFFu}) {
            auto damaged = sound;
            damaged[at] ^= static_cast<std::byte>(flip);
            const auto back = decoder.values(damaged);
            // A few bits of the frame's head mean nothing: then what comes back is still right.
            EXPECT_TRUE(!back || sameBits(*back, values)) << at;
        }
}

TEST(ColumnCodec, EveryTruncationIsNoticed) {
    ColumnEncoder encoder;
    ColumnDecoder decoder;
    const auto sound = encoder.encode(timesOf({0, 1000000, 2000000, 5000000}));

    for (std::size_t size = 0; size < sound.size(); ++size)
        EXPECT_FALSE(decoder.times(std::span{sound}.first(size))) << size;
}

TEST(ColumnCodec, RandomBytesAreNoColumn) {
    std::mt19937_64 random{7};
    ColumnDecoder decoder;

    for (int trial = 0; trial < 2000; ++trial) {
        std::vector<std::byte> noise(random() % 100);
        for (auto& byte : noise)
            byte = static_cast<std::byte>(random());
        EXPECT_FALSE(decoder.times(noise));
        EXPECT_FALSE(decoder.values(noise));
    }
}

// A sound frame around nonsense: the checksum does not help, head and length must be looked at.
TEST(ColumnCodec, SoundFramesAroundNonsenseAreNoColumn) {
    std::mt19937_64 random{8};
    ColumnDecoder decoder;
    library::FramePacker packer;

    for (int trial = 0; trial < 2000; ++trial) {
        std::vector<std::byte> noise(random() % 60);
        for (auto& byte : noise)
            byte = static_cast<std::byte>(random());
        if (!noise.empty()) noise[0] = static_cast<std::byte>("TSR"[trial % 3]);
        EXPECT_FALSE(decoder.times(packer.pack(noise, 1)));
        EXPECT_FALSE(decoder.values(packer.pack(noise, 1)));
    }
}

TEST(ColumnCodec, TimesAreNotTakenForValues) {
    ColumnEncoder encoder;
    ColumnDecoder decoder;

    const auto times = encoder.encode(timesOf({1, 2, 3}));

    EXPECT_FALSE(decoder.values(times));
}
