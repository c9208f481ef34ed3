#include "core/library/import_plan.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/library/import_fixture.h"

using namespace beatwitness;
using library::FileState;
using library::ImportPlan;
using library::LibraryKnowledge;
using library::OfferedFile;
using library::proposeImport;
using library::Role;
using tests::FileMaker;
using tests::fileOf;
using tests::filesBySession;
using tests::monday_s;

namespace {

using Names = std::vector<std::vector<std::string>>;
constexpr std::int64_t hour_s = 3600, day_s = 86400;

const library::ProposedWearing* wearingOf(const ImportPlan& plan, std::size_t session,
                                          const std::string& device) {
    for (const auto& wearing : plan.sessions.at(session).wearings)
        if (wearing.device == device) return &wearing;
    return nullptr;
}

/// strap.csv and band.csv of Monday, as stored.
struct StoredPair {
    std::vector<OfferedFile> files{fileOf("strap.csv", monday_s, 1800), fileOf("band.csv", monday_s, 1800)};
    LibraryKnowledge knowledge = tests::knowledgeAfter(proposeImport(files, {}), files);
};

}  // namespace

TEST(ImportPlan, FilesThatOverlapInTimeMakeASession) {
    const std::vector files{
        fileOf("strap-1.csv", monday_s, 1800), fileOf("band-2.csv", monday_s + day_s, 1700),
        fileOf("strap-2.csv", monday_s + day_s, 1800), fileOf("band-1.csv", monday_s + 20, 1790)};

    const auto plan = proposeImport(files, {});

    EXPECT_EQ(filesBySession(plan, files),
              (Names{{"band-1.csv", "strap-1.csv"}, {"band-2.csv", "strap-2.csv"}}));
}

TEST(ImportPlan, TheOneNamedLikeAStrapIsTheReference) {
    const std::vector files{fileOf("band.csv", monday_s, 1800), fileOf("strap.csv", monday_s, 1800)};

    const auto plan = proposeImport(files, {});

    ASSERT_EQ(plan.sessions.size(), 1u);
    EXPECT_EQ(plan.sessions[0].wearings[0].role, Role::Reference);
    EXPECT_EQ(plan.sessions[0].wearings[0].device, "strap");
    EXPECT_EQ(plan.sessions[0].wearings[1].role, Role::Test);
}

TEST(ImportPlan, ASecondStrapIsASecondReference) {
    const std::vector files{fileOf("band.csv", monday_s, 1800), fileOf("strap-left.csv", monday_s, 1800),
                            fileOf("strap-right.csv", monday_s, 1800)};

    const auto plan = proposeImport(files, {});

    ASSERT_EQ(plan.sessions.size(), 1u);
    EXPECT_EQ(plan.sessions[0].wearings[1].role, Role::Reference);
    EXPECT_EQ(plan.sessions[0].wearings[2].role, Role::Test);
}

TEST(ImportPlan, AnExportOfSeveralDaysGivesEachSessionItsPart) {
    auto watch = FileMaker{.name = "watch.csv", .noise = 5}
                     .stretch(monday_s - 30, 1900)
                     .stretch(monday_s + day_s, 1800);
    const std::vector files{watch.offer(), fileOf("strap-1.csv", monday_s, 1800),
                            fileOf("strap-2.csv", monday_s + day_s, 1800)};

    const auto plan = proposeImport(files, {});

    ASSERT_EQ(filesBySession(plan, files),
              (Names{{"strap-1.csv", "watch.csv"}, {"strap-2.csv", "watch.csv"}}));
    const auto& use = wearingOf(plan, 1, "watch")->recordings.front();
    ASSERT_TRUE(use.span);
    EXPECT_EQ(use.span->begin.time_since_epoch().count(), (monday_s + day_s) * 1'000'000);
}

