// The verb `add` as another program sees it.

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "core/library/library.h"
#include "tests/verbs/verb_run.h"

using namespace beatwitness;
using library::Role;
using library::WearingOutcome;
using nlohmann::json;
using tests::Ran;
using tests::run;
namespace fs = std::filesystem;

namespace {

class AddVerb : public testing::Test {
protected:
    void SetUp() override {
        folder_ = fs::temp_directory_path() / ("beatwitness-add-" + std::to_string(::getpid()));
        fs::remove_all(folder_);
        fs::create_directories(folder_ / "files");
        for (const auto* name : {"strap", "band", "watch", "strap2"})
            write(std::string{"files/"} + name + ".csv", recordingText(name));
    }
    void TearDown() override { fs::remove_all(folder_); }

    /// Five minutes from 2031-03-04T08:40:00Z; the name makes the bytes its own.
    static std::string recordingText(const std::string& name) {
        std::string text = "timestamp,hr," + name + "\n";
        for (int second = 0; second < 300; ++second)
            text += std::to_string(1930380000 + second) + "," + std::to_string(100 + second % 50) + ",1\n";
        return text;
    }
    std::string write(const std::string& name, const std::string& text) {
        std::ofstream{folder_ / name} << text;
        return path(name);
    }
    [[nodiscard]] std::string path(const std::string& name) const { return (folder_ / name).string(); }
    [[nodiscard]] std::string libraryPath() const { return path("harbour.library"); }

    Ran addPair(std::vector<std::string> more = {}) {
        std::vector<std::string> words{"add",
                                       "--library",
                                       libraryPath(),
                                       "--session",
                                       "Tuesday",
                                       "--activity",
                                       "hill walk",
                                       "--reference",
                                       "strap=" + path("files/strap.csv"),
                                       "--test",
                                       "band=" + path("files/band.csv")};
        words.insert(words.end(), more.begin(), more.end());
        return run(words);
    }
    Ran addManifest(const json& manifest, std::vector<std::string> more = {}) {
        const auto file = write("manifest.json", manifest.dump());
        std::vector<std::string> words{"add", "--library", libraryPath(), "--manifest", file};
        words.insert(words.end(), more.begin(), more.end());
        return run(words);
    }
    std::vector<library::SessionRow> stored(std::string_view project = library::defaultProject) {
        auto library = library::Library::open(libraryPath());
        EXPECT_TRUE(library) << sentence(library.fault());
        const auto id = library->findProject(project);
        EXPECT_TRUE(id);
        return id ? *library->sessionsOf(*id) : std::vector<library::SessionRow>{};
    }

    fs::path folder_;
};

json pairManifest() {
    return {{"schema", "beatwitness.manifest/1"},
            {"sessions",
             {{{"name", "Tuesday"},
               {"wearings",
                {{{"role", "reference"}, {"device", "strap"}, {"file", "files/strap.csv"}},
                 {{"role", "test"}, {"device", "band"}, {"file", "files/band.csv"}}}}}}}};
}

}  // namespace

TEST_F(AddVerb, StoresAPairInAllSessions) {
    const auto ran = addPair();

    ASSERT_EQ(ran.code, 0) << ran.err;
    const auto sessions = stored();
    ASSERT_EQ(sessions.size(), 1u);
    EXPECT_EQ(sessions[0].name, "Tuesday");
    EXPECT_EQ(sessions[0].activity, "hill walk");
    ASSERT_EQ(sessions[0].wearings.size(), 2u);
    EXPECT_EQ(sessions[0].wearings[0].role, Role::Reference);
    EXPECT_EQ(sessions[0].wearings[1].deviceLabel, "band");
}

