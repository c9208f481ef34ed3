// Random heaps of files whose grouping is known: the plan must find it, whatever their order.

#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <set>

#include "core/library/import_plan.h"
#include "tests/library/import_fixture.h"
#include "tests/support/generator.h"
#include "tests/support/recording_writer.h"

using namespace beatwitness;
using library::OfferedFile;
using library::proposeImport;

namespace {

template <class Bytes>
OfferedFile readBack(const std::string& name, const Bytes& content) {
    std::vector<std::byte> bytes(content.size());
    std::ranges::transform(content, bytes.begin(), [](auto each) { return static_cast<std::byte>(each); });
    auto read = recording::readRecording(bytes);
    EXPECT_TRUE(read) << name;
    return library::offered(std::make_shared<const library::ReadFile>(
        library::ReadFile{{name, "digest of " + name, std::move(*read)}, std::move(bytes)}));
}

/// As one of many programs writes it.
OfferedFile written(const std::string& stem, const recording::Recording& recording, unsigned format) {
    switch (format % 6) {
        case 0:
            return readBack(stem + ".fit", tests::writeFit(recording));
        case 1:
            return readBack(stem + ".tcx", tests::writeTcx(recording));
        case 2:
            return readBack(stem + ".gpx", tests::writeGpx(recording));
        case 3:
            return readBack(stem + ".csv", tests::writeCsv(recording, tests::CsvDialect::IsoUtc));
        case 4:
            return readBack(stem + ".csv", tests::writeCsv(recording, tests::CsvDialect::EpochMilliseconds));
        default:
            return readBack(stem + ".csv", tests::writeCsv(recording, tests::CsvDialect::TabEpoch));
    }
}

/// Sessions of one wearer, some hours apart, and the files of each.
struct Heap {
    std::vector<OfferedFile> files;
    std::set<std::set<std::string>> truth;
};

Heap heapOf(std::uint64_t seed, int sessions) {
    std::mt19937_64 random{seed};
    Heap heap;
    std::int64_t start_s = tests::monday_s;
    for (int i = 0; i < sessions; ++i) {
        tests::PlanLimits limits;
        limits.shortest_s = 900;
        limits.longest_s = 1500;
        auto plan = tests::randomPlan(seed * 1000 + static_cast<std::uint64_t>(i), limits);
        plan.start_us = start_s * 1'000'000;
        const auto pair = tests::generatePair(plan);
        const std::string number = std::to_string(i);
        const auto format = static_cast<unsigned>(random());
        heap.files.push_back(written("strap-" + number, pair.reference, format));
        heap.files.push_back(written("band-" + number, pair.test, format / 6));
        heap.truth.insert({heap.files[heap.files.size() - 2].read().file, heap.files.back().read().file});
        start_s += 3600 + static_cast<std::int64_t>(random() % 40000);
    }
    std::ranges::shuffle(heap.files, random);
    return heap;
}

std::set<std::set<std::string>> groupsOf(const library::ImportPlan& plan,
                                         const std::vector<OfferedFile>& files) {
    std::set<std::set<std::string>> groups;
    for (const auto& names : tests::filesBySession(plan, files))
        groups.insert({names.begin(), names.end()});
    return groups;
}

class ImportHeap : public ::testing::TestWithParam<std::uint64_t> {};

}  // namespace

TEST_P(ImportHeap, IsPartedIntoItsSessions) {
    const auto heap = heapOf(GetParam(), 20);

    const auto plan = proposeImport(heap.files, {});

    EXPECT_EQ(groupsOf(plan, heap.files), heap.truth);
}

TEST_P(ImportHeap, HasEachStrapAsReferenceAndEachBandAsTest) {
    const auto heap = heapOf(GetParam(), 20);

    const auto plan = proposeImport(heap.files, {});

    for (const auto& session : plan.sessions) {
        ASSERT_EQ(session.wearings.size(), 2u);
        EXPECT_EQ(session.wearings[0].role, library::Role::Reference);
        EXPECT_EQ(heap.files[session.wearings[0].recordings[0].file].read().file.substr(0, 5), "strap");
        EXPECT_EQ(session.wearings[1].role, library::Role::Test);
    }
}

TEST_P(ImportHeap, IsKnownWhenItComesASecondTime) {
    const auto heap = heapOf(GetParam(), 20);
    const auto knowledge = tests::knowledgeAfter(proposeImport(heap.files, {}), heap.files);

    const auto plan = proposeImport(heap.files, knowledge);

    EXPECT_TRUE(plan.sessions.empty());
    EXPECT_TRUE(std::ranges::all_of(
        plan.files, [](const auto& verdict) { return verdict.state == library::FileState::AlreadyStored; }));
}

TEST_P(ImportHeap, LosesNothing) {
    const auto heap = heapOf(GetParam(), 20);

    const auto plan = proposeImport(heap.files, {});

    std::set<std::size_t> seen;
    for (const auto& session : plan.sessions)
        for (const auto& wearing : session.wearings)
            for (const auto& use : wearing.recordings)
                seen.insert(use.file);
    EXPECT_EQ(seen.size(), heap.files.size());
}

INSTANTIATE_TEST_SUITE_P(Seeds, ImportHeap, ::testing::Values(1, 2, 3, 4, 5));
