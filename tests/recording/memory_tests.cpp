#include <fmt/format.h>
#include <gtest/gtest.h>
#include <zlib.h>

#include <span>
#include <string>

#include "core/recording/read_recording.h"
#include "tests/support/peak_memory.h"
#include "tests/support/sound_recording.h"

namespace beatwitness::recording {
namespace {

constexpr std::size_t megabyte = std::size_t{1} << 20;

/// `parts` of `part(i)` between `head` and `tail`.
template <class Part>
std::string repeated(std::size_t parts, Part part, std::string head = "", const std::string& tail = "") {
    for (std::size_t i = 0; i < parts; ++i)
        head += part(i);
    return head + tail;
}

/// What a file holds that takes more memory for its size than any recording.
struct Dense {
    const char* name;
    std::string (*bytes)();
};

void PrintTo(const Dense& dense, std::ostream* out) {
    *out << dense.name;
}

std::string tinyRows() {
    return repeated(
        4'000'000, [](std::size_t i) { return fmt::format("{},70\n", i % 10); }, "t,hr\n");
}
std::string manyColumns() {
    return repeated(
        1'500'000, [](std::size_t i) { return fmt::format("{},70,1,2,3,4,5\n", i % 10); },
        "t,hr,cad,power,speed,alt,dist\n");
}
std::string bareIntervals() {
    return repeated(2'500'000, [](std::size_t i) { return i % 2 == 0 ? "800\n" : "790\n"; });
}
std::string timedIntervals() {
    return repeated(1'500'000, [](std::size_t i) { return fmt::format("{:.1f} 800\n", 0.8 * i); });
}
std::string jsonPairs() {
    return repeated(
        2'000'000, [](std::size_t i) { return fmt::format("[{},70],", i); }, "[", "[0,70]]");
}
std::string jsonLists() {
    const auto ones = [](const char* one) { return repeated(5'000'000, [one](std::size_t) { return one; }); };
    return R"({"t":[)" + ones("1,") + R"(1],"hr":[)" + ones("70,") + "70]}";
}
std::string gpxPoints() {
    return repeated(
        300'000, [](std::size_t) { return "<trkpt><time>2031-03-02T09:00:00Z</time><hr>70</hr></trkpt>"; },
        "<gpx><trk><trkseg>", "</trkseg></trk></gpx>");
}

/// A FIT file of `count` messages like `message` behind `definitions`.
std::string fitOf(const std::string& definitions, const std::string& message, std::size_t count) {
    const std::string content =
        definitions + repeated(count, [&message](std::size_t) -> const std::string& { return message; });
    std::string head{"\x0E\x20\x54\x08", 4};
    for (int i = 0; i < 4; ++i)
        head += static_cast<char>(content.size() >> (8 * i));
    // A head without a checksum says so by a zero; that of the file is wrong, which is a warning.
    return head + ".FIT" + std::string(2, '\0') + content + std::string(2, '\0');
}
std::string fitCompressed() {
    const std::string first{"\x40\0\0\x14\0\2\xFD\4\x86\3\1\2\0\x00\0\0\x50\x46\x43\0\0\x14\0\1\3\1\2", 27};
    return fitOf(first, "\xE1\x46", 8'000'000);
}
std::string fitIntervals() {
    const std::string first{"\x40\0\0\x14\0\2\xFD\4\x86\3\1\2\0\x00\0\0\x50\x46\x41\0\0\x4E\0\1\0\x0A\x84",
                            27};
    const std::string five{"\1\x20\3\x20\3\x20\3\x20\3\x20\3", 11};
    return fitOf(first, five, 1'500'000);
}

class DenseFile : public testing::TestWithParam<Dense> {};

// The contract of readRecording(): four times the file at most, 64 MB free; its own bytes count once.
TEST_P(DenseFile, TakesMemoryInProportion) {
    const std::string bytes = GetParam().bytes();
    std::string unsound;

    const auto peak = tests::peakMemoryOf([&] {
        const auto recording = readRecording(std::as_bytes(std::span{bytes}));
        unsound = recording ? tests::unsoundness(recording) : sentence(recording.fault());
    });

    EXPECT_EQ(unsound, "");
    if (!peak) GTEST_SKIP() << "the system does not tell how much memory was taken";
    EXPECT_LE(*peak + bytes.size(), 4 * bytes.size() + 64 * megabyte);
}

INSTANTIATE_TEST_SUITE_P(Files, DenseFile,
                         testing::Values(Dense{"tinyRows", tinyRows}, Dense{"manyColumns", manyColumns},
                                         Dense{"bareIntervals", bareIntervals},
                                         Dense{"timedIntervals", timedIntervals},
                                         Dense{"jsonPairs", jsonPairs}, Dense{"jsonLists", jsonLists},
                                         Dense{"gpxPoints", gpxPoints}, Dense{"fitCompressed", fitCompressed},
                                         Dense{"fitIntervals", fitIntervals}),
                         [](const auto& dense) { return dense.param.name; });

std::string gzipOf(const std::string& text, int level) {
    z_stream stream{};
    constexpr int gzipWindow = 15 + 16;
    if (deflateInit2(&stream, level, Z_DEFLATED, gzipWindow, 8, Z_DEFAULT_STRATEGY) != Z_OK) return {};
    std::string packed(deflateBound(&stream, text.size()), '\0');
    stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(text.data()));
    stream.avail_in = static_cast<uInt>(text.size());
    stream.next_out = reinterpret_cast<Bytef*>(packed.data());
    stream.avail_out = static_cast<uInt>(packed.size());
    deflate(&stream, Z_FINISH);
    packed.resize(stream.total_out);
    deflateEnd(&stream);
    return packed;
}

TEST(PackedFile, TakesMemoryInProportionToWhatItUnpacksTo) {
    const std::string text = tinyRows();
    const std::string packed = gzipOf(text, 1);

    const auto peak = tests::peakMemoryOf(
        [&] { EXPECT_EQ(tests::unsoundness(readRecording(std::as_bytes(std::span{packed}))), ""); });

    if (!peak) GTEST_SKIP() << "the system does not tell how much memory was taken";
    EXPECT_LE(*peak, 4 * text.size() + 64 * megabyte);
}

// 200 MB of zeros pack to 200 kB, and may unpack to 200 times that and 64 MB.
TEST(PackedFile, IsRefusedBeforeABombTakesItsMemory) {
    const std::string packed = gzipOf(std::string(200'000'000, '\0'), 9);
    std::optional<FaultCode> code;

    const auto peak = tests::peakMemoryOf([&] {
        const auto recording = readRecording(std::as_bytes(std::span{packed}));
        if (!recording) code = recording.fault().code;
    });

    EXPECT_EQ(code, FaultCode::TooLong);
    if (!peak) GTEST_SKIP() << "the system does not tell how much memory was taken";
    EXPECT_LE(*peak, 200 * packed.size() + 2 * 64 * megabyte);
}

}  // namespace
}  // namespace beatwitness::recording
