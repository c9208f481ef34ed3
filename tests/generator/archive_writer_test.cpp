#include "tests/support/archive_writer.h"

#include <gtest/gtest.h>

#include "core/recording/archive_gzip.h"
#include "tests/support/generator_random.h"

namespace beatwitness::tests {
namespace {

std::vector<std::byte> bytesOf(std::string_view text) {
    const auto bytes = std::as_bytes(std::span{text.data(), text.size()});
    return {bytes.begin(), bytes.end()};
}

// CRC-32 of "123456789" is the check value that descriptions of the checksum give: 0xCBF43926.
TEST(GzipWriter, EndsWithTheChecksumAndTheLength) {
    const auto bytes = writeGzip("digits", bytesOf("123456789"));

    const std::vector<std::byte> last(bytes.end() - 8, bytes.end());
    EXPECT_EQ(last, (std::vector{std::byte{0x26}, std::byte{0x39}, std::byte{0xF4}, std::byte{0xCB},
                                 std::byte{9}, std::byte{0}, std::byte{0}, std::byte{0}}));
}

// By hand after RFC 1951: bits 1, 01 (last block, fixed codes); "a" is 10010001; the end is 0000000.
TEST(DeflateWriter, OneLetterIsTheBitsOfTheStandard) {
    EXPECT_EQ(deflated(bytesOf("a")), (std::vector{std::byte{0x4B}, std::byte{0x04}, std::byte{0x00}}));
}

/// Text like measurements, runs, and matches from near to as far away as the window reaches.
std::vector<std::byte> allSortsOfBytes() {
    RandomStream random{7, "bytes to pack"};
    std::string text(1000, 'x');
    for (int i = 0; i < 40000; ++i)
        text += static_cast<char>(random.integer(0, 255));
    for (int i = 0; i < 4000; ++i)
        text += text.substr(text.size() - static_cast<std::size_t>(random.integer(3, 32768)),
                            static_cast<std::size_t>(random.integer(1, 300)));
    return bytesOf(text);
}

// zlib, behind gunzip(), is the judge.
TEST(GzipWriter, UnpacksToWhatWasPacked) {
    const auto content = allSortsOfBytes();

    const auto unpacked = recording::gunzip(writeGzip("all sorts", content), content.size() + 1, {});

    ASSERT_TRUE(unpacked);
    EXPECT_TRUE(unpacked->bytes == content);
}

TEST(DeflateWriter, TakesAFifthOfATextOfMeasurements) {
    std::string text;
    for (int second = 0; second < 2000; ++second)
        text += "2031-03-03T06:" + std::to_string(10 + second / 60 % 50) + ":" +
                std::to_string(10 + second % 50) + ".000Z," + std::to_string(120 + second % 7) + "\n";

    EXPECT_LT(deflated(bytesOf(text)).size(), text.size() / 5);
}

}  // namespace
}  // namespace beatwitness::tests