TEST_F(AddVerb, JsonSaysWhatWasStored) {
    const auto ran = addPair({"--json", "--project", "Harbour Crew"});

    ASSERT_EQ(ran.code, 0) << ran.err;
    const auto printed = ran.parsed();
    EXPECT_EQ(printed["schema"], "beatwitness.add/1");
    EXPECT_EQ(printed["library"], libraryPath());
    EXPECT_EQ(printed["project"], "Harbour Crew");
    EXPECT_EQ(printed["sessions"][0]["name"], "Tuesday");
    EXPECT_EQ(printed["sessions"][0]["wearings"], 2);
    EXPECT_EQ(printed["sessions"][0]["already_stored"], json::array());
    EXPECT_EQ(printed["sessions"][0]["id"], stored("Harbour Crew")[0].id.value);
}

TEST_F(AddVerb, TheSameAgainIsNothingNewAndSaysSo) {
    addPair();

    const auto ran = addPair();
    const auto again = addPair({"--json"});

    EXPECT_EQ(ran.code, 0);
    EXPECT_NE(ran.out.find("nothing new"), std::string::npos) << ran.out;
    EXPECT_EQ(again.parsed()["sessions"][0]["already_stored"],
              json::array({path("files/strap.csv"), path("files/band.csv")}));
    EXPECT_EQ(stored().size(), 1u);
}

TEST_F(AddVerb, AFurtherReferenceIsASecondReference) {
    const auto ran = addPair({"--reference", "spare=" + path("files/strap2.csv")});

    ASSERT_EQ(ran.code, 0) << ran.err;
    const auto wearings = stored()[0].wearings;
    ASSERT_EQ(wearings.size(), 3u);
    EXPECT_EQ(wearings[0].deviceLabel, "strap");
    EXPECT_EQ(wearings[1].deviceLabel, "spare");
    EXPECT_EQ(wearings[1].role, Role::Reference);
}

TEST_F(AddVerb, TheDeviceEndsAtTheFirstEqualsSign) {
    const auto file = write("a=b.csv", recordingText("odd"));

    const auto ran = addPair({"--test", "my watch=" + file});

    ASSERT_EQ(ran.code, 0) << ran.err;
    EXPECT_EQ(stored()[0].wearings[2].deviceLabel, "my watch");
}

TEST_F(AddVerb, AFileThatCannotBeReadLeavesNoNewLibrary) {
    const auto ran = addPair({"--test", "watch=" + path("absent.fit"), "--json"});

    EXPECT_EQ(ran.code, 3);
    EXPECT_EQ(ran.parsed()["error"]["file"], path("absent.fit"));
    EXPECT_FALSE(fs::exists(libraryPath()));
}

TEST_F(AddVerb, AFileThatCannotBeReadLeavesALibraryAsItWas) {
    addPair();
    auto manifest = pairManifest();
    manifest["sessions"][0]["name"] = "Wednesday";
    manifest["sessions"].push_back(manifest["sessions"][0]);
    manifest["sessions"][1]["wearings"][1]["file"] = "absent.csv";

    const auto ran = addManifest(manifest);

    EXPECT_EQ(ran.code, 3);
    EXPECT_NE(ran.err.find("absent.csv"), std::string::npos);
    EXPECT_EQ(stored().size(), 1u);
}

TEST_F(AddVerb, AFileThatIsNoLibraryIsFourAndStaysAsItIs) {
    write("harbour.library", "my notes");

    const auto ran = addPair({"--json"});

    EXPECT_EQ(ran.code, 4);
    EXPECT_EQ(ran.parsed()["error"]["code"], "library-foreign");
    EXPECT_EQ(fs::file_size(libraryPath()), 8u);
}

TEST_F(AddVerb, ALibraryOpenInAWindowIsFour) {
    addPair();
    auto window = library::Library::open(libraryPath());
    ASSERT_TRUE(window);

    const auto ran = addPair({"--project", "other", "--json"});

    EXPECT_EQ(ran.code, 4);
    EXPECT_EQ(ran.parsed()["error"]["code"], "library-locked");
}