TEST(ImportPlan, ADayWithoutAPauseIsCutToEachSession) {
    auto watch = FileMaker{.name = "watch.csv", .noise = 5}.stretch(monday_s - 2 * hour_s, 12 * 3600);
    const std::vector files{watch.offer(), fileOf("strap-1.csv", monday_s, 1800),
                            fileOf("strap-2.csv", monday_s + 4 * hour_s, 1800)};

    const auto plan = proposeImport(files, {});

    ASSERT_EQ(plan.sessions.size(), 2u);
    const auto& use = wearingOf(plan, 1, "watch")->recordings.front();
    ASSERT_TRUE(use.span);
    EXPECT_NEAR(toSeconds(use.span->end - use.span->begin).value, 1800 + 240, 2);
}

TEST(ImportPlan, AStopAndANewStartAreOneWearing) {
    const std::vector files{fileOf("strap.csv", monday_s, 3600), fileOf("band.csv", monday_s, 1500, "Band"),
                            fileOf("band (1).csv", monday_s + 1600, 1900, "Band")};

    const auto plan = proposeImport(files, {});

    ASSERT_EQ(plan.sessions.size(), 1u);
    ASSERT_EQ(plan.sessions[0].wearings.size(), 2u);
    EXPECT_EQ(plan.sessions[0].wearings[1].recordings.size(), 2u);
}

TEST(ImportPlan, TwoOfOneDeviceAtOneTimeAreToldApartAsUnits) {
    const std::vector files{fileOf("strap.csv", monday_s, 1800), fileOf("a.csv", monday_s, 1800, "Band"),
                            fileOf("b.csv", monday_s, 1800, "Band")};

    const auto plan = proposeImport(files, {});

    ASSERT_EQ(plan.sessions.at(0).wearings.size(), 3u);
    EXPECT_EQ(plan.sessions[0].wearings[1].facts.unit, "1");
    EXPECT_EQ(plan.sessions[0].wearings[2].facts.unit, "2");
}

TEST(ImportPlan, TheSameBytesTwiceAreTakenOnce) {
    const std::vector files{fileOf("band.csv", monday_s, 1800), fileOf("band.csv", monday_s, 1800)};

    const auto plan = proposeImport(files, {});

    EXPECT_EQ(plan.files[1].state, FileState::OfferedTwice);
    EXPECT_EQ(plan.sessions.size(), 1u);
}

TEST(ImportPlan, AFileWithinALongerExportIsSkipped) {
    auto all =
        FileMaker{.name = "all.csv", .noise = 7}.stretch(monday_s, 1800).stretch(monday_s + day_s, 1800);
    auto one = FileMaker{.name = "one.csv", .noise = 7}.stretch(monday_s, 1800);
    const std::vector files{one.offer(), all.offer()};

    const auto plan = proposeImport(files, {});

    EXPECT_EQ(plan.files[0].state, FileState::InLongerExport);
    EXPECT_EQ(plan.files[0].because, "The same samples stand in all.csv, a longer export.");
    EXPECT_EQ(filesBySession(plan, files), (Names{{"all.csv"}, {"all.csv"}}));
}

