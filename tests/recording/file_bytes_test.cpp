#include "core/recording/file_bytes.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "core/recording/digest.h"
#include "core/recording/read_recording.h"

using namespace beatwitness;
namespace fs = std::filesystem;

namespace {

class FileBytes : public testing::Test {
protected:
    void SetUp() override {
        folder_ = fs::temp_directory_path() / ("beatwitness-bytes-" + std::to_string(::getpid()));
        fs::create_directories(folder_);
    }
    void TearDown() override { fs::remove_all(folder_); }

    fs::path file(const std::string& text) {
        const auto path = folder_ / "file.csv";
        std::ofstream{path, std::ios::binary} << text;
        return path;
    }

    FaultCode codeFor(const fs::path& path) {
        const auto bytes = recording::fileBytes(path);
        EXPECT_FALSE(bytes);
        EXPECT_EQ(bytes.fault().file, path.string());
        return bytes.fault().code;
    }

    fs::path folder_;
};

}  // namespace

TEST_F(FileBytes, AreThoseOfTheFile) {
    const auto bytes = recording::fileBytes(file(std::string("a\0b", 3)));

    ASSERT_TRUE(bytes);
    EXPECT_EQ(bytes->size(), 3u);
    EXPECT_EQ(bytes->data()[1], std::byte{0});
    EXPECT_EQ(bytes->data()[2], std::byte{'b'});
}

TEST_F(FileBytes, SayWhatStandsInTheWay) {
    EXPECT_EQ(codeFor(folder_ / "missing"), FaultCode::NotFound);
    EXPECT_EQ(codeFor(folder_), FaultCode::NotAFile);
    EXPECT_EQ(codeFor("/dev/zero"), FaultCode::NotAFile);
    EXPECT_EQ(codeFor(file("")), FaultCode::Empty);
}

TEST_F(FileBytes, SayThatPermissionIsMissing) {
    if (::geteuid() == 0) GTEST_SKIP() << "root may read everything";
    const auto path = file("secret");
    fs::permissions(path, fs::perms::none);

    EXPECT_EQ(codeFor(path), FaultCode::NotReadable);
}

TEST_F(FileBytes, StopWhenAsked) {
    std::stop_source source;
    source.request_stop();

    const auto bytes = recording::fileBytes(file("abc"), {source.get_token(), {}});

    ASSERT_FALSE(bytes);
    EXPECT_EQ(bytes.fault().code, FaultCode::Cancelled);
}

// FIPS 180-2, appendix B.1.
TEST(Digest, IsTheSha256OfTheStandardsExample) {
    const std::string text = "abc";

    EXPECT_EQ(recording::sha256(std::as_bytes(std::span{text})),
              "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

TEST_F(FileBytes, ARecordingFileCarriesItsPathAndDigest) {
    const auto path = file("timestamp,hr\n1930380000,120\n1930380001,121\n");

    const auto recording = recording::readRecordingFile(path);

    ASSERT_TRUE(recording) << sentence(recording.fault());
    EXPECT_EQ(recording->file, path.string());
    EXPECT_EQ(recording->sha256.size(), 64u);
    EXPECT_EQ(recording->recording.rows, 2u);
}