TEST_F(AddVerb, WrongUsageIsTwo) {
    for (const auto& words : std::vector<std::vector<std::string>>{
             {"add"},
             {"add", "--library", libraryPath()},
             {"add", "--library", libraryPath(), "--session", "a", "--activity", "b", "--reference", "strap",
              "--test", "band=x"},
             {"add", "--library", libraryPath(), "--session", "a", "--activity", "b", "--reference", "=x",
              "--test", "band=x"},
             {"add", "--library", libraryPath(), "--session", "a", "--manifest", "m.json"}}) {
        const auto ran = run(words);

        EXPECT_EQ(ran.code, 2) << words.size();
        EXPECT_FALSE(ran.err.empty());
    }
    EXPECT_FALSE(fs::exists(libraryPath()));
}

TEST_F(AddVerb, AManifestSaysEverythingOfAWearing) {
    const auto ran = addManifest(
        {{"schema", "beatwitness.manifest/1"},
         {"project", "Harbour Crew"},
         {"sessions",
          {{{"name", "Tuesday"},
            {"activity", "kettlebell circuit"},
            {"wearer", "W1"},
            {"note", "cold"},
            {"wearings",
             {{{"role", "reference"}, {"device", "strap"}, {"file", "files/strap.csv"}},
              {{"role", "test"},
               {"device", "band"},
               {"unit", "u2"},
               {"file", path("files/band.csv")},
               {"firmware", "4.2"},
               {"position", "forearm"},
               {"side", "left"},
               {"tightness", "snug"},
               {"mode", "strength"},
               {"outcome", "recorded"}},
              {{"role", "test"}, {"device", "watch"}, {"outcome", "failed"}, {"reason", "no start"}},
              {{"role", "context"}, {"device", "pod"}, {"file", "files/watch.csv"}}}}}}}});

    ASSERT_EQ(ran.code, 0) << ran.err;
    EXPECT_TRUE(ran.err.empty()) << ran.err;
    const auto session = stored("Harbour Crew").at(0);
    EXPECT_EQ(session.wearer + session.note + session.activity, "W1coldkettlebell circuit");
    ASSERT_EQ(session.wearings.size(), 4u);
    const auto& facts = session.wearings[1].facts;
    EXPECT_EQ(facts.unit + facts.firmware + facts.position, "u24.2forearm");
    EXPECT_EQ(facts.side + facts.tightness + facts.mode, "leftsnugstrength");
    EXPECT_EQ(session.wearings[2].outcome, WearingOutcome::Failed);
    EXPECT_EQ(session.wearings[2].reason, "no start");
    EXPECT_EQ(session.wearings[3].role, Role::Context);
}

TEST_F(AddVerb, AWearingWithoutAFileIsAnAttemptThatFailed) {
    auto manifest = pairManifest();
    manifest["sessions"][0]["wearings"][1].erase("file");

    ASSERT_EQ(addManifest(manifest).code, 0);

    EXPECT_EQ(stored()[0].wearings[1].outcome, WearingOutcome::Failed);
}

TEST_F(AddVerb, AWearingMayDrawFromSeveralFilesAndASpan) {
    auto manifest = pairManifest();
    auto& band = manifest["sessions"][0]["wearings"][1];
    band.erase("file");
    band["files"] = {"files/band.csv", "files/watch.csv"};
    // 2031-03-04T08:40:00Z is epoch 1930380000: the span keeps 08:40:10 to 08:40:19, ten samples of each
    // file.
    band["span"] = {{"start", "2031-03-04T09:40:10+01:00"}, {"end", "2031-03-04T08:40:19Z"}};

    ASSERT_EQ(addManifest(manifest).code, 0);

    const auto row = stored()[0].wearings[1];
    EXPECT_EQ(row.recordings.size(), 2u);
    auto library = library::Library::open(libraryPath());
    const auto drawn = library->loadWearing(row);
    ASSERT_TRUE(drawn) << drawn.fault().message;
    const auto* rates = drawn->recording.channel(recording::ChannelKind::HeartRate);
    ASSERT_NE(rates, nullptr);
    EXPECT_EQ(rates->times.size(), 20u);
    EXPECT_EQ(rates->times.front(), RecordingTime{Micros{1930380010 * std::int64_t{1000000}}});
}