TEST(ImportPlan, AnExportThatLostTheFractionsOfItsSecondsIsStillTheSame) {
    auto all =
        FileMaker{.name = "all.csv", .noise = 7}.stretch(monday_s, 1800).stretch(monday_s + day_s, 1800);
    auto one = FileMaker{.name = "one.csv", .noise = 7, .late_us = 300'000}.stretch(monday_s, 1800);
    const std::vector files{one.offer(), all.offer()};

    const auto plan = proposeImport(files, {});

    EXPECT_EQ(plan.files[0].state, FileState::InLongerExport);
}

TEST(ImportPlan, TwoDevicesOnOneHeartAreNotTheSameSamples) {
    const std::vector files{fileOf("band.csv", monday_s, 1800), fileOf("watch.csv", monday_s - 5, 1900)};

    const auto plan = proposeImport(files, {});

    EXPECT_EQ(filesBySession(plan, files), (Names{{"band.csv", "watch.csv"}}));
}

TEST(ImportPlan, AStoredFileIsSkipped) {
    const StoredPair stored;

    const auto plan = proposeImport(stored.files, stored.knowledge);

    EXPECT_EQ(plan.files[0].state, FileState::AlreadyStored);
    EXPECT_EQ(plan.files[1].state, FileState::AlreadyStored);
    EXPECT_TRUE(plan.sessions.empty());
}

TEST(ImportPlan, OfALongerExportOnlyTheNewPartIsTaken) {
    auto first = FileMaker{.name = "band.csv", .noise = 7}.stretch(monday_s, 1800);
    auto next = FileMaker{.name = "band-next-week.csv", .noise = 7}
                    .stretch(monday_s, 1800)
                    .stretch(monday_s + day_s, 1500);
    const std::vector before{first.offer()}, files{next.offer()};
    const auto knowledge = tests::knowledgeAfter(proposeImport(before, {}), before);

    const auto plan = proposeImport(files, knowledge);

    EXPECT_EQ(plan.files[0].state, FileState::PartlyNew);
    ASSERT_EQ(plan.sessions.size(), 1u);
    EXPECT_EQ(plan.sessions[0].wearings[0].recordings[0].span->begin.time_since_epoch().count(),
              (monday_s + day_s) * 1'000'000);
}

TEST(ImportPlan, OfADayThatGoesOnOnlyTheNewHoursAreTaken) {
    auto first = FileMaker{.name = "day.csv", .noise = 7}.stretch(monday_s, 3600);
    auto next = FileMaker{.name = "two-days.csv", .noise = 7}.stretch(monday_s, 7200);
    const std::vector before{first.offer()}, files{next.offer()};
    const auto knowledge = tests::knowledgeAfter(proposeImport(before, {}), before);

    const auto plan = proposeImport(files, knowledge);

    ASSERT_EQ(plan.sessions.size(), 1u);
    EXPECT_NEAR(toSeconds(plan.sessions[0].wearings[0].recordings[0].span->begin.time_since_epoch()).value,
                static_cast<double>(monday_s + 3600), 1.0);
}

TEST(ImportPlan, AFileThatOverlapsAStoredSessionJoinsIt) {
    const StoredPair stored;
    const std::vector files{fileOf("watch.csv", monday_s + 60, 1700)};

    const auto plan = proposeImport(files, stored.knowledge);

    ASSERT_EQ(plan.sessions.size(), 1u);
    EXPECT_EQ(plan.sessions[0].joins, stored.knowledge.sessions[0].id);
    EXPECT_EQ(plan.sessions[0].wearings[0].role, Role::Test);
}

TEST(ImportPlan, TimesWithoutAZoneAreTriedAtWholeHours) {
    auto band =
        FileMaker{.name = "band.csv", .clock = recording::ClockBasis::ZoneUnknown, .noise = 3}.stretch(
            monday_s + 2 * hour_s, 1800);
    const std::vector files{fileOf("strap.csv", monday_s, 1800), band.offer()};

    const auto plan = proposeImport(files, {});

    ASSERT_EQ(filesBySession(plan, files), (Names{{"band.csv", "strap.csv"}}));
    EXPECT_NE(wearingOf(plan, 0, "band")->because.find("-2 h"), std::string::npos);
}

TEST(ImportPlan, AFileWithoutADateGoesByNameAndLength) {
    auto band =
        FileMaker{.name = "ergometer-steady-band.csv", .clock = recording::ClockBasis::None, .noise = 3}
            .stretch(0, 1790);
    const std::vector files{fileOf("hill-north-strap.csv", monday_s, 1800),
                            fileOf("ergometer-steady-strap.csv", monday_s + day_s, 1800), band.offer()};

    const auto plan = proposeImport(files, {});

    EXPECT_EQ(filesBySession(plan, files),
              (Names{{"hill-north-strap.csv"}, {"ergometer-steady-band.csv", "ergometer-steady-strap.csv"}}));
}

TEST(ImportPlan, OfFilesWithoutADateTheNumbersInTheirNamesCount) {
    auto band =
        FileMaker{.name = "hill-2-band.csv", .clock = recording::ClockBasis::None, .noise = 3}.stretch(0,
                                                                                                       1790);
    const std::vector files{fileOf("hill-1-strap.csv", monday_s, 1790),
                            fileOf("hill-2-strap.csv", monday_s + day_s, 1800), band.offer()};

    const auto plan = proposeImport(files, {});

    EXPECT_EQ(filesBySession(plan, files),
              (Names{{"hill-1-strap.csv"}, {"hill-2-band.csv", "hill-2-strap.csv"}}));
}

TEST(ImportPlan, AClockThatIsAnHourWrongGoesByItsName) {
    const std::vector files{fileOf("hill-1-strap.csv", monday_s, 1800),
                            fileOf("hill-1-watch.csv", monday_s + hour_s - 40, 1850)};

    const auto plan = proposeImport(files, {});

    EXPECT_EQ(filesBySession(plan, files), (Names{{"hill-1-strap.csv", "hill-1-watch.csv"}}));
}

TEST(ImportPlan, AnHourLaterUnderAnotherNameIsAnotherSession) {
    const std::vector files{fileOf("hill-1-strap.csv", monday_s, 1800),
                            fileOf("hill-2-watch.csv", monday_s + hour_s - 40, 1850)};

    const auto plan = proposeImport(files, {});

    EXPECT_EQ(plan.sessions.size(), 2u);
}

TEST(ImportPlan, AFileWithoutADateThatIsLikeNothingIsLeftToTheUser) {
    auto odd =
        FileMaker{.name = "export.csv", .clock = recording::ClockBasis::None, .noise = 3}.stretch(0, 600);
    const std::vector files{fileOf("strap.csv", monday_s, 1800), odd.offer()};

    const auto plan = proposeImport(files, {});

    ASSERT_EQ(plan.unplaced.size(), 1u);
    EXPECT_EQ(plan.unplaced[0].recordings[0].file, 1u);
}

TEST(ImportPlan, PartsOfALongExportThatMeetNothingAreLeftOut) {
    auto watch =
        FileMaker{.name = "watch.csv", .noise = 5}.stretch(monday_s, 1800).stretch(monday_s + day_s, 1800);
    const std::vector files{watch.offer(), fileOf("strap.csv", monday_s, 1800)};

    const auto plan = proposeImport(files, {});

    EXPECT_EQ(plan.sessions.size(), 1u);
    EXPECT_EQ(plan.unplaced.size(), 1u);
}

TEST(ImportPlan, ADeviceIsCalledAsItWasBefore) {
    const std::vector before{fileOf("strap.csv", monday_s, 1800), fileOf("x.csv", monday_s, 1800, "HC-7")};
    auto stored = proposeImport(before, {});
    for (auto& wearing : stored.sessions[0].wearings)
        if (wearing.device == "HC-7") wearing.device = "the crew's band";
    const auto knowledge = tests::knowledgeAfter(stored, before);
    const std::vector files{fileOf("y.csv", monday_s + day_s, 1800, "HC-7")};

    const auto plan = proposeImport(files, knowledge);

    EXPECT_EQ(plan.sessions.at(0).wearings.at(0).device, "the crew's band");
}

TEST(ImportPlan, AFileNamedAfterADeviceThatAnotherFileNamesIsOfThatDevice) {
    const std::vector files{
        fileOf("one-strap.fit", monday_s, 1800, "Harbour strap"), fileOf("one-band.csv", monday_s, 1800),
        fileOf("two-strap.hrm", monday_s + day_s, 1800), fileOf("two-band.csv", monday_s + day_s, 1800)};

    const auto plan = proposeImport(files, {});

    EXPECT_TRUE(wearingOf(plan, 1, "Harbour strap"));
    EXPECT_TRUE(wearingOf(plan, 1, "band"));
}

TEST(ImportPlan, ADeviceThatWasTheReferenceIsItAgain) {
    const std::vector before{fileOf("a.csv", monday_s, 1800, "Alpha"),
                             fileOf("b.csv", monday_s, 1800, "Beta")};
    auto stored = proposeImport(before, {});
    for (auto& wearing : stored.sessions[0].wearings)
        wearing.role = wearing.device == "Beta" ? Role::Reference : Role::Test;
    const auto knowledge = tests::knowledgeAfter(stored, before);
    const std::vector files{fileOf("strap-c.csv", monday_s + day_s, 1800, "Alpha"),
                            fileOf("d.csv", monday_s + day_s, 1800, "Beta")};

    const auto plan = proposeImport(files, knowledge);

    EXPECT_EQ(wearingOf(plan, 0, "Beta")->role, Role::Reference);
    EXPECT_EQ(wearingOf(plan, 0, "Alpha")->role, Role::Test);
}

TEST(ImportPlan, FirmwareComesFromTheFileAndTheRestFromTheLastTime) {
    const std::vector before{fileOf("strap.csv", monday_s, 1800), fileOf("x.csv", monday_s, 1800, "Band")};
    auto stored = proposeImport(before, {});
    for (auto& wearing : stored.sessions[0].wearings)
        if (wearing.device == "Band") {
            wearing.facts.firmware = "2.3";
            wearing.facts.position = "left wrist";
        }
    const auto knowledge = tests::knowledgeAfter(stored, before);
    auto next = FileMaker{.name = "y.fit", .device = "Band", .firmware = "2.4", .noise = 9}.stretch(
        monday_s + day_s, 1800);
    const std::vector files{next.offer()};

    const auto plan = proposeImport(files, knowledge);

    const auto& facts = plan.sessions.at(0).wearings.at(0).facts;
    EXPECT_EQ(facts.firmware, "2.4");
    EXPECT_EQ(facts.position, "left wrist");
}

TEST(ImportPlan, ASportIsCalledAsItWasBefore) {
    auto first = FileMaker{.name = "a.fit", .sport = "indoor rowing", .noise = 3}.stretch(monday_s, 1800);
    const std::vector before{first.offer()};
    auto stored = proposeImport(before, {});
    stored.sessions[0].activity = "rowing ergometer";
    const auto knowledge = tests::knowledgeAfter(stored, before);
    auto next =
        FileMaker{.name = "b.fit", .sport = "indoor rowing", .noise = 3}.stretch(monday_s + day_s, 1800);
    const std::vector files{next.offer()};

    const auto plan = proposeImport(files, knowledge);

    EXPECT_EQ(plan.sessions.at(0).activity, "rowing ergometer");
}

TEST(ImportPlan, WhatWasDoneAtThatHourIsProposedAgain) {
    const std::vector before{fileOf("a.csv", monday_s, 1800), fileOf("b.csv", monday_s + 7 * day_s, 1800),
                             fileOf("c.csv", monday_s + 2 * day_s + 5 * hour_s, 1800)};
    auto stored = proposeImport(before, {});
    stored.sessions[0].activity = "hill walk";
    stored.sessions[2].activity = "hill walk";
    stored.sessions[1].activity = "kettlebell circuit";
    const auto knowledge = tests::knowledgeAfter(stored, before);
    const std::vector files{fileOf("d.csv", monday_s + 14 * day_s + 600, 1800)};

    const auto plan = proposeImport(files, knowledge);

    EXPECT_EQ(plan.sessions.at(0).activity, "hill walk");
}

TEST(ImportPlan, NoTwoProposedSessionsAreCalledAlike) {
    std::vector<OfferedFile> files;
    for (int day = 0; day < 5; ++day)
        files.push_back(fileOf("d" + std::to_string(day) + "/strap.csv", monday_s + day * day_s, 900));

    const auto plan = proposeImport(files, {});

    std::vector<std::string> names;
    for (const auto& session : plan.sessions)
        names.push_back(session.name);
    std::ranges::sort(names);
    EXPECT_EQ(std::ranges::adjacent_find(names), names.end());
    EXPECT_EQ(names.size(), 5u);
}

TEST(ImportPlan, DraftsHoldWhatWasProposed) {
    const std::vector files{fileOf("strap.csv", monday_s, 1800), fileOf("band.csv", monday_s, 1800)};
    const auto plan = proposeImport(files, {});

    const auto drafts = library::draftsOf(plan.sessions, files);

    ASSERT_EQ(drafts.size(), 1u);
    EXPECT_EQ(drafts[0].wearings[0].recordings[0].file, files[0].file);
    EXPECT_EQ(drafts[0].wearings[1].device, "band");
}
