#include <archive.h>
#include <archive_entry.h>
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <random>
#include <span>
#include <string>
#include <vector>

#include "core/foundation/text.h"
#include "core/recording/archive.h"
#include "core/recording/read_recording.h"

namespace beatwitness::recording {
namespace {

struct Packed {
    std::string name;
    std::string content;
};

/// Written by the library itself, whose reading is not what is tested here.
std::string packed(const std::vector<Packed>& files, bool isZip, const char* options = nullptr,
                   const char* password = nullptr) {
    std::size_t room = 1 << 20;
    for (const Packed& file : files)
        room += file.content.size() + 1000;
    std::string out(room, '\0');
    std::size_t used = 0;
    archive* a = archive_write_new();
    if (isZip) {
        archive_write_set_format_zip(a);
    } else {
        archive_write_add_filter_gzip(a);
        archive_write_set_format_raw(a);
    }
    if (options != nullptr) archive_write_set_options(a, options);
    if (password != nullptr) archive_write_set_passphrase(a, password);
    archive_write_set_bytes_in_last_block(a, 1);
    archive_write_open_memory(a, out.data(), out.size(), &used);
    for (const Packed& file : files) {
        archive_entry* entry = archive_entry_new();
        archive_entry_set_pathname(entry, file.name.c_str());
        archive_entry_set_size(entry, static_cast<la_int64_t>(file.content.size()));
        archive_entry_set_filetype(entry, file.name.ends_with('/') ? AE_IFDIR : AE_IFREG);
        archive_entry_set_perm(entry, 0644);
        archive_write_header(a, entry);
        archive_write_data(a, file.content.data(), file.content.size());
        archive_entry_free(entry);
    }
    archive_write_close(a);
    archive_write_free(a);
    out.resize(used);
    return out;
}

std::string zip(const std::vector<Packed>& files) {
    return packed(files, true);
}
std::string gzip(const std::string& content) {
    return packed({{"data", content}}, false);
}

Result<Recording> read(std::string_view bytes) {
    return readRecording(std::as_bytes(std::span{bytes.data(), bytes.size()}));
}

std::string shown(const Result<Recording>& recording) {
    if (!recording) return sentence(recording.fault());
    const Channel* channel = recording->channel(ChannelKind::HeartRate);
    std::string text{formatName(recording->format)};
    if (channel != nullptr)
        for (const double value : channel->values)
            text += fmt::format(" {}", value);
    return text;
}

std::string warnings(const Result<Recording>& recording) {
    if (!recording) return sentence(recording.fault());
    std::string all;
    for (const auto& warning : recording->warnings)
        all += warning + "\n";
    return all;
}

const std::string table = "time,hr\n1,71\n2,72\n";
const std::string track =
    "<gpx><trk><trkseg><trkpt><time>2031-03-02T09:00:00Z</time><hr>81</hr></trkpt></trkseg></trk></gpx>";

TEST(Gzip, GivesTheRecordingInside) {
    EXPECT_EQ(shown(read(gzip(table))), "csv 71 72");
    EXPECT_EQ(shown(read(gzip(track))), "gpx 81");
}

TEST(Gzip, GivesAllItsMembersAsOneText) {
    EXPECT_EQ(shown(read(gzip("time,hr\n1,71\n") + gzip("2,72\n"))), "csv 71 72");
}

TEST(Zip, GivesTheOnlyRecordingAmongOtherFiles) {
    const auto recording = read(zip({{"logs/", ""},
                                     {"readme.txt", "nothing to see here"},
                                     {"__MACOSX/._walk.gpx", table},
                                     {"logs/walk.gpx", track},
                                     {"empty", ""}}));

    EXPECT_EQ(shown(recording), "gpx 81");
    EXPECT_EQ(warnings(recording), "");
    EXPECT_EQ(recording->guessed.back().second, "logs/walk.gpx");
}

TEST(Zip, OfSeveralRecordingsTakesTheFirstWithAHeartRateAndNamesTheOthers) {
    const auto recording =
        read(zip({{"steps.csv", "time,cadence\n1,80\n2,81\n"}, {"strap.csv", table}, {"watch.gpx", track}}));

    EXPECT_EQ(shown(recording), "csv 71 72");
    EXPECT_NE(
        warnings(recording).find("3 recordings; \"strap.csv\" was read, not \"steps.csv\", \"watch.gpx\""),
        std::string::npos)
        << warnings(recording);
}

TEST(Zip, MayHoldOneArchiveButNotAnArchiveInIt) {
    EXPECT_EQ(shown(read(zip({{"a.gz", gzip(table)}}))), "csv 71 72");

    const auto nested = read(zip({{"b.zip", zip({{"a.gz", gzip(table)}})}}));

    ASSERT_FALSE(nested);
    EXPECT_EQ(nested.fault().code, FaultCode::UnknownFormat);
}

TEST(Zip, WithoutARecordingIsRefusedWithTheReason) {
    const auto recording = read(zip({{"a.html", "<html/>"}, {"b.bin", std::string("\0\1\2\3", 4)}}));

    ASSERT_FALSE(recording);
    EXPECT_EQ(recording.fault().code, FaultCode::UnknownFormat);
    EXPECT_NE(recording.fault().message.find("none of the 2 files"), std::string::npos)
        << recording.fault().message;
    EXPECT_NE(recording.fault().message.find("a.html"), std::string::npos);
}

TEST(Zip, WithoutAFileIsRefused) {
    ASSERT_FALSE(read(zip({})));
    ASSERT_FALSE(read(zip({{"logs/", ""}})));
}

TEST(Zip, ThatIsEncryptedIsRefused) {
    const auto recording = read(packed({{"strap.csv", table}}, true, "zip:encryption=traditional", "secret"));

    ASSERT_FALSE(recording);
    EXPECT_EQ(recording.fault().code, FaultCode::NotReadable);
    EXPECT_NE(recording.fault().message.find("encrypted"), std::string::npos);
}

TEST(Archives, ThatUnpackBeyondTwoHundredTimesTheirSizeAreRefused) {
    const std::string bomb(100'000'000, ' ');

    for (const std::string& bytes : {gzip(bomb), zip({{"a.csv", bomb}})}) {
        const auto recording = read(bytes);
        ASSERT_FALSE(recording);
        EXPECT_EQ(recording.fault().code, FaultCode::TooLong) << recording.fault().message;
    }
}

TEST(Archives, ThatUnpackBeyondItInPartsAreRefused) {
    std::vector<Packed> files;
    for (int i = 0; i < 10; ++i)
        files.push_back({fmt::format("{}.csv", i), std::string(10'000'000, ' ')});

    const auto recording = read(zip(files));

    ASSERT_FALSE(recording);
    EXPECT_EQ(recording.fault().code, FaultCode::TooLong);
}

TEST(Archives, OfMoreThanAThousandFilesAreLookedAtThatFar) {
    std::vector<Packed> files{{"strap.csv", table}};
    for (int i = 0; i < 1200; ++i)
        files.push_back({fmt::format("{}.bin", i), std::string("\0\1\2", 3)});

    const auto recording = read(zip(files));

    EXPECT_EQ(shown(recording), "csv 71 72");
    EXPECT_NE(warnings(recording).find("more than 1000 files"), std::string::npos) << warnings(recording);
}

std::string longTable() {
    std::mt19937 random{7};
    std::string text = "time,hr\n";
    for (int i = 0; i < 20'000; ++i)
        text += fmt::format("{},{}\n", i, 60 + random() % 100);
    return text;
}

TEST(TruncatedArchives, YieldWhatStandsBeforeTheCut) {
    for (const std::string& whole : {gzip(longTable()), zip({{"a.csv", longTable()}})}) {
        const auto recording = read(std::string_view{whole}.substr(0, whole.size() / 2));

        ASSERT_TRUE(recording) << sentence(recording.fault());
        EXPECT_GT(recording->channel(ChannelKind::HeartRate)->values.size(), 5'000u);
        EXPECT_NE(warnings(recording).find("damaged"), std::string::npos) << warnings(recording);
    }
}

TEST(TruncatedArchives, ReadOrFaultWhereverTheyAreCut) {
    for (const std::string& whole : {gzip(table), zip({{"a.csv", table}, {"b.gpx", track}})})
        for (std::size_t length = 1; length < whole.size(); ++length) {
            const auto recording = read(std::string_view{whole}.substr(0, length));
            EXPECT_TRUE(recording || !recording.fault().message.empty());
        }
}

TEST(DamagedArchives, ReadOrFaultWithAnyBytesFlipped) {
    std::mt19937 random{20310302};
    const std::string wholes[] = {gzip(table), zip({{"a.csv", table}, {"b.gpx", track}})};

    for (int attempt = 0; attempt < 3000; ++attempt) {
        std::string damaged = wholes[attempt % 2];
        for (int flip = 0; flip < 1 + attempt % 5; ++flip)
            damaged[4 + random() % (damaged.size() - 4)] = static_cast<char>(random());
        const auto recording = read(damaged);
        EXPECT_TRUE(recording || !recording.fault().message.empty());
    }
}

}  // namespace
}  // namespace beatwitness::recording
