#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "tests/support/generator_estimand.h"
#include "tests/support/generator_sample.h"
#include "tests/support/shared_files.h"

namespace beatwitness::tests {
namespace {

std::string committed(const std::string& name) {
    std::ifstream in{projectFolder() / "sample-sessions" / name, std::ios::binary};
    return {std::istreambuf_iterator<char>{in}, {}};
}

TEST(SamplePair, CommittedFilesAreWhatTheGeneratorWrites) {
    for (const auto& file : sampleFiles()) {
        const std::string written(reinterpret_cast<const char*>(file.bytes.data()), file.bytes.size());

        EXPECT_TRUE(written == committed(file.name))
            << file.name << " differs: run make_sample_sessions sample-sessions";
    }
}

TEST(SamplePair, EveryFileIsSmallerThan300Kilobytes) {
    for (const auto& file : sampleFiles())
        EXPECT_LT(file.bytes.size(), 300000u) << file.name;
}

TEST(SamplePair, ItsOffsetCanBeKnown) {
    const auto pair = generatePair(samplePlan());

    EXPECT_EQ(whyNotIdentifiable(pair), "");
}

}  // namespace
}  // namespace beatwitness::tests