TEST_F(AddVerb, TheProjectOnTheCommandLineLeads) {
    auto manifest = pairManifest();
    manifest["project"] = "in the manifest";

    addManifest(manifest, {"--project", "on the line"});

    EXPECT_EQ(stored("on the line").size(), 1u);
}

TEST_F(AddVerb, AManifestThatCannotBeSaysWhere) {
    auto role = pairManifest(), device = pairManifest(), span = pairManifest(), said = pairManifest(),
         name = pairManifest(), other = pairManifest();
    role["sessions"][0]["wearings"][1]["role"] = "judge";
    device["sessions"][0]["wearings"][1].erase("device");
    span["sessions"][0]["wearings"][1]["span"] = {{"start", "yesterday"}};
    said["sessions"][0]["wearings"][1] = {{"role", "test"}, {"device", "band"}, {"outcome", "recorded"}};
    name["sessions"][0]["name"] = 7;
    other["schema"] = "beatwitness.manifest/9";
    const std::vector<std::pair<json, std::string>> cases{{role, "sessions[0].wearings[1].role"},
                                                          {device, "sessions[0].wearings[1].device"},
                                                          {span, "sessions[0].wearings[1].span.start"},
                                                          {said, "sessions[0].wearings[1].outcome"},
                                                          {name, "sessions[0].name"},
                                                          {other, "schema"},
                                                          {json::array(), "the manifest"},
                                                          {json::object(), "sessions"}};

    for (const auto& [manifest, place] : cases) {
        const auto ran = addManifest(manifest);

        EXPECT_EQ(ran.code, 3) << place;
        EXPECT_NE(ran.err.find(place + ":"), std::string::npos) << ran.err;
        EXPECT_FALSE(fs::exists(libraryPath())) << place;
    }
}

TEST_F(AddVerb, TextThatIsNotJsonIsSaidWithItsByte) {
    const auto file = write("manifest.json", R"({"sessions": [})");

    const auto ran = run({"add", "--library", libraryPath(), "--manifest", file});

    EXPECT_EQ(ran.code, 3);
    EXPECT_NE(ran.err.find("manifest.json, byte 14"), std::string::npos) << ran.err;
}

TEST_F(AddVerb, AManifestThatIsNotThereIsThree) {
    const auto ran = run({"add", "--library", libraryPath(), "--manifest", path("absent.json")});

    EXPECT_EQ(ran.code, 3);
    EXPECT_NE(ran.err.find("a manifest was expected"), std::string::npos) << ran.err;
}

TEST_F(AddVerb, ARecordingWithoutHeartRateIsStoredAndTold) {
    const auto file = write("steps.csv", "timestamp,cadence\n1930380000,80\n1930380001,81\n");

    const auto ran = addPair({"--test", "watch=" + file});

    EXPECT_EQ(ran.code, 0);
    EXPECT_NE(ran.err.find("steps.csv: it holds no valid heart rate"), std::string::npos) << ran.err;
    EXPECT_EQ(stored()[0].wearings.size(), 3u);
}

TEST_F(AddVerb, AKeyThatMeansNothingIsTold) {
    auto manifest = pairManifest();
    manifest["sessions"][0]["wearings"][1]["firmwear"] = "4.2";

    const auto ran = addManifest(manifest);

    EXPECT_EQ(ran.code, 0);
    EXPECT_NE(ran.err.find("firmwear"), std::string::npos);
}

TEST_F(AddVerb, TheReadingOptionsCount) {
    const auto file = write("two.csv", "timestamp,hr,bpm\n1930380000,100,150\n1930380001,101,151\n");

    const auto ran = addPair({"--test", "watch=" + file, "--rate-column", "hr"});

    ASSERT_EQ(ran.code, 0) << ran.err;
    auto library = library::Library::open(libraryPath());
    const auto drawn = library->loadWearing(stored()[0].wearings[2]);
    EXPECT_EQ(drawn->recording.channel(recording::ChannelKind::HeartRate)->values[0], 100);
}
